"""Places spread over a rectangle of ceiling: in even rows, or scattered so that none overlap."""

from __future__ import annotations

import numpy as np

from airwright.decor.assembly import Floats
from airwright.decor.parts.organic import share_out

SCATTER = 0.45
"""How far a scattered place strays from its place in the rows, of the room between places."""

ROUNDS = 200


def in_rows(count: int, width: float, length: float) -> Floats:
    """Places (count, 2) [m] in staggered rows over a rectangle about the origin.

    Rows run left to right; as many of them as make squares of the room between places, the
    places shared out over them as evenly as whole ones can be.
    """
    rows = max(1, min(count, round(float(np.sqrt(count * length / width)))))
    many = share_out(count, [1.0] * rows)
    places = []
    for row, here in enumerate(many):
        y = ((row + 0.5) / rows - 0.5) * length
        step = width / here
        shift = 0.25 * step * (1.0 if row % 2 else -1.0) if rows > 1 else 0.0
        x = (np.arange(here) + 0.5) * step - width / 2 + shift
        places.append(np.column_stack([x, np.full(here, y)]))
    return np.concatenate(places)


def spread_over(count: int, width: float, length: float, apart: float, seed: int | None) -> Floats:
    """Places (count, 2) [m] over a rectangle, in rows or scattered by chance (`seed`).

    They are at least `apart` [m] from each other where they fit.
    """
    from scipy.spatial import cKDTree

    places = in_rows(count, width, length)
    room = float(np.sqrt(width * length / count))
    if seed is not None:
        chance = np.random.default_rng(seed)
        places = places + SCATTER * room * chance.uniform(-1.0, 1.0, places.shape)
    half = np.maximum((np.array([width, length]) - apart) / 2, 0.0)
    for _ in range(ROUNDS):
        places = np.clip(places, -half, half)
        pairs = cKDTree(places).query_pairs(apart, output_type="ndarray")
        if not len(pairs):
            break
        way = places[pairs[:, 0]] - places[pairs[:, 1]]
        far = np.linalg.norm(way, axis=1)
        way = np.where(far[:, None] > 1e-9, way / (far[:, None] + 1e-12), [1.0, 0.0])
        push = 0.52 * (apart - far)[:, None] * way
        np.add.at(places, pairs[:, 0], push)
        np.add.at(places, pairs[:, 1], -push)
    return places


def bunches_over(
    count: int, bunch: int, radius: float, over: tuple[float, float], seed: int | None
) -> Floats:
    """Middles (count, 2) [m] of balloons that float in bunches, those at the front first.

    Args:
        count: of balloons; the last bunch may hold fewer.
        bunch: how many float together, 1 to 7.
        radius: of each [m].
        over: width and length of the rectangle, its middle at the origin [m].
        seed: scatters the bunches by chance; None for even rows.
    """
    bunches = -(-count // bunch)
    ring = ring_of(bunch, radius)
    middles = spread_over(bunches, *over, 2.02 * reach_of(bunch, radius), seed)
    chance = np.random.default_rng(seed or 0)
    found = []
    for middle in middles[np.argsort(middles[:, 1], kind="stable")]:
        turn = 0.0 if seed is None else float(chance.uniform(0.0, 2 * np.pi))
        c, s = np.cos(turn), np.sin(turn)
        found.append(middle + ring @ np.array([[c, s], [-s, c]]))
    return np.concatenate(found)[:count]


def reach_of(bunch: int, radius: float) -> float:
    """Radius of the circle that a bunch fills [m]."""
    return radius + float(np.linalg.norm(ring_of(bunch, radius), axis=1).max(initial=0.0))


def ring_of(many: int, radius: float) -> Floats:
    """Middles (many, 2) [m] of balloons that float together and just touch."""
    if many == 1:
        return np.zeros((1, 2))
    outer = many - 1 if many > 5 else many  # six or seven: one in the middle
    turn = 2 * np.pi * np.arange(outer) / outer
    reach = max(1.01 * radius / np.sin(np.pi / outer), 2.02 * radius if many > 5 else 0.0)
    ring = reach * np.column_stack([np.sin(turn), -np.cos(turn)])
    return np.concatenate([np.zeros((many - outer, 2)), ring])
