"""Physics of a 2,000-balloon job: all balloons at once against one balloon at a time.

    python -m bench physics

Both sides run in one process, warm, on the same numbers, and their answers are compared; the
baseline is the same public functions called in a Python loop with single floats.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from airwright.physics import (
    air,
    drag,
    gas,
    inflation,
    overturning,
    permeation,
    sun,
    wind,
)
from airwright.physics.types import Floats

INCH = 0.0254
SAMPLE = 3  # pieces whose sizes are reckoned balloon by balloon
PIECE = 200  # balloons of one piece, for the wind


@dataclass(frozen=True)
class Job:
    nominal: Floats
    mass: Floats
    width: Floats
    diameter: Floats
    luminance: Floats
    centre: Floats


def invented_job(n: int) -> Job:
    rng = np.random.default_rng(7)
    kinds = np.array([[5, 0.9, 1.9], [11, 2.8, 3.9], [17, 6.8, 6.0], [24, 18.0, 8.6]])
    kind = kinds[rng.integers(0, len(kinds), n)]
    nominal = kind[:, 0] * INCH
    return Job(
        nominal=nominal,
        mass=kind[:, 1] * 1e-3,
        width=kind[:, 2] * INCH,
        diameter=nominal * rng.uniform(0.8, 0.95, n),
        luminance=rng.uniform(0.02, 0.95, n),
        centre=rng.uniform([-0.4, -0.4, 0.1], [0.4, 0.4, 2.2], (n, 3)),
    )


def balloons(job: Job, pick: slice | int) -> Floats:
    """Size, sun, margin, lift, float hours of some balloons; one row each."""
    balloon = inflation.skin(job.nominal[pick], job.mass[pick], job.width[pick])
    tied = inflation.inflate(balloon, job.diameter[pick], 19.0)
    altitude = air.standard_pressure(500.0)
    hot = sun.gas_temperature(
        tied.diameter_m, 27.0, sun.solar_absorptance(job.luminance[pick]), 800.0
    )
    there = inflation.carry(balloon, tied, hot, altitude)
    best = inflation.diameter_for_margin(balloon, 0.05, 19.0, 101_325.0, hot, altitude)
    lift = gas.lift_density(19.0, excess_pa=tied.excess_pa) * tied.volume_m3
    hours = permeation.float_hours(
        tied.volume_m3, tied.area_m2, 0.85 * job.mass[pick], job.mass[pick], temperature_c=21.0
    )
    re = drag.reynolds(8.0, tied.diameter_m, 1.225, 1.79e-5)
    cd = drag.sphere_drag_coefficient(re)
    return np.array([there.diameter_m, there.margin, best, lift, hours, cd]).T


def pieces(job: Job) -> list[tuple[float, float]]:
    """Wind force and moment by piece."""
    q = float(wind.velocity_pressure(8.0))
    loads = []
    for start in range(0, len(job.nominal), PIECE):
        part = slice(start, start + PIECE)
        centre, radius = job.centre[part], job.diameter[part] / 2
        outline = overturning.outline(overturning.across_wind(centre), centre[:, 2], radius)
        loads.append(overturning.wind_load(outline, q, drag.CLUSTERED_COLUMN))
    return loads


def outline_by_loop(job: Job) -> list[tuple[float, float]]:
    """The same outlines, merged disc by disc and line by line."""
    q, loads = float(wind.velocity_pressure(8.0)), []
    for start in range(0, len(job.nominal), PIECE):
        centre = job.centre[start : start + PIECE]
        radius = job.diameter[start : start + PIECE] / 2
        low, high = (centre[:, 2] - radius).min(), (centre[:, 2] + radius).max()
        step, force, moment = (high - low) / 240, 0.0, 0.0
        for k in range(240):
            z = low + step * (k + 0.5)
            chords = sorted(
                (c[0] - h, c[0] + h)
                for c, r in zip(centre, radius, strict=True)
                if (h := (r**2 - (z - c[2]) ** 2 if abs(z - c[2]) < r else 0.0) ** 0.5) > 0
            )
            width, reach = 0.0, -np.inf
            for a, b in chords:
                width += max(b - max(a, reach), 0.0)
                reach = max(reach, b)
            force += q * 1.2 * width * step
            moment += q * 1.2 * width * step * z
        loads.append((force, moment))
    return loads


def once(work: Callable[[], Floats]) -> tuple[float, Floats]:
    start = time.perf_counter()
    result = work()
    return time.perf_counter() - start, result


def timed(work: Callable[[], object], repeat: int) -> float:
    """Median seconds."""
    times = []
    for _ in range(repeat):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return sorted(times)[len(times) // 2]


def run(quick: bool) -> dict[str, Any]:
    n = 400 if quick else 2000
    job = invented_job(n)
    everything = balloons(job, slice(None))  # also warms every table and import
    loads = np.array(pieces(job))
    fast = timed(lambda: balloons(job, slice(None)), 7)
    fast_wind = timed(lambda: pieces(job), 7)
    slow, one_by_one = once(lambda: np.array([balloons(job, i) for i in range(n)]))
    slow_wind, looped = once(lambda: np.array(outline_by_loop(job)))
    scale = np.maximum(np.abs(one_by_one), 1e-9)
    worst = float(np.max(np.abs(everything - one_by_one) / scale))
    worst_load = float(np.max(np.abs(loads / looped - 1)))
    return {
        "title": f"Physics of a {n:,}-balloon job, warm",
        "baseline": "the same functions called for one balloon at a time; outlines merged by loops",
        "rows": [
            row("size, sun, margin, lift, float", fast, slow, worst),
            row(f"wind on {len(loads)} pieces", fast_wind, slow_wind, worst_load),
            row("together", fast + fast_wind, slow + slow_wind, max(worst, worst_load)),
            planned(n),
        ],
        "note": "asked for: 2,000 balloons within 0.5 s; the last row is what every plan does: "
        "sizes, stability from eight winds, helium, ageing and findings, in columns of 48 "
        "(its baseline: sizes only, a sample scaled up)",
    }


def planned(n: int) -> dict[str, Any]:
    """The physics inside a plan, against the same sizes reckoned balloon by balloon."""
    from airwright.decor import engine
    from airwright.plan import physics, planning, risks
    from airwright.plan.surroundings import surroundings
    from airwright.plan.warmth import Kind, size_checks

    job, studio = columns_job(n)
    catalog = studio.catalog()
    built = engine.build(job, catalog, studio)
    around = surroundings(job, studio)
    bare = [
        planning.plan_piece(spec, built.assemblies[spec.name], "", catalog) for spec in job.pieces
    ]

    def whole() -> physics.JobPhysics:
        pieces = [physics.with_physics(one, catalog, around, studio.helium) for one in bare]
        found = physics.job_physics(pieces, job, catalog, studio)
        risks.findings(pieces, found)
        return found

    def balloon_by_balloon() -> Floats:
        then = []
        for piece in bare[:SAMPLE]:
            made = piece.assembly
            for stock, shade in zip(made.stock.tolist(), made.shade.tolist(), strict=True):
                kind = Kind(made.stocks[stock], made.shades[shade])
                (check,) = size_checks({kind: {piece.name: 1}}, catalog, around)
                then.append(check.then_m)
        return np.array(then)

    sizes = whole().sizes
    fast = timed(whole, 5)
    slow, then = once(balloon_by_balloon)
    worst = float(np.abs(np.unique(then) - np.unique([s.then_m for s in sizes])).max())
    count = sum(len(piece.assembly) for piece in bare)
    slow *= count / len(then)
    return row(f"in a plan of {count:,} balloons, {len(bare)} pieces", fast, slow, worst)


def columns_job(n: int) -> tuple[Any, Any]:
    """A job of columns of about 48 balloons each, in the open."""
    from airwright.decor.pieces import SPECS
    from airwright.job import Studio, read_job
    from airwright.job.examples import example_text

    head = example_text("ferry-terminal").split("[[pieces]]")[0]
    head = head.replace('"indoor" ', '"open air"').replace('"0 m/s"', '"9 m/s"')
    piece = (
        '[[pieces]]\nname = "Column {at}"\nkind = "column"\nheight = "8 ft"\n'
        'body = ["4 x 11in @ 9.5in"]\nshades = ["coral", "sand", "teal", "white"]\n'
    )
    text = head + "".join(piece.replace("{at}", str(at)) for at in range(n // 48))
    reading = read_job(text, SPECS)
    assert reading.job is not None, reading.findings
    return reading.job, Studio()


def row(what: str, fast: float, slow: float, worst: float) -> dict[str, Any]:
    return {
        "what": what,
        "all at once [s]": fast,
        "baseline [s]": slow,
        "ratio": slow / fast,
        "largest difference": worst,
    }
