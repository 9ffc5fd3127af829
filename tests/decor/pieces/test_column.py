"""Columns: the height told is the height built, whatever the clusters."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from airwright import units
from airwright.decor.assembly import Assembly
from airwright.decor.pieces import KINDS
from airwright.decor.pieces.column import MISSED_M
from tests.decor.pieces.helpers import CTX, findings_of, made, spec_of

BODIES = {
    "pairs": ["2 x 11in @ 9.5in"],
    "pairs of 5 in": ["2 x 5in @ 4.5in"],
    "pairs of 17 in": ["2 x 17in @ 15in"],
    "triplets": ["3 x 11in @ 9.5in"],
    "quads": ["4 x 11in @ 9.5in"],
    "fives": ["5 x 11in @ 9.5in"],
    "pairs with two small ones": ["2 x 11in @ 10in + 2 x 5in @ 4.5in"],
    "three and three": ["3 x 11in @ 10in + 3 x 5in @ 4.5in"],
    "quads and pairs": ["4 x 11in @ 9.5in", "2 x 17in @ 15in"],
    "fives and quads": ["5 x 11in @ 9.5in", "4 x 11in @ 9.5in"],
}
HEIGHTS = ("3 ft", "9 ft")

METRIC = replace(CTX, system=units.System.METRIC)
"""Lengths are told to a centimeter, not to an inch."""


def column(body: list[str], height: str) -> dict[str, Any]:
    return {"body": body, "height": height, "shades": ["coral"], "topper": None}


def top_m(piece: Assembly) -> float:
    """Highest point of a balloon of the body [m]."""
    return float((piece.centre[:, 2] + piece.radius).max())


@pytest.mark.parametrize("height", HEIGHTS)
@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_the_height_told_is_the_height_built(body: list[str], height: str) -> None:
    keys = column(body, height)
    built = top_m(made("column", **keys))
    asked = spec_of("column", **keys).height
    found = KINDS["column"].check(spec_of("column", **keys), METRIC, "pieces[0]")
    told = [finding for finding in found if finding.code == "height-in-whole-layers"]
    assert bool(told) == (abs(built - asked) > MISSED_M)
    for finding in told:
        (length,) = re.findall(r"come to ([^,]+),", str(finding.what))
        assert units.parse(length, units.LENGTH) == pytest.approx(built, abs=0.01)


@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_no_other_number_of_layers_comes_closer(body: list[str]) -> None:
    """One repeat more or fewer, built by asking for its own height, misses by more."""
    piece = made("column", **column(body, "5 ft"))
    asked = spec_of("column", **column(body, "5 ft")).height
    for height in ("4 ft", "4.5 ft", "5.5 ft", "6 ft"):
        other = made("column", **column(body, height))
        assert abs(top_m(piece) - asked) <= abs(top_m(other) - asked) + 0.005


@pytest.mark.parametrize("body", BODIES.values(), ids=BODIES)
def test_a_height_that_was_built_is_built_again(body: list[str]) -> None:
    piece = made("column", **column(body, "5 ft"))
    again = made("column", **column(body, f"{top_m(piece):.4f} m"))
    assert again.layers == piece.layers
    assert findings_of("column", **column(body, f"{top_m(piece):.4f} m")) == []
