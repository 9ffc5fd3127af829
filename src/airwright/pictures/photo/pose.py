"""Where the venue's photo was taken from, out of a few marks in it.

Either four points of a rectangle on the floor whose sides were measured (a rug, tiles, tape),
or two upright things of known height (a door frame, a person against the wall). The floor's
own axes are x to the right along the rectangle's near side, y into the depth, z up, origin in
the middle of the rectangle (or under the first upright thing).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.fit import Marked, refined
from airwright.pictures.photo.rectangle import depth_of_rectangle
from airwright.pictures.photo.render import image_library
from airwright.pictures.photo.view import FOCAL_RANGE, USUAL_FOCAL, Floats, Pixel, View

LYING = 0.004
"""A noted lens that misses the marks by more is doubted, in longer sides of the photo."""
STEEPEST_RAD = np.radians(70)
"""A camera that looks down more steeply shows no decor, only its top."""
WORST_FIT = 0.03
"""Misfit over the marks' own extent above which they are no such rectangle."""


def view_of_rectangle(
    corners: Sequence[Pixel],
    width_m: float,
    depth_m: float | None,
    size: tuple[int, int],
    focal_px: float | None = None,
    uprights: Sequence[tuple[Pixel, Pixel, float]] = (),
) -> View:
    """Camera from four floor points: near left, near right, far right, far left [px].

    `uprights`, each foot and head [px] and height [m], hold it better. A depth that nobody
    measured (None) is read off the marks, which leaves more doubt. A noted focal length that the
    marks contradict is not believed. Raises PhotoError when they make no rectangle seen
    from above the floor.
    """
    marks = _checked(corners, size)
    measured = depth_m is not None
    if depth_m is None:
        depth_m = depth_of_rectangle(corners, width_m, size, focal_px)
    if not (0.05 <= width_m <= 100 and 0.05 <= depth_m <= 100):
        raise PhotoError(
            "room.rectangle",
            f"A rectangle of {width_m:g} m × {depth_m:g} m cannot be right.",
            "Give its measured sides, 5 cm to 100 m.",
        )
    half = np.array([width_m, depth_m]) / 2
    floor = np.array([[-1, -1, 0], [1, -1, 0], [1, 1, 0], [-1, 1, 0]]) * [*half, 0.0]
    focal, known = _lens(floor, marks, size, focal_px)
    solved = _solve(floor, marks, size, focal)
    if solved is None:
        raise _no_rectangle("they could only be seen from below the floor, or upside down")
    rotation, at, misfit = solved
    extent = float(np.linalg.norm(np.ptp(marks, axis=0)))
    if misfit > WORST_FIT * extent:
        raise _no_rectangle(f"the best fit misses them by {misfit:.0f} pixels")
    if not 0.1 <= at[2] <= 60:
        raise _no_rectangle(f"the camera would have been {at[2]:.1f} m above the floor")
    _check_slope(rotation)
    start = View(rotation, at, focal, size, misfit, known)
    usual = focal if known else USUAL_FOCAL * max(size)
    _checked_uprights(uprights, size)
    sides = floor[:, :2] / (2 * half)
    view = refined(start, Marked(sides, (width_m, depth_m), marks, uprights, measured), usual)
    if not 0.1 <= view.at[2] <= 60:
        raise _no_rectangle(f"the camera would have been {view.at[2]:.1f} m above the floor")
    return view


def _lens(
    floor: Floats, marks: Floats, size: tuple[int, int], noted_px: float | None
) -> tuple[float, bool]:
    """Focal length [px], and whether it is the noted one: not where it misses the marks by far
    and another lens does not (a cropped photo, or a note that a program left wrong)."""
    if noted_px is None:
        return _best_focal(floor, marks, size), False
    solved = _solve(floor, marks, size, noted_px)
    if solved is not None and solved[2] <= LYING * max(size):
        return noted_px, True
    other = _best_focal(floor, marks, size)
    better = _solve(floor, marks, size, other)
    if better is not None and (solved is None or better[2] < 0.4 * solved[2]):
        return other, False
    return noted_px, True


def _check_slope(rotation: Floats) -> None:
    if rotation[2, 2] < -np.sin(STEEPEST_RAD):
        raise PhotoError(
            "room.straight-down",
            "The camera looks almost straight down: decor seen so would show only its top.",
            "Take the photo standing, with the camera held level or tilted down a little.",
        )


def _checked(corners: Sequence[Pixel], size: tuple[int, int]) -> Floats:
    marks = np.asarray(corners, dtype=float)
    if marks.shape != (4, 2) or not np.isfinite(marks).all():
        raise _no_rectangle("four points are needed")
    reach = np.array(size, float)
    if (marks < -reach).any() or (marks > 2 * reach).any():
        raise _no_rectangle("some lie far outside the photo")
    edge = np.roll(marks, -1, axis=0) - marks
    if np.linalg.norm(edge, axis=1).min() < 0.01 * max(size):
        raise _no_rectangle("two of them are nearly the same point")
    across = np.linalg.svd(marks - marks.mean(axis=0), compute_uv=False)[1]
    if across < 0.008 * max(size):
        raise _no_rectangle("they lie on one line")
    following = np.roll(edge, -1, axis=0)
    turn = edge[:, 0] * following[:, 1] - edge[:, 1] * following[:, 0]
    if (turn >= 0).all():  # y runs down: near left, near right, far right turns left
        raise _no_rectangle("they go round the wrong way")
    if (turn >= 0).any():
        raise _no_rectangle("their sides cross or bend inwards: two of them changed places")
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
    cv2 = image_library()

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
    _checked_uprights(uprights, size)
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
    start = View(_level(float(pitch)), at, focal, size, misfit, known)
    none = Marked(np.zeros((0, 2)), (1.0, 1.0), np.zeros((0, 2)), uprights)
    return refined(start, none, focal, level=True)


def _checked_uprights(
    uprights: Sequence[tuple[Pixel, Pixel, float]], size: tuple[int, int]
) -> None:
    for foot, head, height in uprights:
        if not np.isfinite([*foot, *head]).all() or not 0.1 <= height <= 50:
            raise _no_heights("their heights must be between 10 cm and 50 m")
        if foot[1] - head[1] < 0.01 * max(size):
            raise _no_heights("each head must be above its foot")


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
