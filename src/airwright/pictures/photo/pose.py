"""Where the venue's photo was taken from, out of a few marks in it.

Either four points of a rectangle on the floor whose sides were measured (a rug, tiles, tape),
or two upright things of known height (a door frame, a person against the wall). The floor's
own axes are x to the right along the rectangle's near side, y into the depth, z up, origin in
the middle of the rectangle (or under the first upright thing).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.pictures.photo.errors import PhotoError

Floats = NDArray[np.float64]
Pixel = tuple[float, float]

FOCAL_RANGE = (0.45, 4.0)
"""Focal lengths tried, over the photo's longer side: a wide phone lens to a tele."""
USUAL_FOCAL = 0.75
"""A phone's main lens (27 mm on 36 mm film), where the marks do not tell."""
CLICK_PX = 1.0
"""How well a mark can be set by hand."""
WORST_FIT = 0.03
"""Misfit over the marks' own extent above which they are no such rectangle."""


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A camera fitted to marks.

    Attributes:
        rotation: (3, 3) floor axes to camera axes (x right, y down, z forward).
        at: (3,) the lens, in floor axes [m].
        focal_px: focal length [px].
        size: (width, height) of the photo [px].
        misfit_px: root mean square distance between marks and their places in the fit [px].
        focal_known: whether the focal length came from the camera rather than the fit.
    """

    rotation: Floats
    at: Floats
    focal_px: float
    size: tuple[int, int]
    misfit_px: float
    focal_known: bool

    def project(self, points: Floats) -> Floats:
        """(N, 2) pixels of points (N, 3) [m]."""
        local = (np.asarray(points, float).reshape(-1, 3) - self.at) @ self.rotation.T
        middle = np.array(self.size) / 2
        depth = np.maximum(local[:, 2:], 1e-6)
        return np.asarray(middle + self.focal_px * local[:, :2] / depth)

    def off_cm(self, point: Floats) -> float:
        """How far off the fit is at a point [cm]: the misfit seen from the camera.

        Four marks leave a fit little freedom to miss them, and nobody clicks better than to
        a pixel; so the misfit is taken as twice what remains, and never below CLICK_PX.
        """
        depth = float(((np.asarray(point, float) - self.at) @ self.rotation.T)[2])
        doubt = max(2.0 * self.misfit_px, CLICK_PX)
        return 100.0 * doubt * max(depth, 0.0) / self.focal_px


def view_of_rectangle(
    corners: Sequence[Pixel],
    width_m: float,
    depth_m: float,
    size: tuple[int, int],
    focal_px: float | None = None,
) -> View:
    """Camera from four floor points: near left, near right, far right, far left [px].

    Raises PhotoError when they make no rectangle seen from above the floor.
    """
    marks = _checked(corners, size)
    if not (0.05 <= width_m <= 100 and 0.05 <= depth_m <= 100):
        raise PhotoError(
            "room.rectangle",
            f"A rectangle of {width_m:g} m × {depth_m:g} m cannot be right.",
            "Give its measured sides, 5 cm to 100 m.",
        )
    half = np.array([width_m, depth_m]) / 2
    floor = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]]) * [*half, 0.0]
    known = focal_px is not None
    focal = float(focal_px) if focal_px is not None else _best_focal(floor, marks, size)
    solved = _solve(floor, marks, size, focal)
    if solved is None:
        raise _no_rectangle("they could only be seen from below the floor, or upside down")
    rotation, at, misfit = solved
    extent = float(np.linalg.norm(np.ptp(marks, axis=0)))
    if misfit > WORST_FIT * extent:
        raise _no_rectangle(f"the best fit misses them by {misfit:.0f} pixels")
    if not 0.1 <= at[2] <= 60:
        raise _no_rectangle(f"the camera would have been {at[2]:.1f} m above the floor")
    return View(rotation, at, focal, size, misfit, known)


def _checked(corners: Sequence[Pixel], size: tuple[int, int]) -> Floats:
    marks = np.asarray(corners, dtype=float)
    if marks.shape != (4, 2) or not np.isfinite(marks).all():
        raise _no_rectangle("four points are needed")
    reach = np.array(size, float)
    if (marks < -reach).any() or (marks > 2 * reach).any():
        raise _no_rectangle("some lie far outside the photo")
    edge = np.roll(marks, -1, axis=0) - marks
    following = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * following[:, 1] - edge[:, 1] * following[:, 0]
    if (turn >= 0).any():  # y runs down: near left, near right, far right turns left
        raise _no_rectangle("they cross, lie on one line, or go round the wrong way")
    if np.linalg.norm(edge, axis=1).min() < 0.01 * max(size):
        raise _no_rectangle("two of them are nearly the same point")
    return marks


def _best_focal(floor: Floats, marks: Floats, size: tuple[int, int]) -> float:
    """Focal length with the least misfit; the usual one where the marks do not tell."""
    from scipy.optimize import minimize_scalar

    long_side = max(size)

    def misfit(share: float) -> float:
        solved = _solve(floor, marks, size, float(np.exp(share)) * long_side)
        return 1e6 if solved is None else solved[2]

    shares = np.log(np.geomspace(*FOCAL_RANGE, 25))
    tried = np.array([misfit(share) for share in shares])
    best = int(tried.argmin())
    usual = misfit(float(np.log(USUAL_FOCAL)))
    if usual - tried[best] < 0.15:  # px: a rectangle seen square on fits any lens
        return USUAL_FOCAL * long_side
    low, high = shares[max(best - 1, 0)], shares[min(best + 1, len(shares) - 1)]
    found = minimize_scalar(misfit, bounds=(low, high), method="bounded", options={"xatol": 1e-5})
    return float(np.exp(found.x)) * long_side


def _solve(
    floor: Floats, marks: Floats, size: tuple[int, int], focal: float
) -> tuple[Floats, Floats, float] | None:
    """Pose with the camera above the floor and the rectangle before it, least misfit [px]."""
    import cv2

    width, height = size
    lens = np.array([[focal, 0, width / 2], [0, focal, height / 2], [0, 0, 1]])
    _, turns, shifts, _ = cv2.solvePnPGeneric(floor, marks, lens, None, flags=cv2.SOLVEPNP_IPPE)
    best: tuple[Floats, Floats, float] | None = None
    for turn, shift in zip(turns, shifts, strict=True):
        fine_turn, fine_shift = cv2.solvePnPRefineLM(floor, marks, lens, None, turn, shift)
        rotation = np.asarray(cv2.Rodrigues(fine_turn)[0], dtype=float)
        at = -rotation.T @ fine_shift.ravel()
        depth = (floor - at) @ rotation.T
        upside_down = rotation[1, 2] > 0
        if at[2] <= 0 or upside_down or (depth[:, 2] <= 0).any():
            continue
        seen = np.array(size) / 2 + focal * depth[:, :2] / depth[:, 2:]
        misfit = float(np.sqrt(((seen - marks) ** 2).sum(axis=1).mean()))
        if best is None or misfit < best[2]:
            best = (rotation, np.asarray(at, dtype=float), misfit)
    return best


def view_of_heights(
    uprights: Sequence[tuple[Pixel, Pixel, float]],
    size: tuple[int, int],
    focal_px: float | None = None,
) -> View:
    """Camera from two upright things: (foot, head, height in metres) each [px].

    Without a noted focal length the usual one of a phone is taken. The camera is taken to be
    level from left to right. Raises PhotoError when no camera above the floor sees them so.
    """
    from scipy.optimize import least_squares

    if len(uprights) != 2:
        raise _no_heights("two of them are needed")
    marks = np.array([[foot, head] for foot, head, _ in uprights], dtype=float)
    heights = np.array([height for *_, height in uprights], dtype=float)
    if not np.isfinite(marks).all() or (heights < 0.1).any() or (heights > 50).any():
        raise _no_heights("their heights must be between 10 cm and 50 m")
    if (marks[:, 0, 1] - marks[:, 1, 1] < 0.01 * max(size)).any():
        raise _no_heights("each head must be above its foot")
    if np.linalg.norm(marks[0] - marks[1], axis=1).max() < 0.02 * max(size):
        raise _no_heights("they stand on one spot")
    known = focal_px is not None
    focal = float(focal_px) if focal_px is not None else USUAL_FOCAL * max(size)
    middle = np.array(size) / 2
    guess = [1.6, 0.05]
    for k in (0, 1):
        depth = focal * heights[k] / (marks[k, 0, 1] - marks[k, 1, 1])
        guess += [depth * (marks[k, 0, 0] - middle[0]) / focal, depth]

    def misses(values: Floats) -> Floats:
        eye, pitch, *feet = values
        rotation, at = _level(pitch), np.array([0.0, 0.0, eye])
        rows = []
        for k in (0, 1):
            x, y = feet[2 * k : 2 * k + 2]
            ends = (np.array([[x, y, 0.0], [x, y, heights[k]]]) - at) @ rotation.T
            rows.append(middle + focal * ends[:, :2] / np.maximum(ends[:, 2:], 0.05) - marks[k])
        return np.concatenate(rows).ravel()

    found = least_squares(misses, guess)
    eye, pitch, *feet = found.x
    misfit = float(np.sqrt((found.fun**2).reshape(-1, 2).sum(axis=1).mean()))
    extent = float(np.linalg.norm(np.ptp(marks.reshape(-1, 2), axis=0)))
    if not 0.1 <= eye <= 60 or misfit > WORST_FIT * extent:
        raise _no_heights(f"the best fit misses them by {misfit:.0f} pixels")
    at = np.array([-feet[0], -feet[1], eye])  # origin under the first upright thing
    return View(_level(float(pitch)), at, focal, size, misfit, known)


def _level(pitch: float) -> Floats:
    """Rotation of a camera looking along +y, tilted down by `pitch` [rad]."""
    c, s = np.cos(pitch), np.sin(pitch)
    return np.array([[1.0, 0, 0], [0, -s, -c], [0, c, -s]])


def _no_rectangle(why: str) -> PhotoError:
    return PhotoError(
        "room.rectangle",
        f"The four floor points make no rectangle: {why}.",
        "Mark the corners in turn: near left, near right, far right, far left, all on the floor, "
        "and check the measured sides.",
    )


def _no_heights(why: str) -> PhotoError:
    return PhotoError(
        "room.heights",
        f"The two heights give no view: {why}.",
        "Mark foot and top of two upright things that stand on the floor, some way apart.",
    )
