"""The stiffness matrix of a state, kept as a narrow band, and the solve with it.

Unknowns are numbered along the rail (a free tie next to its balloons), so contacts couple
near numbers only and the band is as wide as one or two layers, however long the column.
Storage is LAPACK's lower band: entry (row, col), row >= col, lies at [row - col, col].
"""

import numpy as np

from airwright.build.packing.energy import Pressing, State, System
from airwright.build.packing.model import Ints
from airwright.build.packing.rail import Floats

_BAND_LIMIT = 4e8  # numbers in a band before a general sparse factorisation takes over
_LOWER = ((0, 0), (1, 1), (2, 2), (1, 0), (2, 0), (2, 1))


class Layout:
    """Numbers of the unknowns: three a balloon, one a free tie, in order along the rail."""

    def __init__(self, system: System) -> None:
        n = len(system.radius)
        free = np.flatnonzero(system.free)
        place = np.concatenate([system.along0, system.s0[free]])
        rank = np.argsort(place, kind="stable")
        size = np.concatenate([np.full(n, 3), np.full(len(free), 1)])
        first = np.empty(n + len(free), dtype=np.int64)
        first[rank] = np.concatenate([[0], np.cumsum(size[rank])[:-1]]) if len(rank) else []
        self.balloon: Ints = first[:n]
        self.tie = np.full(len(system.free), -1, dtype=np.int64)
        self.tie[free] = first[n:]
        self.free_ties = free
        self.size = int(size.sum())
        self._chain(system)
        self.slides = np.flatnonzero(system.free[system.tie])
        self._own_reach = 2
        if len(self.chained):
            self._own_reach += int(np.abs(self.chained[:, 0] - self.chained[:, 1]).max())
        if len(self.slides):
            own = self.tie[system.tie[self.slides]]
            hang = int(np.abs(self.balloon[self.slides] - own).max()) + 2
            self._own_reach = max(self._own_reach, hang)

    def _chain(self, system: System) -> None:
        """Neighbouring ties: `chained` (C, 2) both free, `anchored` (A,) free beside held."""
        in_order = self.tie[np.argsort(system.s0, kind="stable")]
        below, above = in_order[:-1], in_order[1:]
        both = (below >= 0) & (above >= 0)
        self.chained: Ints = np.column_stack([below[both], above[both]])
        self.anchored: Ints = np.concatenate([above[below < 0], below[above < 0]])
        self.anchored = self.anchored[self.anchored >= 0]

    def bandwidth(self, state: State) -> int:
        """How many places below the diagonal the pairs now touching reach."""
        reach = self._own_reach
        if len(state.pair_i):
            apart = self.balloon[state.pair_i] - self.balloon[state.pair_j]
            reach = max(reach, int(np.abs(apart).max()) + 2)
        return min(reach, max(self.size - 1, 0))

    def gather(self, on_balloons: Floats, on_ties: Floats) -> Floats:
        """One long vector from balloon values (N, 3) and tie values (M,)."""
        out = np.zeros(self.size)
        out[self.balloon[:, None] + np.arange(3)] = on_balloons
        out[self.tie[self.free_ties]] = on_ties[self.free_ties]
        return out

    def scatter(self, vector: Floats, ties: int) -> tuple[Floats, Floats]:
        """Balloon values (N, 3) and tie values (M,) from one long vector."""
        on_ties = np.zeros(ties)
        on_ties[self.free_ties] = vector[self.tie[self.free_ties]]
        return vector[self.balloon[:, None] + np.arange(3)], on_ties


def _blocks(pressing: Pressing, keep: float) -> Floats:
    """Stiffness blocks (K, 6) of contacts, order `_LOWER`.

    A push along the normal n also pushes sideways, the more the more it pushes; that part
    (-f/d) can make the whole indefinite, so only a share `keep` of it is kept.
    """
    side = keep * pressing.force * pressing.per_m
    block = _outer(pressing.normal, pressing.stiffness + side, -side)
    if pressing.still is not None:
        block += _outer(pressing.still, side, np.zeros(len(side)))
    return block


def _outer(n: Floats, along: Floats, everywhere: Floats) -> Floats:
    """along * n n^T + everywhere * I as (K, 6)."""
    out = np.empty((len(n), 6))
    for k, (a, b) in enumerate(_LOWER):
        out[:, k] = along * n[:, a] * n[:, b]
    out[:, :3] += everywhere[:, None]
    return out


class Stiffness:
    """The matrix at one state: `keep` of the indefinite parts, `damping` [N/m] added.

    The damping acts on each balloon's movement relative to its own tie, and on each tie's
    relative to the next, so that it slows swinging, tumbling and the closing of gaps but
    never the sliding of a thousand layers together.
    """

    def __init__(
        self, system: System, layout: Layout, state: State, keep: float, damping: float
    ) -> None:
        self.layout = layout
        self.n = layout.size
        self.width = layout.bandwidth(state)
        self._dense_enough = (self.width + 1) * self.n <= _BAND_LIMIT
        self._at: list[Ints] = []
        self._value: list[Floats] = []
        self._fill(system, state, keep, damping)

    def _put(self, row: Ints, col: Ints, value: Floats) -> None:
        low, high = np.minimum(row, col), np.maximum(row, col)
        self._at.append((low * (self.width + 1) + (high - low)).ravel())
        self._value.append(value.ravel())

    def _fill(self, system: System, state: State, keep: float, damping: float) -> None:
        n = len(system.radius)
        i, j = state.pair_i, state.pair_j
        pair = _blocks(state.pairs, keep)
        own = np.zeros((n, 6))
        for one in (state.pole, state.floor):
            own[one.index] += _blocks(one, keep)
        neck = self._neck_blocks(system, state, keep, damping)
        for k in range(6):
            own[:, k] += np.bincount(i, pair[:, k], minlength=n)
            own[:, k] += np.bincount(j, pair[:, k], minlength=n)
        own += neck
        own[:, :3] += 1e-10 * system.wall[:, None]  # holds what nothing else holds
        first = self.layout.balloon
        row_offset = np.array([a for a, _ in _LOWER])
        col_offset = np.array([b for _, b in _LOWER])
        self._put(first[:, None] + row_offset, first[:, None] + col_offset, own)
        full = np.array([[0, 3, 4], [3, 1, 5], [4, 5, 2]]).ravel()
        rows, cols = np.repeat(np.arange(3), 3), np.tile(np.arange(3), 3)
        self._put(first[i][:, None] + rows, first[j][:, None] + cols, -pair[:, full])
        if len(self.layout.free_ties):
            self._fill_ties(system, state, neck, keep, damping)

    def _neck_blocks(self, system: System, state: State, keep: float, damping: float) -> Floats:
        side = state.neck_force * state.neck_per_m
        side = np.where(side < 0.0, keep * side, side)
        return _outer(state.neck_dir, system.spring - side, side + system.grip + damping)

    def _fill_ties(
        self, system: System, state: State, neck: Floats, keep: float, damping: float
    ) -> None:
        layout, slides = self.layout, self.layout.slides
        tie = system.tie[slides]
        t, b = state.tangent[tie], neck[slides]
        bt = np.empty((len(slides), 3))
        bt[:, 0] = b[:, 0] * t[:, 0] + b[:, 3] * t[:, 1] + b[:, 4] * t[:, 2]
        bt[:, 1] = b[:, 3] * t[:, 0] + b[:, 1] * t[:, 1] + b[:, 5] * t[:, 2]
        bt[:, 2] = b[:, 4] * t[:, 0] + b[:, 5] * t[:, 1] + b[:, 2] * t[:, 2]
        tbt = np.einsum("ij,ij->i", bt, t)
        curve = system.bend_at(state.s)[tie]
        held = state.neck_force[slides, None] * state.neck_dir[slides]
        held += system.grip[slides, None] * (
            state.x[slides] - state.point[tie] - system.tied[slides]
        )
        pull = np.einsum("ij,ij->i", held, curve)
        tbt += np.where(pull > 0.0, -keep * pull, -pull)
        own = np.zeros(self.n)
        own[layout.tie[layout.free_ties]] = 1e-10 * float(system.wall.mean())
        own += np.bincount(layout.tie[tie], tbt, minlength=self.n)
        below, above = layout.chained.T
        for end in (below, above, layout.anchored):
            own += damping * np.bincount(end, minlength=self.n)
        self._put(above, below, np.full(len(above), -damping))
        at = layout.tie[layout.free_ties]
        self._put(at, at, own[at])
        rows = layout.balloon[slides][:, None] + np.arange(3)
        self._put(rows, np.broadcast_to(layout.tie[tie][:, None], rows.shape), -bt)

    def factor(self) -> bool:
        """Factorise; False when the matrix is not positive definite."""
        at, value = np.concatenate(self._at), np.concatenate(self._value)
        self._at, self._value = [], []
        if self._dense_enough:
            from scipy.linalg.lapack import dpbtrf

            band = np.zeros(self.n * (self.width + 1))
            band[at] = value
            shaped = band.reshape(self.n, self.width + 1).T
            self._factor, info = dpbtrf(shaped, lower=1, overwrite_ab=1)
            return bool(info == 0)
        return self._factor_sparse(at, value)

    def _factor_sparse(self, at: Ints, value: Floats) -> bool:
        from scipy.sparse import coo_matrix
        from scipy.sparse.linalg import splu

        col, below = np.divmod(at, self.width + 1)
        lower = coo_matrix((value, (col + below, col)), shape=(self.n, self.n)).tocsc()
        diagonal = lower.diagonal()
        whole = lower + lower.T
        whole.setdiag(diagonal)
        try:
            self._lu = splu(
                whole.tocsc(),
                permc_spec="MMD_AT_PLUS_A",
                diag_pivot_thresh=0.0,
                options={"SymmetricMode": True},
            )
        except RuntimeError:
            return False
        return bool(np.all(self._lu.U.diagonal() > 0.0))

    def solve(self, right: Floats) -> Floats:
        """The step (n,) for the force (n,); only after `factor` returned True."""
        if self._dense_enough:
            from scipy.linalg.lapack import dpbtrs

            step, _ = dpbtrs(self._factor, right, lower=1)
            out: Floats = step
            return out
        solved: Floats = self._lu.solve(right)
        return solved
