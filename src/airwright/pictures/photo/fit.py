"""The camera that fits all marks best, and how well they hold it.

Marks are clicked by hand and sides measured by tape, so the camera is known only so well. All of
it is put into one least-squares problem, each miss over its own doubt: marks (CLICK_PX), sides
(TAPE), the lens (what the camera noted, or what phones usually have). The curvature at the best fit
is the camera's own doubt; drawn from it, other cameras that would fit as well show how far the
decor's foot and top could be off.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from airwright.pictures.photo.view import Floats, Pixel, View

Upright = tuple[Pixel, Pixel, float]

CLICK_PX = 1.5
"""How well a mark is set by hand, each way [px of the worked picture]. From memory."""
TAPE = 0.005
"""How well a side or height is measured, of its length. From memory."""
READ_OFF = 1.0
"""Doubt of a side that nobody measured, of its length: the marks alone hold it."""
LENS_NOTED, LENS_GUESSED = 0.03, 0.22
"""Doubt of the focal length, of itself: noted by the camera in whole millimetres, or guessed as a
phone's main lens. From memory."""
LEVEL_RAD = 0.02
"""How far from level a photo is held when only heights tell, sideways. From memory."""
FIXED = 1e-4
"""Doubt of what is so by definition [rad, m]."""
DRAWS = 300
COVERED = 0.75
"""Share of the drawn cameras within the stated doubt: above the 68 % promised, for what a linear
reckoning leaves out."""


@dataclass(frozen=True, slots=True, eq=False)
class Marked:
    """What was marked in a photo.

    Attributes:
        floor: (n, 2) corners on the floor, in sides of the rectangle from its middle (±1/2).
        sides: (width, depth) of it [m].
        marks: (n, 2) where they were clicked [px].
        uprights: foot, head [px] and height [m] of upright things.
        depth_measured: whether the depth was measured rather than read off the marks.
    """

    floor: Floats
    sides: tuple[float, float]
    marks: Floats
    uprights: Sequence[Upright] = ()
    depth_measured: bool = True


@dataclass(frozen=True, slots=True)
class Doubt:
    """How far off decor may be drawn.

    Attributes:
        foot_cm, top_cm: at its foot and its top [cm].
        height_share: how much too tall or short, of its height.
    """

    foot_cm: float
    top_cm: float
    height_share: float

    @property
    def cm(self) -> float:
        """The larger of both [cm]."""
        return max(self.foot_cm, self.top_cm)


def refined(start: View, marked: Marked, usual_px: float, *, level: bool = False) -> View:
    """The camera of least misfit near a first one, with its covariance.

    `usual_px` is the focal length expected [px]. `level` holds the photo level sideways and the
    axes at the first upright's foot, where only heights are known.
    """
    from scipy.optimize import least_squares

    doubt = LENS_NOTED if start.focal_known else LENS_GUESSED
    feet = np.array([_on_floor(start, foot) for foot, _, _ in marked.uprights]).reshape(-1, 2)
    tape = 2 + len(marked.uprights)
    taped = np.full(tape, TAPE)
    taped[1] = TAPE if marked.depth_measured else READ_OFF

    def misses(x: Floats) -> Floats:
        view = moved(start, x[:7])
        scale = np.array(marked.sides) * (1 + x[7:9])
        corners = np.column_stack([marked.floor * scale, np.zeros(len(marked.floor))])
        rows = [(view.project(corners) - marked.marks).ravel() / CLICK_PX]
        at = feet + x[7 + tape :].reshape(-1, 2)
        for k, (foot, head, height) in enumerate(marked.uprights):
            tall = height * (1 + x[9 + k])
            ends = np.array([[*at[k], 0.0], [*at[k], tall]])
            rows.append((view.project(ends) - np.array([foot, head])).ravel() / CLICK_PX)
        held = [np.log(view.focal_px / usual_px) / doubt, *(x[7 : 7 + tape] / taped)]
        if level:
            about_z = (start.rotation.T @ x[:3])[2]  # the axes start at the first foot
            held += [view.rotation[0, 2] / LEVEL_RAD, about_z / FIXED]
            held += list(x[7 + tape : 9 + tape] / FIXED)
        return np.concatenate([*rows, held])

    found = least_squares(misses, np.zeros(7 + tape + feet.size), x_scale="jac", max_nfev=80)
    view = moved(start, found.x[:7])
    marks = 2 * len(marked.floor) + 4 * len(marked.uprights)
    off = CLICK_PX * found.fun[:marks].reshape(-1, 2)
    misfit = float(np.sqrt((off**2).sum(axis=1).mean()))
    # marks that miss by more than clicks do say that something else is amiss, too
    spare = max(marks - 7 - feet.size, 1) + 2
    larger = max(1.0, float((found.fun**2).sum() / spare))
    covariance = larger * np.linalg.pinv(found.jac.T @ found.jac, rcond=1e-14)[:7, :7]
    return replace(view, misfit_px=misfit, covariance=covariance)


def moved(view: View, x: Floats) -> View:
    """A camera turned by x[:3] [rad, own axes], shifted by x[3:6] [m], its lens by e^x[6]."""
    from scipy.spatial.transform import Rotation

    turn = Rotation.from_rotvec(x[:3]).as_matrix()
    return replace(
        view,
        rotation=turn @ view.rotation,
        at=view.at + x[3:6],
        focal_px=float(view.focal_px * np.exp(np.clip(x[6], -3, 3))),
    )


def doubt_of(view: View, foot: Floats, height_m: float, seed: int = 1) -> Doubt:
    """How far off decor of a height may be drawn at a place (3,) on the floor [m]."""
    ends = np.stack([foot, np.add(foot, (0.0, 0.0, height_m))])
    true = view.project(ends)
    depth = ((ends - view.at) @ view.rotation.T)[:, 2]
    rng = np.random.default_rng(seed)
    drawn = rng.multivariate_normal(np.zeros(7), view.covariance, DRAWS, method="svd")
    shown = np.array([moved(view, x).project(ends) for x in drawn])
    off = 100.0 * np.linalg.norm(shown - true, axis=2) * depth / view.focal_px
    tall = np.linalg.norm(shown[:, 1] - shown[:, 0], axis=1) / np.linalg.norm(true[1] - true[0])
    foot_cm, top_cm = np.quantile(off, COVERED, axis=0)
    return Doubt(float(foot_cm), float(top_cm), float(np.quantile(np.abs(tall - 1), COVERED)))


def _on_floor(view: View, pixel: Pixel) -> Floats:
    """(2,) where the line of sight of a pixel meets the floor [m]; far off where it does not."""
    middle = np.array(view.size) / 2
    way = np.append((np.asarray(pixel) - middle) / view.focal_px, 1.0) @ view.rotation
    reach = -view.at[2] / min(way[2], -1e-3)
    return np.asarray((view.at + reach * way)[:2])
