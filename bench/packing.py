"""Soft packing: our relaxation against a general minimiser on the same energy.

    python -m bench packing            honest, the baseline may take minutes at 5,000 balloons
    python -m bench --quick packing    the baseline is stopped after twenty seconds a case

Both sides start from the same rings, compute energy and gradient with the same code (with its
neighbour list), use one BLAS thread and stop at the same largest force imbalance. The baseline is
`scipy.optimize.minimize(method="L-BFGS-B")`. Times leave out building the start. Memory is
the peak of a fresh process that does nothing else.
"""

from __future__ import annotations

import math
import resource
import subprocess
import sys
import time
from typing import Any

import numpy as np

from airwright.build.packing import SoftPacking, Tolerance, relax, ring_start
from airwright.build.packing.energy import System
from airwright.build.packing.relaxation import typical_force, worst
from airwright.build.packing.stiffness import Layout
from airwright.build.packing.threads import one_blas_thread

RADIUS_M = 4.75 * 0.0254  # an 11 in balloon at 9.5 in
PUSH_N = 40.0
RELATIVE = 1e-4  # force imbalance over a typical contact force, for both sides
RACED = (48, 500, 5_000)
ALONE = (500, 5_000, 50_000)
QUICK_SECONDS, FULL_SECONDS = 20.0, 900.0
REPEATS = 3  # ours is timed this often and the best taken; the baseline once


class TooLong(Exception):
    """The baseline has used up its time."""


def column(balloons: int) -> SoftPacking:
    """A pushed column of quads."""
    start = ring_start([[RADIUS_M] * 4] * (balloons // 4))
    return SoftPacking(
        start.centre0, start.radius, start.tie, start.tie_s0, neck_m=start.neck_m, push_n=PUSH_N
    )


def ours(problem: SoftPacking) -> tuple[float, float, float, int]:
    """Seconds (best of a few), energy [J], largest imbalance [N], steps."""
    best, packed = math.inf, None
    for _ in range(REPEATS):
        begin = time.perf_counter()
        packed = relax(problem, Tolerance(RELATIVE))
        best = min(best, time.perf_counter() - begin)
    assert packed is not None
    assert packed.converged
    return best, packed.energy_j, packed.residual_n, packed.iterations


def baseline(problem: SoftPacking, seconds: float) -> tuple[float, float, float, int, bool]:
    """Seconds, energy [J], largest imbalance [N], evaluations, whether it got there."""
    from scipy.optimize import minimize

    system = System(problem)
    layout = Layout(system)
    ties = len(system.s0)
    held = np.flatnonzero(~system.free)
    begin = time.perf_counter()
    calls, last = 0, (math.inf, math.inf)

    def energy(vector: np.ndarray) -> tuple[float, np.ndarray]:
        nonlocal calls, last
        calls += 1
        x, s = layout.scatter(vector, ties)
        s[held] = system.s0[held]
        state = system.evaluate(x, s)
        last = (state.energy, worst(state))
        if last[1] <= RELATIVE * typical_force(system, state):
            raise StopIteration
        if time.perf_counter() - begin > seconds:
            raise TooLong
        return state.energy, layout.gather(state.grad_x, state.grad_s)

    options = {"maxiter": 10**9, "maxfun": 10**9, "ftol": 0.0, "gtol": 0.0, "maxcor": 10}
    there = False
    try:
        first = layout.gather(system.x0, system.s0)
        with one_blas_thread():
            minimize(energy, first, jac=True, method="L-BFGS-B", options=options)
    except StopIteration:
        there = True
    except TooLong:
        pass
    return time.perf_counter() - begin, *last, calls, there


def peak_mib(balloons: int) -> float:
    """Peak memory of a fresh process that packs `balloons` [MiB]."""
    done = subprocess.run(
        [sys.executable, "-m", "bench.packing", str(balloons)],
        capture_output=True,
        text=True,
        check=True,
    )
    return float(done.stdout)


def run(quick: bool) -> dict[str, Any]:
    """Time both sides and how ours grows."""
    seconds = QUICK_SECONDS if quick else FULL_SECONDS
    ours(column(200))  # imports and caches warm
    rows = []
    mine: dict[int, float] = {}
    for balloons in sorted({*RACED, *ALONE}):
        problem = column(balloons)
        took, energy, force, steps = ours(problem)
        mine[balloons] = took
        row: dict[str, Any] = {
            "balloons": balloons,
            "ours, s": took,
            "our steps": steps,
            "imbalance, N": force,
            "peak, MiB": peak_mib(balloons),
            "L-BFGS-B, s": None,
            "its calls": None,
            "its imbalance, N": None,
            "times faster": None,
            "energies differ": None,
        }
        if balloons in RACED:
            other, its_energy, its_force, calls, there = baseline(problem, seconds)
            row |= {
                "L-BFGS-B, s": other if there else f"> {other:.0f} (stopped)",
                "its calls": calls,
                "its imbalance, N": its_force,
                "times faster": other / took if there else f"> {other / took:.0f}",
                "energies differ": abs(its_energy / energy - 1.0),
            }
        rows.append(row)
    growth = math.log(mine[ALONE[-1]] / mine[ALONE[0]]) / math.log(ALONE[-1] / ALONE[0])
    return {
        "title": "Soft packing of a pushed column of quads",
        "baseline": 'scipy.optimize.minimize(method="L-BFGS-B"), same energy, start and tolerance',
        "rows": rows,
        "note": f"Time grows as N^{growth:.2f} from {ALONE[0]} to {ALONE[-1]:,} balloons.",
    }


if __name__ == "__main__":
    relax(column(int(sys.argv[1])), Tolerance(RELATIVE))
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0)
