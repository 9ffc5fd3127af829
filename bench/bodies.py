"""Organic bodies: garlands and clouds settled, small clusters tucked in; and how that grows.

    python -m bench bodies            up to 50,000 balloons
    python -m bench --quick bodies    up to 5,000

The baseline is the same packing done by Newton's method (`packing.relax`), which carries a push
through a thousand layers in a few steps, but whose matrix grows as wide as the body. Processor
time, not time on the clock: other work on the machine does not count.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable
from typing import Any
from unittest.mock import patch

from airwright.catalog import default_catalog
from airwright.decor.armatures import Line
from airwright.decor.context import Context
from airwright.decor.packing import relax
from airwright.decor.parts import organic
from airwright.decor.parts.mix import fill_line, mix_counts
from airwright.decor.parts.stack import layer_of, settle
from airwright.decor.pieces.cloud import GRIP, CloudSpec, oval_of
from airwright.decor.pieces.garland import GarlandSpec
from airwright.job.cluster import Cluster

CTX = Context(default_catalog(), {})
CLOUDS = ((20, 5), (40, 10), (60, 16))
GARLANDS_M = (17.0, 170.0, 1700.0)
COLUMNS = (500, 5_000, 50_000)
FOOT_M = 0.3048
RACED = 2_000  # balloons up to which the baseline runs
TEXTURED = ("4 x 5in @ 4.5in", "2 x 11in @ 9.5in + 2 x 5in @ 4.5in")


def took(work: Callable[[], object]) -> float:
    """Processor seconds of some work."""
    begin = time.process_time()
    work()
    return time.process_time() - begin


def cloud(wide_ft: int, tall_ft: int) -> tuple[int, Callable[[], object]]:
    """Balloons of a ceiling cloud, and the work of settling it."""
    spec = CloudSpec(
        name="Cloud", width=wide_ft * FOOT_M, height=tall_ft * FOOT_M, shades=["white"]
    )
    oval = oval_of(spec, CTX)
    counts = mix_counts(spec, CTX, oval.filled_m)
    return sum(counts), lambda: fill_line(spec, CTX, oval.line, counts, grip=GRIP, floor=False)


def garland(length_m: float) -> tuple[int, Callable[[], object]]:
    """Balloons of a straight garland, and the work of settling it."""
    spec = GarlandSpec(name="Garland", width=3.0, shades=["white"])
    line = Line((-length_m / 2, 0.0, 3.0), (length_m / 2, 0.0, 3.0))
    counts = mix_counts(spec, CTX, length_m)
    return sum(counts), lambda: fill_line(spec, CTX, line, counts)


def column(balloons: int) -> tuple[int, Callable[[], object]]:
    """Balloons of a column of unlike clusters with a face, and the work of settling it."""
    body = [layer_of(Cluster.parse(made), CTX, "5in") for made in TEXTURED]
    layers = body * (balloons // 8)
    return balloons, lambda: settle(layers, push_n=CTX.push_n, pole_radius_m=0.0125)


def by_newton(work: Callable[[], object]) -> float:
    """Processor seconds of the same work with Newton's method in place of the slope."""
    with patch.object(organic, "relax_loosely", relax):
        return took(work)


def run(quick: bool) -> dict[str, Any]:
    """Time clouds, garlands and textured columns, and how each grows."""
    cases = {
        "ceiling cloud": [cloud(*size) for size in CLOUDS],
        "garland": [garland(length) for length in GARLANDS_M[: 2 if quick else 3]],
        "textured column": [column(many) for many in COLUMNS[: 2 if quick else 3]],
    }
    cases["garland"][0][1]()  # imports and caches warm
    rows, growth = [], []
    for case, sizes in cases.items():
        times = []
        for balloons, work in sizes:
            times.append(took(work))
            raced = balloons <= RACED and case != "textured column"
            other = by_newton(work) if raced else None
            rows.append(
                {
                    "case": case,
                    "balloons": balloons,
                    "ours, s": times[-1],
                    "Newton, s": other,
                    "times faster": None if other is None else other / times[-1],
                }
            )
        power = math.log(times[-1] / times[0]) / math.log(sizes[-1][0] / sizes[0][0])
        growth.append(f"{case} N^{power:.2f}")
    return {
        "title": "Organic bodies and textured columns",
        "baseline": "Newton's method (packing.relax) on the same body; processor time",
        "rows": rows,
        "note": f"Growth from the smallest to the largest: {', '.join(growth)}.",
    }
