"""One balloon in another: limits, order, size, and a studio's own trial."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.catalog import default_catalog
from airwright.decor.assembly import Shade
from airwright.decor.double import (
    colour_seen,
    hiding_from_trial,
    hiding_of,
    pigment_of,
    seen,
    wall_film,
    wall_m,
)
from airwright.job.cluster import Inflated
from airwright.job.studio import Trial
from airwright.physics.srgb import light_of_hex
from airwright.units import INCH_M

CATALOG = default_catalog()
ROW = CATALOG.balloon("11in")
USUAL = ROW.usual_in * INCH_M
MATTE = [row for row in CATALOG.shades.values() if row.finish == "matte"]


def shade(name: str) -> Shade:
    row = CATALOG.shades[name]
    return Shade(row.name, row.colour.lower(), row.finish)


def far(one: str, other: str) -> float:
    return float(np.abs(light_of_hex(one) - light_of_hex(other)).max())


@pytest.mark.parametrize("name", [row.name for row in MATTE])
def test_alone_at_its_usual_size_a_shade_is_its_own_colour(name: str) -> None:
    assert far(colour_seen(shade(name), None, ROW, USUAL), shade(name).colour) < 0.03


def test_an_outer_balloon_of_no_thickness_is_not_there() -> None:
    inner = wall_film(pigment_of(shade("coral"), ROW), wall_m(ROW, USUAL))
    nothing = wall_film(pigment_of(shade("navy"), ROW), 0.0)
    np.testing.assert_allclose(seen(nothing, inner), seen(inner), atol=1e-9)


def test_an_endless_outer_balloon_hides_the_inner() -> None:
    thick = wall_film(pigment_of(shade("sand"), ROW), 1.0)
    for name in ("black", "white", "coral"):
        inner = wall_film(pigment_of(shade(name), ROW), wall_m(ROW, USUAL))
        np.testing.assert_allclose(seen(thick, inner), thick.reflects, atol=1e-9)


def test_the_outer_rules_and_a_dark_outer_hides() -> None:
    pale = colour_seen(shade("white"), shade("coral"), ROW, USUAL)
    assert far(pale, shade("white").colour) < far(pale, shade("coral").colour)
    assert far(pale, shade("white").colour) > 0.1  # but the coral shows
    assert (
        far(colour_seen(shade("black"), shade("white"), ROW, USUAL), shade("black").colour) < 0.01
    )


def test_the_larger_it_is_blown_the_more_of_the_inner_shows() -> None:
    greens = [
        light_of_hex(colour_seen(shade("white"), shade("coral"), ROW, inches * INCH_M))[1]
        for inches in (8, 9, 10, 11)
    ]
    assert greens == sorted(greens, reverse=True)


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from([row.name for row in MATTE]),
    st.sampled_from([row.name for row in MATTE]),
    st.floats(0.15, 0.28),
)
def test_no_balloon_gives_back_more_light_than_it_gets(one: str, two: str, across: float) -> None:
    walls = [wall_film(pigment_of(shade(name), ROW), wall_m(ROW, across)) for name in (one, two)]
    light = seen(*walls)
    assert np.all(light >= 0.0)
    assert np.all(light <= 1.0)


@pytest.mark.parametrize("hiding", [0.5, 0.9, 2.0])
def test_a_trial_finds_how_well_a_shade_hides(hiding: float) -> None:
    """A trial made by the model with a known hiding is taken back to that hiding."""
    outer, inner = shade("lilac"), shade("lemon")
    looked = colour_seen(outer, inner, ROW, USUAL, {"lilac": hiding})
    found = hiding_from_trial(outer, inner, ROW, USUAL, looked)
    again = colour_seen(outer, inner, ROW, USUAL, {"lilac": found})
    assert far(again, looked) < 0.01
    trial = Trial(outside="lilac", inside="lemon", balloon=Inflated.parse("11in"), colour=looked)
    assert hiding_of([trial], CATALOG)["lilac"] == pytest.approx(found)
    assert hiding_of([trial.model_copy(update={"inside": "unknown"})], CATALOG) == {}
