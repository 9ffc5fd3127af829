"""A picture in balloons: which shades, and which balloon takes which.

Pictures are arrays (H, W, 3) of linear light; a cell is one balloon of a wall. Whoever reads
image files hands them over as such (`airwright.pictures`).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Floats
from airwright.physics.srgb import encoded_of, light_of_hex

Cells = NDArray[np.intp]

FAR: Final = 12.0
"""CIEDE2000 beyond which it misleads; farther colours are compared in OKLab instead."""

OK_SCALE: Final = 100.0
"""OKLab distances times this are of the size of CIEDE2000 for small differences, roughly."""

GROUPS: Final = 220
"""Colours that the choice of shades is made for; like colours of a picture are put together."""

EDGE_WEIGHT: Final = 4.0
"""How much more a pixel on an outline counts when a cell votes for its shade."""

SIDE: Final = 6
"""Pixels along the side of a cell that a flat picture votes with."""

KERNEL: Final = ((0, 1, 7 / 16), (1, -1, 3 / 16), (1, 0, 5 / 16), (1, 1, 1 / 16))
"""Floyd and Steinberg's shares of the error: rows down, cells along, share."""

Style = Literal["smooth", "flat"]


@dataclass(frozen=True, slots=True, eq=False)
class Mosaic:
    """A picture laid in shades.

    Attributes:
        cells: (tall, wide) number of the shade, top row first.
        colours: (N, 3) linear light of the shades.
        counts: (N,) balloons of each.
        mean_difference: CIEDE2000 between picture and mosaic as the eye mixes neighbours.
        nearest_difference: the same with the plain nearest shade in each cell.
    """

    cells: Cells
    colours: Floats
    counts: NDArray[np.intp]
    mean_difference: float
    nearest_difference: float


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """Shades chosen for a picture.

    Attributes:
        chosen: numbers of the shades, in their order.
        error: mean squared difference of the picture's colours to the nearest chosen shade.
        bound: no choice of as many shades can have a smaller one.
        proven: whether error and bound agree.
    """

    chosen: tuple[int, ...]
    error: float
    bound: float
    proven: bool


def lab(light: Floats) -> Floats:
    """CIE Lab (D65) of linear light (…, 3)."""
    from skimage.color import rgb2lab

    return np.asarray(rgb2lab(encoded_of(light)), dtype=np.float64)


def oklab(light: Floats) -> Floats:
    """OKLab of linear light (…, 3) (B. Ottosson 2020, constants from memory, checked in a test)."""
    to_cones = np.array(
        [
            [0.4122214708, 0.5363325363, 0.0514459929],
            [0.2119034982, 0.6806995451, 0.1073969566],
            [0.0883024619, 0.2817188376, 0.6299787005],
        ]
    )
    to_lab = np.array(
        [
            [0.2104542553, 0.7936177850, -0.0040720468],
            [1.9779984951, -2.4285922050, 0.4505937099],
            [0.0259040371, 0.7827717662, -0.8086757660],
        ]
    )
    return np.asarray(np.cbrt(np.asarray(light) @ to_cones.T) @ to_lab.T)


def _ciede2000(one: Floats, other: Floats) -> Floats:
    from skimage import color

    apart: Any = color.deltaE_ciede2000  # the library's types leave it out
    return np.asarray(apart(one, other), dtype=np.float64)


def differences(light: Floats, colours: Floats) -> Floats:
    """How unlike each of (M, 3) is each of (N, 3): CIEDE2000, and OKLab where that is far.

    Returns:
        (M, N).
    """
    near = _ciede2000(lab(light)[:, None, :], lab(colours)[None, :, :])
    apart = OK_SCALE * np.linalg.norm(oklab(light)[:, None] - oklab(colours)[None], axis=-1)
    return np.asarray(np.where(near <= FAR, near, np.maximum(apart, FAR)))


def averaged(picture: Floats, tall: int, wide: int) -> Floats:
    """A picture (H, W, 3) as cells (tall, wide, 3), light averaged over each cell's area."""
    return _resampled(_resampled(picture, tall, 0), wide, 1)


def _resampled(picture: Floats, count: int, axis: int) -> Floats:
    """Exact area averages along one axis, also where a cell is smaller than a pixel."""
    many = picture.shape[axis]
    moved = np.moveaxis(picture, axis, 0)
    total = np.concatenate([np.zeros((1, *moved.shape[1:])), np.cumsum(moved, axis=0)])
    edges = np.linspace(0.0, many, count + 1)
    whole = np.minimum(edges.astype(int), many - 1)
    part = (edges - whole).reshape(-1, *([1] * (moved.ndim - 1)))
    upto = total[whole] + part * moved[whole]
    return np.moveaxis(np.diff(upto, axis=0) * (count / many), 0, axis)


def choose(picture: Floats, colours: Floats, count: int, seconds: float = 20.0) -> Choice:
    """The best few of many shades for a picture, by exact optimisation.

    Each group of like colours goes to one chosen shade; the sum of squared differences is least
    (facility location, solved by HiGHS).

    Args:
        picture: (H, W, 3) linear light.
        colours: (N, 3) shades to choose from.
        count: how many, 1..N.
        seconds: what the solver may take; its best and its bound are told.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import coo_matrix, vstack

    centres, weights = grouped(picture)
    cost = differences(centres, colours) ** 2 * weights[:, None] / weights.sum()
    groups, shades = cost.shape
    if count >= shades:
        least = float(cost.min(axis=1).sum())
        return Choice(tuple(range(shades)), least, least, True)
    size = shades + groups * shades
    objective = np.concatenate([np.zeros(shades), cost.ravel()])
    at = np.arange(groups * shades)
    one_each = coo_matrix((np.ones(at.size), (at // shades, shades + at)), (groups, size))
    only_open = coo_matrix(
        (
            np.concatenate([np.ones(at.size), -np.ones(at.size)]),
            (np.concatenate([at, at]), np.concatenate([shades + at, at % shades])),
        ),
        (at.size, size),
    )
    number = coo_matrix((np.ones(shades), (np.zeros(shades, int), np.arange(shades))), (1, size))
    low = np.concatenate([np.ones(groups), np.full(at.size, -np.inf), [count]])
    high = np.concatenate([np.ones(groups), np.zeros(at.size), [count]])
    found = milp(
        objective,
        constraints=LinearConstraint(vstack([one_each, only_open, number]).tocsr(), low, high),
        integrality=np.concatenate([np.ones(shades), np.zeros(at.size)]),
        bounds=Bounds(0, 1),
        options={"time_limit": seconds, "mip_rel_gap": 1e-6},
    )
    opened = np.sort(np.argsort(-found.x[:shades])[:count])
    error = float(cost[:, opened].min(axis=1).sum())  # recomputed, the solver is not trusted
    bound = float(found.mip_dual_bound)
    return Choice(
        tuple(int(k) for k in opened), error, bound, error - bound <= 1e-5 * max(error, 1)
    )


def grouped(picture: Floats) -> tuple[Floats, Floats]:
    """Like colours of a picture put together: centres (M, 3) and how many cells each stands for."""
    flat = picture.reshape(-1, 3)
    steps = 24
    while True:
        coded = np.floor(encoded_of(flat) * steps).astype(int).clip(0, steps - 1)
        key = (coded[:, 0] * steps + coded[:, 1]) * steps + coded[:, 2]
        _, inverse, counts = np.unique(key, return_inverse=True, return_counts=True)
        if len(counts) <= GROUPS or steps <= 4:
            break
        steps -= 2
    centres = np.stack(
        [np.bincount(inverse.ravel(), flat[:, band]) / counts for band in range(3)], axis=-1
    )
    return centres, counts.astype(float)


def laid(
    picture: Floats, colours: Floats, tall: int, wide: int, style: Style, *, outlines: bool = True
) -> Mosaic:
    """Lay a picture in shades.

    Args:
        picture: (H, W, 3) linear light, of any size.
        colours: (N, 3) linear light of the shades.
        tall, wide: cells.
        style: "smooth" spreads each cell's error over its neighbours, "flat" keeps areas even.
        outlines: flat only: pixels on an outline count more, so that thin lines stay.
    """
    goal = averaged(picture, tall, wide)
    nearest = nearest_of(goal, colours)
    if style == "smooth":
        cells = diffused(goal, colours)
    else:
        cells = voted(picture, colours, tall, wide, outlines=outlines)
    return Mosaic(
        cells=cells,
        colours=colours,
        counts=np.bincount(cells.ravel(), minlength=len(colours)),
        mean_difference=mixed_difference(goal, colours[cells]),
        nearest_difference=mixed_difference(goal, colours[nearest]),
    )


def diffused(goal: Floats, colours: Floats) -> Cells:
    """Error diffusion in linear light: what a cell cannot show, its neighbours make good.

    The nearest shade is the nearest in OKLab, which stays sensible far from every shade. What no
    shade can show is not passed on, or it would pile up; rows run to and fro, so that no pattern
    leans to one side.
    """
    known = oklab(colours)

    def nearest(wanted: Floats) -> int:
        return int(((known - oklab(wanted)) ** 2).sum(axis=1).argmin())

    return spread(goal, colours, nearest, zigzag=True, cut=True)


def spread(
    goal: Floats,
    colours: Floats,
    nearest: Callable[[Floats], int],
    *,
    zigzag: bool = False,
    cut: bool = False,
) -> Cells:
    """Floyd and Steinberg's error diffusion.

    Args:
        goal: (tall, wide, C).
        colours: (N, C).
        nearest: which of the colours a value (C,) takes.
        zigzag: whether every second row runs from right to left.
        cut: whether a value is cut to 0..1 before it is compared and its error passed on.
    """
    tall, wide, bands = goal.shape
    light = np.zeros((tall + 1, wide + 2, bands))
    light[:tall, 1:-1] = goal
    cells = np.zeros((tall, wide), dtype=np.intp)
    for row in range(tall):
        step = -1 if zigzag and row % 2 else 1
        for along in range(wide)[::step]:
            wanted = light[row, along + 1]
            if cut:
                wanted = np.minimum(np.maximum(wanted, 0.0), 1.0)
            pick = nearest(wanted)
            cells[row, along] = pick
            error = wanted - colours[pick]
            for down, aside, share in KERNEL:
                light[row + down, along + 1 + step * aside] += share * error
    return cells


def voted(picture: Floats, colours: Floats, tall: int, wide: int, *, outlines: bool) -> Cells:
    """Flat areas: each cell takes the shade that most of its pixels come nearest to."""
    fine = averaged(picture, tall * SIDE, wide * SIDE)
    label = nearest_of(fine, colours)
    weight = np.ones(label.shape)
    if outlines:
        weight += (EDGE_WEIGHT - 1.0) * _thin(label)
    votes = np.zeros((tall, wide, len(colours)))
    cell = (np.arange(tall * SIDE) // SIDE)[:, None] * wide + np.arange(wide * SIDE) // SIDE
    np.add.at(votes.reshape(-1, len(colours)), (cell.ravel(), label.ravel()), weight.ravel())
    return np.asarray(votes.argmax(axis=2), dtype=np.intp)


def nearest_of(picture: Floats, colours: Floats) -> Cells:
    """The nearest shade of each pixel (H, W); colours are told apart in 64 steps a channel."""
    coded = np.floor(encoded_of(picture) * 64).astype(np.int64).clip(0, 63)
    key = ((coded[..., 0] * 64 + coded[..., 1]) * 64 + coded[..., 2]).ravel()
    _, first, inverse = np.unique(key, return_index=True, return_inverse=True)
    found = differences(picture.reshape(-1, 3)[first], colours).argmin(axis=1)
    return np.asarray(found[inverse.ravel()].reshape(picture.shape[:2]), dtype=np.intp)


def _thin(label: Cells) -> NDArray[np.bool_]:
    """Pixels of lines thinner than a cell: unlike what lies a cell away on two opposite sides."""
    padded = np.pad(label, SIDE, mode="edge")
    tall, wide = label.shape
    across = (padded[SIDE:-SIDE, :wide] != label) & (padded[SIDE:-SIDE, 2 * SIDE :] != label)
    down = (padded[:tall, SIDE:-SIDE] != label) & (padded[2 * SIDE :, SIDE:-SIDE] != label)
    return np.asarray(across | down, dtype=np.bool_)


def mixed_difference(goal: Floats, shown: Floats, cells: float = 1.5) -> float:
    """Mean CIEDE2000 between two pictures whose light is mixed over a few cells, as from afar."""
    from scipy.ndimage import gaussian_filter

    soft = [gaussian_filter(one, (cells, cells, 0), mode="nearest") for one in (goal, shown)]
    return float(_ciede2000(lab(soft[0]), lab(soft[1])).mean())


def palette(colours: Sequence[str]) -> Floats:
    """(N, 3) linear light of "#rrggbb" colours."""
    return np.array([light_of_hex(colour) for colour in colours]).reshape(-1, 3)
