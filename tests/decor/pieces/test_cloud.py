"""Clouds: size, density, and what holds them."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.pieces import KINDS
from tests.decor.pieces.helpers import CTX, assert_sound, codes_of, counts, made, spec_of

FOOT = 0.3048
SIZES = [("7 ft", "4 ft"), ("5 ft", "2 ft 6 in"), ("12 ft", "6 ft"), ("4 ft", "4 ft")]


def extent(piece: object) -> np.ndarray:  # type: ignore[type-arg]
    low = (piece.centre - piece.radius[:, None]).min(axis=0)  # type: ignore[attr-defined]
    high = (piece.centre + piece.radius[:, None]).max(axis=0)  # type: ignore[attr-defined]
    return np.array([low, high])


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_a_cloud_comes_out_about_as_large_as_asked(width: str, height: str) -> None:
    piece = made("cloud", width=width, height=height)
    assert_sound(piece)
    low, high = extent(piece)
    spec = spec_of("cloud", width=width, height=height)
    assert high[0] - low[0] == pytest.approx(spec.width, abs=0.25)
    assert high[2] - low[2] == pytest.approx(spec.height, abs=0.35)
    assert low[2] == pytest.approx(spec.bottom, abs=0.12)


@pytest.mark.parametrize("on", ["hooks", "stand", "floor"])
def test_hung_standing_and_lying(on: str) -> None:
    piece = made("cloud", on=on, bottom="3 ft")
    assert_sound(piece)
    uses = [part.use for part in piece.hardware]
    assert uses == {"hooks": ["anchor"] * 2, "stand": ["base", "pole"], "floor": []}[on]


def test_the_body_is_closed_in_the_middle() -> None:
    """Looking from the front, the balloons cover the middle of the cloud."""
    piece = made("cloud", width="8 ft", height="4 ft")
    low, high = extent(piece)
    middle, half = (low + high) / 2, (high - low) / 2
    x, z = np.meshgrid(np.linspace(-0.6, 0.6, 25), np.linspace(-0.6, 0.6, 25))
    spots = np.column_stack([middle[0] + x.ravel() * half[0], middle[2] + z.ravel() * half[2]])
    apart = np.linalg.norm(spots[:, None] - piece.centre[None][:, :, [0, 2]], axis=2)
    assert (apart <= piece.radius[None]).any(axis=1).mean() > 0.93


def test_larger_takes_more_and_the_seed_changes_no_count() -> None:
    small, large = made("cloud"), made("cloud", width="14 ft", height="5 ft")
    assert len(large) > 1.7 * len(small)
    one, two = made("cloud", seed=1), made("cloud", seed=2)
    assert counts(one) == counts(two)
    assert not np.allclose(one.centre, two.centre)
    assert np.array_equal(one.centre, made("cloud", seed=1).centre)


def test_the_estimate_is_near_the_count() -> None:
    for width, height in SIZES:
        spec = spec_of("cloud", width=width, height=height)
        count = len(made("cloud", width=width, height=height))
        assert KINDS["cloud"].estimate(spec, CTX) == pytest.approx(count, rel=0.35)


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"width": "2 ft"}, {"too-small"}),
        ({"height": "1 ft"}, {"too-small"}),
        ({"mix": [{"balloon": "11in", "share": 0}]}, {"empty-mix"}),
        ({"mix": [{"balloon": "18in foil round"}]}, {"cannot-be-tied"}),
        ({"shades": ["corall"]}, {"unknown-shade"}),
        ({"on": "stand", "bottom": "20 ft"}, {"no-pole"}),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("cloud", **changes) == codes
