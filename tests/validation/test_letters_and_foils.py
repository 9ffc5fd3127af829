"""Balloons in an outline, gas in a foil letter, and rings of petals.

Discs in the plane: hexagonal and square packing, closed forms. Foil: the volume of the round one
(Paulsen 1994: 1.2185 R³ for flat discs of radius R), from memory. Which sizes of foil letters
float, and what a frame of 4 ft takes, are facts of the trade without a source.
"""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from airwright.catalog import default_catalog
from airwright.decor.parts.lift import net_lift
from airwright.decor.parts.outline_fill import PRESSED_MOST, fill_outline
from tests.decor.pieces.helpers import made
from tests.decor.pieces.test_letters import outline
from tests.validation.conftest import Compare

INCH = 0.0254
FOOT2 = 0.3048**2


@pytest.mark.closed_form
def test_discs_of_four_inches_in_a_letter(compare: Compare) -> None:
    """Pressed soft discs come near hexagonal packing, less what the rim costs."""
    piece = made(
        "letters", text="0", height="8 ft", gap="2 in", mix=[{"balloon": "5in @ 4in", "share": 1}]
    )
    hexagonal = 2 / (np.sqrt(3) * (4 * INCH) ** 2) * FOOT2
    compare(
        len(piece) / outline(piece).area * FOOT2,
        hexagonal,
        rtol=0.05,
        unit="per ft2",
        source="hexagonal packing of discs",
        what="4 in balloons in a letter",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("ratio", "hard"), [(3.0, 7), (1 + np.sqrt(2) + np.sqrt(6), 19)], ids=["seven", "nineteen"]
)
def test_balloons_in_a_ring_of_a_known_number(compare: Compare, ratio: float, hard: int) -> None:
    """Seven equal discs fill a circle of 3 radii, nineteen one of 1 + √2 + √6 radii (the best
    there is). Soft ones are pressed on each other by 6 to 7 %: one or two more go in, never
    fewer, and none is pressed by more than hands do."""
    made_up = fill_outline(
        shapely.Point(0, 0).buffer(ratio * 0.05, quad_segs=64), [0.05], [1.0], 0.05, 1
    )
    assert len(made_up.centre) >= hard
    assert made_up.pressed <= PRESSED_MOST
    compare(
        float(len(made_up.centre)),
        float(hard),
        rtol=0.15,
        unit="-",
        source="densest packings of equal discs in a circle",
        what=f"balloons in a ring that takes {hard} hard ones",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("long", [6, 10, 20])
def test_a_stroke_as_wide_as_a_balloon_takes_a_single_file(compare: Compare, long: int) -> None:
    """L / d hard discs in a file; pressed, a tenth more."""
    made_up = fill_outline(shapely.box(0, 0, long * 0.1, 0.1), [0.05], [1.0], 0.05, 1)
    assert np.ptp(made_up.centre[:, 1]) < 0.05  # none beside another
    assert made_up.pressed <= PRESSED_MOST
    compare(
        float(len(made_up.centre)),
        float(long),
        rtol=0.17,
        unit="-",
        source="length over diameter",
        what=f"balloons in a stroke of {long} diameters",
    )


@pytest.mark.common_practice
def test_balloons_of_a_number_four_feet_high(compare: Compare) -> None:
    """Instructions for 4 ft frames: 60 to 80 large and 40 to 50 small ones. They blow the large
    ones up further and, by the room they take, fill the frame two deep; ours counts the front."""
    counts = [len(made("letters", text=digit)) for digit in "0235689"]
    compare(
        float(np.mean(counts)),
        115 / 2,
        rtol=0.35,
        unit="-",
        source="common practice, no source",
        what="balloons of a 4 ft number, one deep",
    )


@pytest.mark.from_memory
def test_gas_of_a_round_foil_by_the_rule_for_letters(compare: Compare) -> None:
    disc = shapely.Point(0, 0).buffer(1.0, quad_segs=200)
    xs = np.arange(-0.995, 1.0, 0.01)
    points = shapely.points(*np.meshgrid(xs, xs))
    inward = shapely.distance(disc.boundary, points)[shapely.contains(disc, points)]
    compare(
        4 / np.pi * float(inward.sum()) * 1e-4,
        1.2185,
        rtol=0.10,
        unit="R3",
        source="Paulsen, Am. Math. Monthly 101 (1994) 953",
        what="round foil by the rule 4/pi times the integral of the distance to the rim",
    )


@pytest.mark.common_practice
@pytest.mark.parametrize(("size", "floats"), [("16in", 0.0), ("34in", 1.0), ("40in", 1.0)])
def test_which_foil_letters_float(compare: Compare, size: str, floats: float) -> None:
    catalog = default_catalog()
    lifts = [
        net_lift(
            made("foils", text=sign, size=size).stocks[0],
            catalog.balloon(f"{size} foil {sign}").mass_g,
            0.0,
        )
        > 0
        for sign in catalog.figures
    ]
    compare(
        float(np.mean(lifts)),
        floats,
        atol=1e-9,
        unit="-",
        source="common practice, no source",
        what=f"share of {size} foil letters that float",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("count", [5, 6, 7])
def test_petals_in_a_ring(compare: Compare, count: int) -> None:
    """k touching balls of radius R lie R / sin(pi / k) from the middle; tied ones are pressed."""
    piece = made("flower", petals=f"{count} x 5in @ 4.5in", middle="5in @ 3in", on="line")
    out = float(np.hypot(piece.centre[0, 0], piece.centre[0, 2] - 0.6096))
    compare(
        out / (2.25 * INCH),
        1 / np.sin(np.pi / count),
        rtol=0.05,
        unit="R",
        source="touching balls in a ring",
        what=f"ring of {count} petals",
    )
