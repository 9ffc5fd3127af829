"""Which balloons come nearest to a colour."""

from __future__ import annotations

import pytest
from skimage.color import deltaE_ciede2000, rgb2lab

from airwright.catalog import default_catalog
from airwright.decor.assembly import Shade
from airwright.job.cluster import Inflated
from airwright.physics.errors import OutOfRangeError
from airwright.plan.answers.mix import FAR, MixAnswer, mix_answer

CATALOG = default_catalog()
ROW = CATALOG.balloon("11in")
ONE = min(pack.price / pack.count for pack in ROW.packs)
SHELF = [Shade(row.name, row.colour.lower(), row.finish) for row in CATALOG.shades.values()]


def asked(target: str, shelf: list[Shade] | None = None) -> MixAnswer:
    return mix_answer(target, ROW, Inflated.parse("11in @ 9.5in"), shelf or SHELF)


def lab(colour: str) -> list[float]:
    return list(rgb2lab([[[int(colour[k : k + 2], 16) / 255 for k in (1, 3, 5)]]])[0][0])


@pytest.mark.other_program
@pytest.mark.parametrize("target", ["#c9b8d4", "#f3d9d2", "#8a9a5b", "#e8a0a0"])
def test_differences_are_ciede2000_by_another_library(target: str) -> None:
    """scikit-image's CIEDE2000 and Lab against the answer's (coloraide)."""
    for recipe in asked(target).recipes:
        assert recipe.difference == pytest.approx(
            float(deltaE_ciede2000(lab(recipe.colour), lab(target))), abs=0.05
        )


def test_a_shade_on_the_shelf_is_found_alone() -> None:
    best = asked("#f0705a").recipes[0]
    assert (best.outside, best.inside, best.price) == ("coral", None, ONE)
    assert best.difference < 1.5


def test_two_balloons_cost_two() -> None:
    for recipe in asked("#f3d9d2").recipes:
        assert recipe.price == ONE * (1 if recipe.inside is None else 2)


def test_a_blush_is_made_with_white_outside() -> None:
    """Common practice: a pale blush is a strong shade inside a white one."""
    best = asked("#f3d9d2").recipes[0]
    assert best.inside is not None
    assert "white" in best.outside


def test_far_from_every_shade_it_says_so() -> None:
    answer = asked("#ff00ff")
    assert not answer.near
    assert answer.recipes[0].difference > FAR
    assert "comes near" in answer.doubts[0]
    assert asked("#f0705a").near


def test_order_of_the_shelf_changes_nothing() -> None:
    assert asked("#c9b8d4", SHELF[::-1]) == asked("#c9b8d4")


@pytest.mark.parametrize("target", ["red", "#12345", "", "#gggggg"])
def test_what_is_no_colour_is_refused(target: str) -> None:
    with pytest.raises(OutOfRangeError):
        asked(target)


def test_an_empty_shelf_is_refused() -> None:
    with pytest.raises(OutOfRangeError):
        mix_answer("#ffffff", ROW, Inflated.parse("11in"), [])
