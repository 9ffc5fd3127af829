"""Heaps of thousands of unlike balloons, brought to rest by following the slope.

Bodies several balloons deep couple far apart rows of a line, so that the band of `stiffness` grows
as wide as the body and Newton's steps as costly. Nothing in them has to carry a push over a
thousand layers, though, and friction holds them long before forces balance to the last percent:
a quasi-Newton method gets there in some hundred evaluations, whatever the size.
"""

import numpy as np

from airwright.decor.packing.energy import State, System
from airwright.decor.packing.model import Packed, SoftPacking, Tolerance
from airwright.decor.packing.rail import Floats
from airwright.decor.packing.relaxation import packed_at, typical_force, worst
from airwright.decor.packing.threads import one_blas_thread

_MEMORY = 8  # past steps that the method remembers


def relax_loosely(problem: SoftPacking, tolerance: Tolerance) -> Packed:
    """Balance the forces of `problem` as far as friction would let them go anyway.

    Parameters
    ----------
    problem : SoftPacking
        Without a push; ties may slide.
    tolerance : Tolerance
        Some hundredths are usual; `max_iterations` bounds the steps.

    Returns
    -------
    Packed
        As from `relax`; `stable` is not examined and reported as True.
    """
    from scipy.optimize import minimize

    system = System(problem)
    search = _Search(system, tolerance)
    if len(system.radius) == 0 or search.done():
        return packed_at(system, search.state, 0, True, True)
    with one_blas_thread():
        found = minimize(
            search.energy,
            search.vector(system.x0, system.s0),
            jac=True,
            method="L-BFGS-B",
            callback=search.stop_when_done,
            options={
                "maxiter": tolerance.max_iterations,
                "maxfun": 2 * tolerance.max_iterations,
                "maxcor": _MEMORY,
                "ftol": 0.0,
                "gtol": 0.0,
            },
        )
    search.energy(found.x)
    return packed_at(system, search.state, int(found.nit), search.done(), True)


class _Search:
    """The energy as a function of one long vector: centres, then the ties that slide."""

    def __init__(self, system: System, tolerance: Tolerance) -> None:
        self.system, self.tolerance = system, tolerance
        self.sliding = np.flatnonzero(system.free)
        self.state: State = system.evaluate(system.x0, system.s0)

    def vector(self, x: Floats, s: Floats) -> Floats:
        """Centres (N, 3) and tie places (M,) [m] as one vector."""
        return np.concatenate([x.ravel(), s[self.sliding]])

    def energy(self, vector: Floats) -> tuple[float, Floats]:
        """Energy [J] and its slope [N]."""
        count = 3 * len(self.system.radius)
        s = self.system.s0.copy()
        s[self.sliding] = vector[count:]
        self.state = self.system.evaluate(vector[:count].reshape(-1, 3), s)
        return self.state.energy, self.vector(self.state.grad_x, self.state.grad_s)

    def done(self) -> bool:
        """Whether the largest imbalance left is within the tolerance."""
        limit = self.tolerance.relative * typical_force(self.system, self.state)
        return worst(self.state) <= limit

    def stop_when_done(self, intermediate_result: object) -> None:
        """Called after each step; the state evaluated last is the one stepped to."""
        if self.done():
            raise StopIteration
