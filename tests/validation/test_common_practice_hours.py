"""Hours beside what decorators take: common practice, bands without a published source.

Bands are for one practised person; the figures printed are their middles, the tolerance half
their width.
"""

from __future__ import annotations

import pytest

from airwright.catalog import default_catalog
from airwright.plan.crew import TOGETHER, elapsed
from airwright.plan.hours import PACE, Way, work_lines
from airwright.plan.values import PiecePlan
from tests.plan.test_hours import COLUMN, SHADES, job_text, one, wall

PRACTICE = "common practice, no source"
ARCH = f'kind = "arch"\nwidth = "16 ft"\nheight = "9 ft"\nbody = ["4 x 11in @ 9.5in"]\n{SHADES}'
SHORT_ARCH = ARCH.replace("16 ft", "7 ft").replace("9 ft", "7 ft")
GARLAND = f'kind = "garland"\npath = "swag"\nwidth = "9 ft"\nheight = "7 ft"\n{SHADES}'

pytestmark = pytest.mark.common_practice


def minutes(piece: PiecePlan, *places: str) -> float:
    """Minutes of one pair of hands at these places."""
    return 60 * sum(piece.hours_at(place) for place in places)


def within(compare, ours: float, low: float, high: float, what: str) -> None:
    compare(
        ours, (low + high) / 2, atol=(high - low) / 2, source=PRACTICE,
        what=f"{what} ({low:g} to {high:g})", unit="min",
    )  # fmt: skip


@pytest.mark.parametrize("nozzles", [1, 2])
def test_a_hundred_balloons_inflated_sized_and_tied(compare, nozzles: int) -> None:
    lines = work_lines([("inflate medium", 100.0, None)], default_catalog(), Way(nozzles=nozzles))
    within(compare, 60 * lines[0].hours, 20, 45, f"100 balloons of 11 in, {nozzles} nozzles")


def test_a_first_time_takes_longer(compare) -> None:
    compare(
        PACE["first time"], 3.0, atol=1.0, source=PRACTICE,
        what="time of a first time over practised hands (2 to 4)", unit="-",
    )  # fmt: skip
    lines = work_lines(
        [("inflate medium", 100.0, None)], default_catalog(), Way(pace=PACE["first time"])
    )
    within(compare, 60 * lines[0].hours, 80, 120, "100 balloons of 11 in, untrained")


def test_a_six_foot_column_is_made(compare) -> None:
    within(compare, minutes(one(job_text(COLUMN)), "workshop"), 15, 40, "6 ft column made")


def test_a_sixteen_foot_packed_arch_is_made(compare) -> None:
    """16 ft of packed arch along its line: what an arch 7 ft wide and high takes."""
    piece = one(job_text(SHORT_ARCH))
    rods = sum(part.quantity for part in piece.assembly.hardware if part.use == "frame")
    assert rods == pytest.approx(16 * 0.3048, abs=0.4)
    within(compare, minutes(piece, "workshop"), 30, 90, "16 ft packed arch made")


def test_a_ten_foot_organic_garland_is_made(compare) -> None:
    within(
        compare, minutes(one(job_text(GARLAND)), "workshop"), 45, 120, "10 ft organic garland made"
    )


def test_an_arch_on_site_and_down(compare) -> None:
    for text, what in ((ARCH, "16 x 9 ft"), (SHORT_ARCH, "7 x 7 ft")):
        piece = one(job_text(text))
        on_site = minutes(piece, "site") + 60 * _arrival()
        within(compare, on_site, 30, 90, f"{what} arch on site, arriving included")
        within(compare, minutes(piece, "take-down"), 5, 15, f"{what} arch taken down")


def _arrival() -> float:
    return sum(line.hours for line in work_lines([("arrive", 1.0, None)], default_catalog(), Way()))


def test_a_wall_of_eight_feet(compare) -> None:
    piece = one(job_text(wall(8)))
    within(compare, minutes(piece, "workshop", "site"), 90, 180, "8 x 8 ft wall made and stood")


def test_two_do_it_in_twelve_minutes_instead_of_twenty(compare) -> None:
    compare(
        60 * elapsed(20 / 60, 2), 12.0, rtol=0.05, source=PRACTICE,
        what="minutes two take for what one does in 20", unit="min",
    )  # fmt: skip
    assert 0 < TOGETHER < 1
