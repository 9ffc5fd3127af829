"""Numbers the job uses: each in its range, and its guard fails when it is spoiled beyond it.

The first thing this page proves is that it can fail: every number is set beyond its range, low
and high, and to values that once went unnoticed, and each time the effect must leave its band.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from airwright.job.studio import Studio
from tests.validation.constants import CONSTANTS
from tests.validation.spoiling import Constant, spoiled

BEYOND = 0.05
"""How far beyond its range a number is spoiled, as a share of the range."""


EACH = [pytest.param(c, id=c.at, marks=getattr(pytest.mark, c.guard.origin)) for c in CONSTANTS]


def beyond(one: Constant) -> Iterator[float]:
    """Values the guard must refuse."""
    span = BEYOND * (one.high - one.low)
    if one.low > 0:
        yield one.low - span
    yield one.high + span
    yield from one.spoilt


@pytest.mark.parametrize("one", EACH)
def test_in_its_range_and_guarded(compare, one: Constant) -> None:
    studio = Studio()
    assert one.low <= one.value(studio) <= one.high
    guard = one.guard
    compare(
        guard.effect(studio),
        (guard.low + guard.high) / 2,
        atol=(guard.high - guard.low) / 2,
        source=guard.source,
        what=f"{guard.what} ({guard.low:g} to {guard.high:g})",
        unit=guard.unit,
    )


@pytest.mark.parametrize("one", EACH)
def test_spoiled_beyond_its_range_it_is_noticed(one: Constant) -> None:
    studio = Studio()
    for value in beyond(one):
        with spoiled(one, value, studio) as changed:
            assert not one.guard.holds(changed), f"{one.at} = {value:g} goes unnoticed"
    assert one.guard.holds(studio)


@pytest.mark.common_practice
@pytest.mark.parametrize(
    ("at", "value"),
    [
        ("settings:care.guest_push", 200.0),
        ("decor.context.DEFAULT_PUSH_N", 200.0),
        ("physics.drag.CLUSTERED_COLUMN", 0.7),
        ("settings:care.friction", 0.6),
        ("balloons:11in.mass_g", 4.0),
        ("operations:inflate medium.minutes", 0.08),
        ("physics.shape.FULL_EXPONENT", 0.9),
    ],
)
def test_what_once_went_unnoticed_is_on_the_list(at: str, value: float) -> None:
    (one,) = [c for c in CONSTANTS if c.at == at]
    assert value in one.spoilt
    assert not one.low <= value <= one.high
