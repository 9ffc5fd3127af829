"""Balloons a foot, and clusters in a column, beside what decorators count on.

Common practice, no published source: spiral arches of fours take 12 balloons of 5 in a foot, 8 of
9 in, 6 of 11 in and 4 of 14 to 16 in, a fifth more or fewer with tightness; 24 quads fill 16 ft,
104 balloons 20 ft; a pole column of 6.5 ft takes 8 quads sized to 10 in, a fifth more or fewer;
organic garlands 6 to 10 balloons a foot.
"""

from __future__ import annotations

from functools import cache

import pytest

from airwright.plan.piece_values import PiecePlan
from airwright.units import FOOT_M
from tests.plan.samples import column, plan
from tests.validation.conftest import Compare

SOURCE = "common practice, no source"
HEAD = column().split("[[pieces]]")[0]


@cache
def arch(body: str) -> PiecePlan:
    """An entrance arch of quads."""
    keys = f'kind = "arch"\nwidth = "10 ft"\nheight = "9 ft"\nbody = ["{body}"]\nshades = ["coral"]'
    return plan(f'{HEAD}[[pieces]]\nname = "Arch"\n{keys}\n').pieces[0]


@cache
def pole_column(body: str, height: str) -> PiecePlan:
    return plan(column(body=f'["{body}"]', height=f'"{height}"', shades='["coral"]')).pieces[0]


def a_foot(piece: PiecePlan, shift: float = 1.0) -> float:
    """Balloons of fours on a foot of line, with a pitch so many times as large [-]."""
    pitch = piece.assembly.pitch_m
    assert pitch is not None
    return 4 * FOOT_M / (pitch * shift)


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("body", "usual"),
    [
        ("4 x 5in @ 4.5in", 12.0),
        ("4 x 9in @ 7.5in", 8.0),
        ("4 x 11in @ 9.5in", 6.0),
        ("4 x 17in @ 14in", 4.0),
    ],
)
def test_an_arch_of_fours_takes_so_many_a_foot(compare: Compare, body: str, usual: float) -> None:
    compare(
        a_foot(arch(body)),
        usual,
        rtol=0.12,
        source=SOURCE,
        what=f"spiral arch of {body}",
        unit="balloons a foot",
    )


@pytest.mark.common_practice
@pytest.mark.parametrize(("feet", "balloons"), [(16, 96), (20, 104)])
def test_a_length_of_arch_lies_in_the_range_told(
    compare: Compare, feet: int, balloons: int
) -> None:
    """What is told of tightness covers what two decorators count for their lengths."""
    low, high = arch("4 x 11in @ 9.5in").assembly.pitch_range_m or (0.0, 0.0)
    fewest, most = (4 * feet * FOOT_M / pitch for pitch in (high, low))
    compare(
        (fewest + most) / 2,
        balloons,
        atol=(most - fewest) / 2,
        source=SOURCE,
        what=f"{feet} ft of arch of quads, middle of our {fewest:.0f} to {most:.0f}",
        unit="balloons",
    )


@pytest.mark.common_practice
def test_a_pole_column_takes_eight_quads_or_a_few_more(compare: Compare) -> None:
    made = pole_column("4 x 11in @ 10in", "6.5 ft").assembly
    compare(
        made.layers,
        8,
        rtol=0.2,
        source=SOURCE,
        what="quads in a 6.5 ft column at 10 in",
        unit="quads",
    )
    assert made.layers_range is not None
    assert made.layers_range[0] <= 8 <= made.layers_range[1]


@pytest.mark.common_practice
@pytest.mark.parametrize(("fullness", "low", "high"), [(6, 5, 7), (8, 6, 10), (10, 8, 12)])
def test_an_organic_garland_by_its_fullness(
    compare: Compare, fullness: int, low: int, high: int
) -> None:
    """Thin 5 to 7, asked of decorators 6 to 10, full 8 to 12 a foot."""
    keys = (
        'kind = "garland"\npath = "straight"\nwidth = "10 ft"\nheight = "8 ft"\n'
        f"fullness = {fullness}\n"
        'mix = [{ balloon = "17in @ 15in", share = 1 }, { balloon = "11in @ 10in", share = 5 }, '
        '{ balloon = "5in @ 4.5in", share = 5 }]\nshades = { coral = 1, sand = 1 }'
    )
    made = plan(f'{HEAD}[[pieces]]\nname = "Garland"\n{keys}\n').pieces[0]
    compare(
        len(made.assembly) / 10.0,
        (low + high) / 2,
        atol=(high - low) / 2,
        source=SOURCE,
        what=f"organic garland at fullness {fullness} ({low} to {high})",
        unit="balloons a foot",
    )
