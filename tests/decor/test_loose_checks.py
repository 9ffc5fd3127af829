"""A piece that cannot be read whole is still looked through: one look tells of all errors."""

from __future__ import annotations

import pytest

from airwright.decor import engine
from airwright.decor.loose_checks import check_broken
from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job

JOB = """format = "airwright-job/1"
[job]
title = "Pier"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
coral = "#f0705a"
[[pieces]]
name = "Gate"
"""
COLUMN = """kind = "column"
height = {height}
body = ["{body}"]
shades = ["{shade}"]
topper = {{ balloon = "{topper}", shade = "coral" }}
"""


def codes(text: str) -> set[tuple[str, str]]:
    """Code and place of every error of one look."""
    reading = read_job(text, SPECS)
    assert reading.draft is not None
    ctx, _ = engine.context_for(reading.draft, Studio().catalog(), Studio())
    found = [
        *reading.findings,
        *engine.check(reading.draft, ctx, reading.piece_places),
        *check_broken(reading.broken, ctx),
    ]
    return {(f.code, f.place) for f in found if f.severity == "error"}


@pytest.mark.parametrize(
    ("part", "wrong"),
    [
        ("body", "4 x 13in @ 9.5in"),
        ("body", "4 x 11in @ 14in"),
        ("body", "4 x 260"),
        ("shade", "corl"),
        ("topper", "40in"),
        ("topper", "24in @ 30in"),
    ],
)
def test_a_wrong_height_hides_no_other_error(part: str, wrong: str) -> None:
    right = {"height": '"7 ft"', "body": "4 x 11in @ 9.5in", "shade": "coral", "topper": "24in"}
    one = codes(JOB + COLUMN.format(**right | {part: wrong}))
    assert one
    both = codes(JOB + COLUMN.format(**right | {part: wrong, "height": '"7 fx"'}))
    assert {code for code in both if not code[1].endswith(".height")} == one
    assert any(place.endswith(".height") for _, place in both)


def test_what_cannot_be_read_is_told_once() -> None:
    found = codes(JOB + 'kind = "arch"\nwidth = "9 ft"\nheight = "7 ft"\nbody = 7\nshades = [3]\n')
    assert len({place for _, place in found}) == len(found)


def test_a_sound_part_of_a_broken_piece_says_nothing() -> None:
    text = 'kind = "column"\nheight = 7\nbody = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
    assert {place for _, place in codes(JOB + text)} == {"pieces[0].height"}
