"""Which balloons are near enough to touch: a neighbour search that copes with mixed sizes."""

import numpy as np

from airwright.decor.packing.model import Ints
from airwright.decor.packing.rail import Floats

_ALL_PAIRS = 160  # balloons up to which all pairs are tried, sooner than loading the trees
_CLASS_RATIO = 1.6  # radii within this ratio share a search tree


def near_pairs(centre: Floats, radius: Floats, skin_m: float) -> tuple[Ints, Ints]:
    """Pairs (i, j), i < j, whose gap is below `skin_m` [m].

    One tree per size class, so that a few jumbos among thousands of 5 in balloons do not
    make every small balloon look as far as a jumbo reaches.
    """
    if len(radius) < 2:
        empty = np.empty(0, dtype=np.int64)
        return empty, empty
    if len(radius) <= _ALL_PAIRS:
        i, j = np.triu_indices(len(radius), 1)
    else:
        i, j = _from_trees(centre, radius, skin_m)
    apart = centre[i] - centre[j]
    reach_sq = (radius[i] + radius[j] + skin_m) ** 2
    near = np.einsum("ij,ij->i", apart, apart) < reach_sq
    return i[near], j[near]


def _from_trees(centre: Floats, radius: Floats, skin_m: float) -> tuple[Ints, Ints]:
    """Pairs that may be near, i < j, in order: the trees' own order changes with rotation."""
    from scipy.spatial import cKDTree

    label = np.floor(np.log(radius / radius.min()) / np.log(_CLASS_RATIO) + 1e-9).astype(int)
    members = [np.flatnonzero(label == c) for c in np.unique(label)]
    trees = [cKDTree(centre[m], balanced_tree=False, compact_nodes=False) for m in members]
    found: list[Ints] = []
    for a, (in_a, tree_a) in enumerate(zip(members, trees, strict=True)):
        reach_a = float(radius[in_a].max())
        own = tree_a.query_pairs(2.0 * reach_a + skin_m, output_type="ndarray")
        found.append(in_a[own].reshape(-1, 2))
        for in_b, tree_b in zip(members[a + 1 :], trees[a + 1 :], strict=True):
            reach = reach_a + float(radius[in_b].max()) + skin_m
            cross = tree_a.sparse_distance_matrix(tree_b, reach, output_type="coo_matrix")
            found.append(np.column_stack([in_a[cross.row], in_b[cross.col]]))
    pairs = np.concatenate(found)
    key = pairs.min(axis=1).astype(np.int64) * len(radius) + pairs.max(axis=1)
    key.sort()
    i, j = np.divmod(key, len(radius))
    return i, j
