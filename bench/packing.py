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
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import numpy as np

from airwright.decor.packing import Packed, SoftPacking, Tolerance, relax, ring_start
from airwright.decor.packing.energy import System
from airwright.decor.packing.relaxation import typical_force, worst
from airwright.decor.packing.stiffness import Layout
from airwright.decor.packing.threads import one_blas_thread

INCH = 0.0254
LARGE_M, SMALL_M = 4.75 * INCH, 2.25 * INCH  # an 11 in balloon at 9.5 in, a 5 in one at 4.5 in
QUADS, UNLIKE, GARLAND = "quads", "unlike clusters", "random garland"
RELATIVE = {QUADS: 1e-4, UNLIKE: 1e-4, GARLAND: 1e-2}  # imbalance over a typical contact force
RACED = {QUADS: (48, 500, 5_000), UNLIKE: (504, 5_000), GARLAND: (504, 5_000)}
ALONE = {QUADS: (50_000,), UNLIKE: (50_000,), GARLAND: ()}
QUICK_SECONDS, FULL_SECONDS = 20.0, 900.0
REPEATS = 3  # ours is timed this often and the best taken; the baseline once


class TooLong(Exception):
    """The baseline has used up its time."""


def problem_of(case: str, balloons: int) -> SoftPacking:
    """A pushed column of quads, one of unlike clusters, or a random garland on a line."""
    if case == GARLAND:
        return _garland(balloons // 4)
    layers: list[list[float]] = [[LARGE_M] * 4] * (balloons // 4)
    if case == UNLIKE:
        layers = [[SMALL_M] * 4, [LARGE_M] * 2 + [SMALL_M] * 2] * (balloons // 8)
    start = ring_start(layers)
    return SoftPacking(
        start.centre0,
        start.radius,
        start.tie,
        start.tie_s0,
        neck_m=start.neck_m,
        push_n=40.0 if case == QUADS else 20.0,
    )


def _garland(clusters: int) -> SoftPacking:
    """Clusters of 11, 17 and 24 in balloons at random; only the end ties are held."""
    chance = np.random.default_rng(1)
    sizes = np.array([11.0, 17.0, 24.0]) * 0.9 * INCH / 2
    layers = [chance.choice(sizes, 4, p=[0.75, 0.2, 0.05]) for _ in range(clusters)]
    room = np.array([0.45 * float(layer.sum()) for layer in layers])
    place = np.cumsum(room) - room / 2
    start = ring_start(
        layers,
        start_s=float(place[0]),
        rise_m=[float(step) for step in np.diff(place)],
        rotation=[float(turn) for turn in chance.uniform(0.0, 6.28, clusters)],
    )
    free = np.ones(clusters, dtype=np.bool_)
    free[[0, -1]] = False
    return SoftPacking(
        start.centre0, start.radius, start.tie, start.tie_s0, neck_m=start.neck_m, tie_free=free
    )


def ours(problem: SoftPacking, relative: float) -> tuple[float, Packed]:
    """Seconds (best of a few) and the result."""
    best, packed = math.inf, None
    for _ in range(REPEATS):
        begin = time.perf_counter()
        packed = relax(problem, Tolerance(relative))
        best = min(best, time.perf_counter() - begin)
    assert packed is not None
    assert packed.converged
    return best, packed


def baseline(
    problem: SoftPacking, relative: float, seconds: float
) -> tuple[float, float, int, bool]:
    """Seconds, energy [J], evaluations, whether it got there."""
    from scipy.optimize import minimize

    system = System(problem)
    layout = Layout(system)
    ties = len(system.s0)
    held = np.flatnonzero(~system.free)
    begin = time.perf_counter()
    calls, last = 0, math.inf

    def energy(vector: np.ndarray) -> tuple[float, np.ndarray]:
        nonlocal calls, last
        calls += 1
        x, s = layout.scatter(vector, ties)
        s[held] = system.s0[held]
        state = system.evaluate(x, s)
        last = state.energy
        if worst(state) <= relative * typical_force(system, state):
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
    return time.perf_counter() - begin, last, calls, there


def peak_mib(case: str, balloons: int) -> float:
    """Peak memory of a fresh process that packs `balloons` [MiB]."""
    done = subprocess.run(
        [sys.executable, "-m", "bench.packing", case, str(balloons)],
        capture_output=True,
        text=True,
        check=True,
    )
    return float(done.stdout)


def run(quick: bool) -> dict[str, Any]:
    """Time both sides and how ours grows."""
    ours(problem_of(QUADS, 200), RELATIVE[QUADS])  # imports and caches warm
    rows = []
    mine: dict[tuple[str, int], float] = {}
    for case, relative in RELATIVE.items():
        for balloons in (*RACED[case], *ALONE[case]):
            problem = problem_of(case, balloons)
            took, packed = ours(problem, relative)
            mine[case, balloons] = took
            row: dict[str, Any] = {
                "case": case,
                "balloons": balloons,
                "ours, s": took,
                "steps": packed.iterations,
                "peak, MiB": peak_mib(case, balloons),
            }
            seconds = (QUICK_SECONDS if quick else FULL_SECONDS) * (balloons in RACED[case])
            rows.append(row | _raced(problem, relative, seconds, took, packed))
    growth = math.log(mine[QUADS, 50_000] / mine[QUADS, 500]) / math.log(100.0)
    return {
        "title": "Soft packing",
        "baseline": 'scipy.optimize.minimize(method="L-BFGS-B"), same energy, start and tolerance',
        "rows": rows,
        "note": f"On quads time grows as N^{growth:.2f} from 500 to 50,000 balloons. Unlike "
        "clusters and garlands have many balances; the two sides need not find the same one.",
    }


def _raced(
    problem: SoftPacking, relative: float, seconds: float, took: float, packed: Packed
) -> dict[str, Any]:
    """The baseline's columns; empty where it does not run."""
    if seconds == 0.0:
        return dict.fromkeys(("L-BFGS-B, s", "calls", "times faster", "energies differ"))
    other, its_energy, calls, there = baseline(problem, relative, seconds)
    more = "" if there else "> "
    return {
        "L-BFGS-B, s": other if there else f"> {other:.0f} (stopped)",
        "calls": calls,
        "times faster": other / took if there else f"{more}{other / took:.0f}",
        "energies differ": its_energy / packed.energy_j - 1.0,
    }


if __name__ == "__main__":
    relax(problem_of(sys.argv[1], int(sys.argv[2])), Tolerance(RELATIVE[sys.argv[1]]))
    status = Path("/proc/self/status").read_text(encoding="ascii")
    print(float(status.split("VmHWM:")[1].split()[0]) / 1024.0)  # unlike getrusage, not inherited
