"""Counts of hoops, half arches, backdrops and ceilings against closed forms and common counts."""

from __future__ import annotations

import numpy as np
import pytest

from tests.decor.pieces.helpers import made, spec_of
from tests.validation.conftest import Compare

FOOT = 0.3048
ONE_SIZE = {"mix": [{"balloon": "11in @ 10in"}], "taper": 0}
PLAIN = {"sign": None, "foliage": None}
PRACTICE = "common practice, no source: 6 to 10 balloons a foot of organic decor"


@pytest.mark.closed_form
def test_tube_of_a_ring(compare: Compare) -> None:
    """Circumference pi D."""
    piece = made("hoop", on="hooks", bottom="4 ft", **PLAIN)
    (tube,) = [part for part in piece.hardware if part.use == "frame"]
    compare(
        tube.quantity,
        np.pi * 5 * FOOT,
        rtol=1e-9,
        unit="m",
        source="circle: pi D",
        what="tube of a ring 5 ft across",
    )


@pytest.mark.closed_form
def test_balloons_of_half_a_ring(compare: Compare) -> None:
    """Half an arc takes half of what the whole one takes."""
    whole, half = (
        len(made("hoop", across="8 ft", cover=share, **ONE_SIZE, **PLAIN)) for share in (1.0, 0.5)
    )
    compare(
        half,
        whole / 2,
        atol=1.0,
        unit="balloons",
        source="arc of a circle: angle times radius",
        what="half of a ring 8 ft across, one size",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(("every", "count"), [(12, 140), (18, 62), (24, 35)])
def test_loose_balloons_by_area(compare: Compare, every: int, count: int) -> None:
    """14 ft by 10 ft: area over the square that each gets."""
    compare(
        len(made("ceiling", every=f"{every} in")),
        count,
        atol=0,
        unit="balloons",
        source="area over area, to whole balloons",
        what=f"loose balloons under 14 ft by 10 ft, one to each {every} in both ways",
    )


@pytest.mark.closed_form
def test_swag_of_links(compare: Compare) -> None:
    """Catenary by its own equation, not by ours: h = a (cosh(w/2a) - 1), s = 2 a sinh(w/2a)."""
    wide, sag = 14 * FOOT, 0.6
    low, high = 0.5, 100.0
    for _ in range(200):
        a = (low + high) / 2
        low, high = (a, high) if a * (np.cosh(wide / 2 / a) - 1) > sag else (low, a)
    long = 2 * a * np.sinh(wide / 2 / a)
    piece = made(
        "ceiling",
        form="swags",
        balloon=None,
        height="10 ft",
        swags=1,
        swags_lead="side to side",
        sag="0.6 m",
    )
    (line,) = piece.strands
    compare(
        line.length_m,
        long,
        rtol=2e-3,
        unit="m",
        source="catenary: s = 2 a sinh(w/2a)",
        what="line of a swag over 14 ft that sags 0.6 m",
    )
    compare(
        len(piece),
        long / 0.1397,
        rtol=0.06,
        unit="balloons",
        source="length over the diameter of a 6 in link at 5.5 in",
        what="links of that swag",
    )


@pytest.mark.common_practice
@pytest.mark.parametrize("kind", ["hoop", "half-arch", "backdrop"])
def test_balloons_a_foot(compare: Compare, kind: str) -> None:
    piece = made(kind)
    long = sum(row.quantity for row in piece.operations if row.operation == "hang garland")
    compare(
        len(piece) / (long / FOOT),
        8.0,
        atol=2.0,
        unit="balloons a foot",
        source=PRACTICE,
        what=f"{spec_of(kind).name}, all sizes",
    )
