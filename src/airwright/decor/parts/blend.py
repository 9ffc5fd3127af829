"""Shades by shares, blended so that like ones do not clump."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from airwright.decor.assembly import Floats
from airwright.decor.parts.organic import Ints, share_out

LEFT_MERIT = 1.5
"""How many neighbours of its own shade a full bag outweighs."""

NEAR = 1.15
"""Balloons closer than this many sums of radii are neighbours."""


def shares_of(shades: Sequence[str] | Mapping[str, float]) -> dict[str, float]:
    """Shade → share; a plain list means equal shares (a name given twice counts twice)."""
    if isinstance(shades, Mapping):
        return {name: float(share) for name, share in shades.items() if share > 0}
    found: dict[str, float] = {}
    for name in shades:
        found[name] = found.get(name, 0.0) + 1.0
    return found


def blend(
    centre: Floats,
    radius: Floats,
    size: Ints,
    shares: Sequence[Mapping[str, float]],
    seed: int,
) -> list[str]:
    """A shade for every balloon.

    Args:
        centre, radius: (N, 3) and (N,) [m].
        size: (N,) which size each is.
        shares: for each size shade → share; every size uses its shades in these shares as
            exactly as whole balloons allow.
        seed: decides between shades that are as good.

    Returns:
        (N,) names. Large balloons choose first; each takes the shade that its neighbours have
        least and of which most is left.
    """
    chance = np.random.default_rng(seed)
    left: list[dict[str, int]] = []
    for index, table in enumerate(shares):
        many = int((size == index).sum())
        counts = share_out(many, list(table.values())) if many else [0] * len(table)
        left.append(dict(zip(table, counts, strict=True)))
    quota = [dict(row) for row in left]
    friends = _neighbours(centre, radius)
    names = [""] * len(radius)
    # Along the body in turn within each size, so that what is left stays evenly spread.
    order = np.lexsort((chance.permutation(len(radius)), -np.round(radius, 6)))
    for row in order:
        near = [names[other] for other in friends[row] if names[other]]
        names[row] = _choice(near, left[size[row]], quota[size[row]])
        left[size[row]][names[row]] -= 1
    return names


def _choice(near: list[str], left: dict[str, int], quota: dict[str, int]) -> str:
    """The shade that neighbours have least and of which most is left; the first of equals."""
    choices = [name for name, many in left.items() if many]
    return min(choices, key=lambda name: near.count(name) - LEFT_MERIT * left[name] / quota[name])


def _neighbours(centre: Floats, radius: Floats) -> list[list[int]]:
    from scipy.spatial import cKDTree

    found: list[list[int]] = [[] for _ in radius]
    if len(radius) < 2:
        return found
    pairs = cKDTree(centre).query_pairs(2 * NEAR * float(radius.max()), output_type="ndarray")
    apart = np.linalg.norm(centre[pairs[:, 0]] - centre[pairs[:, 1]], axis=1)
    for a, b in pairs[apart < NEAR * radius[pairs].sum(axis=1)]:
        found[a].append(int(b))
        found[b].append(int(a))
    return found
