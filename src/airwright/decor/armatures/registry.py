"""Curves an arch can follow, by the name the job file gives, each with its valid range."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal, get_args

import numpy as np

from airwright.decor.armatures.errors import ArmatureError
from airwright.decor.armatures.smooth import Catenary, HalfEllipse, Parabola
from airwright.decor.armatures.straight import half_circle, rounded_square
from airwright.decor.packing import Rail
from airwright.language import message

ArchCurve = Literal["half-circle", "ellipse", "parabola", "catenary", "rounded square"]

_BEND_SAMPLES = 721


@dataclass(frozen=True, slots=True)
class ArchForm:
    """One curve from the floor up, over and down again.

    Attributes:
        name: as in the job file.
        what: one sentence for forms and docs.
        make: width and height of the curve [m] → the curve over (±w/2, 0, 0).
        flattest, steepest: height over width between which it makes sense.
        reference: where its arc length comes from.
    """

    name: str
    what: str
    make: Callable[[float, float], Rail]
    flattest: float
    steepest: float
    reference: str

    def __call__(self, width_m: float, height_m: float) -> Rail:
        """The curve. Raises ArmatureError outside its range."""
        ratio = height_m / width_m if width_m > 0 else float("nan")
        if not self.flattest <= ratio <= self.steepest:
            wrong = "low" if ratio < self.flattest else "narrow"
            raise ArmatureError(
                message(
                    "{width} m by {height} m is too {wrong} for this curve.",
                    width=f"{width_m:.2f}",
                    height=f"{height_m:.2f}",
                    wrong=wrong,
                ),
                message(
                    "Keep its height between {flattest} and {steepest} of its width.",
                    flattest=f"{self.flattest:g}",
                    steepest=f"{self.steepest:g}",
                ),
            )
        return self.make(width_m, height_m)


_FORMS = (
    ArchForm(
        "half-circle",
        message(
            "Half a circle; on straight legs where it is higher, a flatter segment where lower."
        ),
        half_circle,
        0.05,
        10.0,
        "r times angle",
    ),
    ArchForm(
        "ellipse",
        message("Half an ellipse: upright at the feet, flatter over the middle."),
        HalfEllipse,
        0.05,
        10.0,
        "complete elliptic integral of the second kind",
    ),
    ArchForm(
        "parabola",
        message("Pointed towards the top, with feet that lean out."),
        Parabola,
        0.05,
        10.0,
        "closed",
    ),
    ArchForm(
        "catenary",
        message("A hanging chain upside down; the curve a floating line takes."),
        Catenary,
        0.05,
        10.0,
        "2 a sinh(w/2a)",
    ),
    ArchForm(
        "rounded square",
        message("Straight legs, round corners and a level top."),
        rounded_square,
        0.05,
        10.0,
        "sum of its pieces",
    ),
)

ARCH_FORMS: dict[str, ArchForm] = {form.name: form for form in _FORMS}
"""Every arch curve by name."""

assert set(ARCH_FORMS) == set(get_args(ArchCurve))


def tightest_bend(curve: Rail) -> float:
    """Least radius of curvature [m], read between close points; infinite for a straight line."""
    s = np.linspace(0.0, curve.length_m, _BEND_SAMPLES)
    way = curve.tangent(s)
    turned = np.linalg.norm(np.diff(way, axis=0), axis=1).max()
    return float((s[1] - s[0]) / turned) if turned > 1e-12 else float("inf")
