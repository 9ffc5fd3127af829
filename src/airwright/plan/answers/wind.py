"""Whether a column or wall of plain size stands, and in which wind it is taken in."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from airwright.language import message
from airwright.physics.errors import require
from airwright.physics.overturning import Outline
from airwright.plan.answers.base import Answer
from airwright.plan.silhouette import Standing
from airwright.plan.stability import Stability, stability
from airwright.plan.surroundings import Surroundings

STRIPS: Final = 240


@dataclass(frozen=True, slots=True)
class WindAnswer(Answer):
    """A piece that is as wide and tall as said, on one base in its middle.

    Attributes:
        height_m, width_m: of what the wind finds [m].
        outdoors: whether it is wind, or indoors a draught and a guest's push.
        ballast_given_kg: on its base, None where it is what is asked for [kg].
        found: all figures.
    """

    height_m: float
    width_m: float
    outdoors: bool
    ballast_given_kg: float | None
    found: Stability
    doubts: tuple[str, ...]


def wind_answer(
    height_m: float,
    width_m: float,
    mass_kg: float,
    base_m: float,
    around: Surroundings,
    *,
    ballast_kg: float | None = None,
) -> WindAnswer:
    """Reckon a piece from plain numbers.

    Args:
        height_m, width_m: of its outline [m].
        mass_kg: without ballast [kg].
        base_m: width of a square or round base [m].
        around: setting, gust, factor, friction, push.
        ballast_kg: on the base; None asks how much is needed [kg].

    Raises:
        PhysicsError: out of range.
    """
    require("height", height_m, "1 cm to 30 m.", low=0.01, high=30.0, unit="m")
    require("width", width_m, "1 cm to 100 m.", low=0.01, high=100.0, unit="m")
    require(
        "mass",
        mass_kg,
        message("Above zero; weigh pole and base."),
        low=0.01,
        high=5000.0,
        unit="kg",
    )
    require("base", base_m, "1 cm to 20 m.", low=0.01, high=20.0, unit="m")
    step = height_m / STRIPS
    heights = np.asarray(step * (np.arange(STRIPS) + 0.5), dtype=np.float64)
    shape = Outline(heights, np.full(STRIPS, width_m), step)
    if ballast_kg is not None:
        require("ballast", ballast_kg, "From zero.", low=0.0, high=100_000.0, unit="kg")
    piece = Standing(
        disc=np.zeros((0, 3)),
        disc_radius_m=np.zeros(0),
        mass_at=np.zeros((1, 3)),
        mass_kg=np.array([mass_kg]),
        base=np.zeros((1, 2)),
        base_radius_m=np.array([base_m / 2]),
        ballast_room_kg=1e9 if ballast_kg is None else ballast_kg,
        known=shape,
    )
    found = stability(piece, around, ballast_kg)
    assert found is not None
    room = found.ballast_kg if ballast_kg is None else ballast_kg
    return WindAnswer(
        height_m=height_m,
        width_m=width_m,
        outdoors=around.outdoors,
        ballast_given_kg=ballast_kg,
        found=replace(found, ballast_room_kg=room),
        doubts=(
            message(
                "Force coefficient 1.2 on the whole outline, air at 1.225 kg/m³, base "
                "flat on firm level floor. Slopes, soft ground, people leaning and poor "
                "anchors are not in it."
            ),
            message(
                "Beaufort names the mean wind; gusts are taken half as strong again (EN 1991-1-4)."
            ),
        ),
    )
