"""The stiffness matrix of a state, kept as a narrow band, and the solve with it.

Unknowns are numbered along the rail (a free tie next to its balloons), so contacts couple
near numbers only and the band is as wide as one or two layers, however long the column.
Storage is LAPACK's lower band: entry (row, col), row >= col, lies at [row - col, col].
"""

import numpy as np

from airwright.decor.packing.energy import Pressing, State, System
from airwright.decor.packing.model import Ints
from airwright.decor.packing.rail import Floats

_BAND_LIMIT = 4e8  # numbers in a band before a general sparse factorisation takes over
_LOWER = ((0, 0), (1, 1), (2, 2), (1, 0), (2, 0), (2, 1))  # order of a block's six numbers
_SQUARE = ((0, 3, 4), (3, 1, 5), (4, 5, 2))  # where a block's entry (row, col) is among them


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
        self._kept = np.empty(0)
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

    def blank(self, size: int) -> Floats:
        """Zeros, in memory kept from one matrix to the next: only one is in use at a time."""
        if len(self._kept) < size:
            self._kept = np.zeros(size)
            return self._kept
        band = self._kept[:size]
        band.fill(0.0)
        return band

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
    """Stiffness blocks (6, K) of contacts, order `_LOWER`.

    A push along the normal n also pushes sideways, the more the more it pushes; that part
    (-f/d) can make the whole indefinite, so only a share `keep` of it is kept.
    """
    side = keep * pressing.force * pressing.per_m
    block = _outer(pressing.normal, pressing.stiffness + side, -side)
    if pressing.still is not None:
        block += _outer(pressing.still, side, np.zeros(len(side)))
    return block


def _outer(n: Floats, along: Floats, everywhere: Floats) -> Floats:
    """along * n n^T + everywhere * I as (6, K); rows are contiguous, which is faster."""
    part = np.ascontiguousarray(n.T)
    out = np.empty((6, len(n)))
    for k, (a, b) in enumerate(_LOWER):
        np.multiply(part[a], part[b], out=out[k])
        out[k] *= along
    out[:3] += everywhere
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
        self._band: Floats | None = None
        if (self.width + 1) * self.n <= _BAND_LIMIT:
            self._band = layout.blank((self.width + 1) * self.n)
        self._at: list[Ints] = []
        self._value: list[Floats] = []
        self._fill(system, state, keep, damping)

    def _put(self, at: Ints, value: Floats) -> None:
        """Values at places of the band, each place once: col * (width + 1) + row - col."""
        if self._band is not None:
            self._band[at] = value
        else:
            self._at.append(at)
            self._value.append(value)

    def entries(self) -> tuple[Ints, Ints, Floats]:
        """Rows, columns and values of the lower triangle, before factorising."""
        if self._band is not None:
            at, value = np.arange(len(self._band)), self._band
            inside = at % (self.width + 1) + at // (self.width + 1) < self.n
            at, value = at[inside], value[inside]
        else:
            at, value = np.concatenate(self._at), np.concatenate(self._value)
        col, below = np.divmod(at, self.width + 1)
        return col + below, col, value

    def _fill(self, system: System, state: State, keep: float, damping: float) -> None:
        n, w = len(system.radius), self.width
        i, j = state.pair_i, state.pair_j
        pair = _blocks(state.pairs, keep)
        neck = self._neck_blocks(system, state, keep, damping)
        own = neck.copy()
        own[:3] += 1e-10 * system.wall  # holds what nothing else holds
        for one in (state.pole, state.floor, state.behind):
            own[:, one.index] += _blocks(one, keep)
        for k in range(6):
            own[k] += np.bincount(i, pair[k], minlength=n)
            own[k] += np.bincount(j, pair[k], minlength=n)
        first = self.layout.balloon
        for k, (row, col) in enumerate(_LOWER):
            self._put(first * (w + 1) + (col * w + row), own[k])
        base = first[i] * w + first[j]  # balloons are numbered along the rail: i before j
        np.negative(pair, out=pair)
        for row in range(3):
            for col in range(3):
                self._put(base + (col * w + row), pair[_SQUARE[row][col]])
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
        t, b = state.tangent[tie].T, neck[:, slides]
        bt = [sum(b[_SQUARE[row][col]] * t[col] for col in range(3)) for row in range(3)]
        tbt = sum(bt[row] * t[row] for row in range(3))
        held = state.neck_force[slides, None] * state.neck_dir[slides]
        swung = state.x[slides] - state.point[tie] - system.tied[slides]
        held += system.grip[slides, None] * swung
        pull = np.einsum("ij,ij->i", held, system.bend_at(state.s)[tie])
        tbt += np.where(pull > 0.0, -keep * pull, -pull)
        own = np.zeros(self.n)
        own[layout.tie[layout.free_ties]] = 1e-10 * float(system.wall.mean())
        own += np.bincount(layout.tie[tie], tbt, minlength=self.n)
        below, above = layout.chained.T
        for end in (below, above, layout.anchored):
            own += damping * np.bincount(end, minlength=self.n)
        self._put(self._place(above, below), np.full(len(above), -damping))
        at = layout.tie[layout.free_ties]
        self._put(self._place(at, at), own[at])
        for row in range(3):
            self._put(self._place(layout.balloon[slides] + row, layout.tie[tie]), -bt[row])

    def _place(self, row: Ints, col: Ints) -> Ints:
        """Where the entry (row, col), or its mirror image, lies in the band."""
        low, high = np.minimum(row, col), np.maximum(row, col)
        place: Ints = low * self.width + high
        return place

    def factor(self) -> bool:
        """Factorise; False when the matrix is not positive definite."""
        if self._band is None:
            return self._factor_sparse()
        from scipy.linalg.lapack import dpbtrf

        shaped = self._band.reshape(self.n, self.width + 1).T
        self._factor, info = dpbtrf(shaped, lower=1, overwrite_ab=1)
        return bool(info == 0)

    def _factor_sparse(self) -> bool:
        from scipy.sparse import coo_matrix
        from scipy.sparse.linalg import splu

        row, col, value = self.entries()
        lower = coo_matrix((value, (row, col)), shape=(self.n, self.n)).tocsc()
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
        if self._band is not None:
            from scipy.linalg.lapack import dpbtrs

            step, _ = dpbtrs(self._factor, right, lower=1)
            out: Floats = step
            return out
        solved: Floats = self._lu.solve(right)
        return solved
