"""A mixed-integer programme, and HiGHS to solve it; the bound always comes along."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

INFINITY: Final = float("inf")
CLOSE: Final = 1e-6
"""How far a value may lie from a whole number, and a row from its limit."""


class NoSolution(ArithmeticError):
    """Nothing meets all rows."""


class OutOfTime(ArithmeticError):
    """Nothing was found in the time given, and something is known already."""


@dataclass(frozen=True, slots=True)
class Solved:
    """What the solver found.

    Attributes:
        values: of the variables, by their number.
        objective: of these values.
        bound: no values give less.
        proven: whether the solver closed the gap.
        seconds: how long it took.
    """

    values: tuple[float, ...]
    objective: float
    bound: float
    proven: bool
    seconds: float


@dataclass(slots=True)
class Program:
    """Minimise costs over variables with bounds and rows; variables are known by number."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, list[int], list[float]]] = field(default_factory=list)

    def variable(self, upper: float = INFINITY, *, whole: bool = False) -> int:
        """A new variable from 0 to `upper`."""
        self.lower.append(0.0)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.lower) - 1

    def row(
        self,
        terms: Mapping[int, float],
        *,
        at_least: float = -INFINITY,
        at_most: float = INFINITY,
    ) -> None:
        """A new row: at_least <= sum of coefficient times variable <= at_most."""
        kept = [(at, value) for at, value in terms.items() if value]
        self.rows.append((at_least, at_most, [at for at, _ in kept], [value for _, value in kept]))

    def minimise(
        self,
        costs: Mapping[int, float],
        seconds: float,
        absolute_gap: float = 0.0,
        start: Mapping[int, float] | None = None,
        *,
        must: bool = True,
    ) -> Solved:
        """Solve.

        Args:
            costs: cost of each variable that has one.
            seconds: time given; the best found by then is returned with its bound.
            absolute_gap: a gap up to this counts as closed.
            start: values of some variables from which the solver may begin; wrong ones do no harm.
            must: whether to go on when the time is up until something is found, however dear.

        Raises:
            OutOfTime: nothing was found in time, and nothing must be.
            NoSolution: no values meet all rows.
        """
        import numpy as np

        started = time.perf_counter()
        solver = self._solver(costs)
        solver.setOptionValue("mip_rel_gap", 0.0)
        solver.setOptionValue("mip_abs_gap", max(absolute_gap, CLOSE))
        solver.setOptionValue("time_limit", max(seconds, 0.05))
        if start:
            numbers = sorted(start)
            solver.setSolution(
                len(numbers),
                np.array(numbers, np.int32),
                np.array([start[at] for at in numbers], np.float64),
            )
        solver.run()
        if not _has_values(solver) and _name(solver) == "kTimeLimit":
            if not must:
                raise OutOfTime
            solver.setOptionValue("time_limit", INFINITY)
            solver.setOptionValue("mip_max_improving_sols", 1)
            solver.run()
        if not _has_values(solver):
            raise NoSolution(_name(solver))
        info = solver.getInfo()
        mixed = any(self.whole)
        value = float(info.objective_function_value)
        return Solved(
            values=tuple(solver.getSolution().col_value),
            objective=value,
            bound=float(info.mip_dual_bound) if mixed else value,
            proven=_name(solver) == "kOptimal",
            seconds=time.perf_counter() - started,
        )

    def _solver(self, costs: Mapping[int, float]) -> Any:
        import highspy
        import numpy as np
        from highspy._core import _Highs  # type: ignore[attr-defined,unused-ignore]

        model = highspy.HighsLp()
        model.num_col_, model.num_row_ = len(self.lower), len(self.rows)
        model.col_cost_ = np.array([costs.get(at, 0.0) for at in range(len(self.lower))])
        model.col_lower_, model.col_upper_ = np.array(self.lower), np.array(self.upper)
        model.row_lower_ = np.array([row[0] for row in self.rows])
        model.row_upper_ = np.array([row[1] for row in self.rows])
        starts = np.cumsum([0, *(len(row[2]) for row in self.rows)])
        model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
        model.a_matrix_.start_ = starts.astype(np.int32)
        model.a_matrix_.index_ = np.array([at for row in self.rows for at in row[2]], np.int32)
        model.a_matrix_.value_ = np.array([value for row in self.rows for value in row[3]])
        kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
        model.integrality_ = [kinds[whole] for whole in self.whole]
        # The outer class greets on standard output, where answers for programs go.
        solver: Any = _Highs()
        solver.setOptionValue("output_flag", False)
        solver.setOptionValue("random_seed", 1)
        solver.passModel(model)
        return solver


def _name(solver: Any) -> str:
    return str(solver.getModelStatus()).rsplit(".", 1)[-1]


def _has_values(solver: Any) -> bool:
    import highspy

    status = solver.getInfo().primal_solution_status
    return bool(status == highspy.SolutionStatus.kSolutionStatusFeasible)


def total(parts: Iterable[tuple[int, float]]) -> dict[int, float]:
    """Terms added up by variable."""
    found: dict[int, float] = {}
    for at, value in parts:
        found[at] = found.get(at, 0.0) + value
    return found
