"""A picture in balloons: averages, error diffusion, choice of shades."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.mosaic import (
    FAR,
    averaged,
    choose,
    differences,
    diffused,
    grouped,
    laid,
    nearest_of,
    oklab,
    palette,
    spread,
    voted,
)

BLACK_WHITE = np.array([[0.0], [1.0]])
SHELF = ("#f4f2ee", "#1b1b1d", "#c8102e", "#ffd100", "#00843d", "#13294b", "#8dc8e8")


def threshold(value: np.ndarray) -> int:
    return int(value[0] > 0.5)


def printed(cells: np.ndarray) -> list[str]:
    return ["".join(str(bit) for bit in row) for row in cells]


@pytest.mark.closed_form
def test_the_ideal_error_diffusion_of_a_ramp() -> None:
    """Rows of Floyd and Steinberg's diffusion in exact arithmetic, from the checks' table.

    (Pillow's own is not the ideal one: its first row is 0000001010111111.)
    """
    ramp = np.tile(np.arange(0, 256, 17) / 255, (4, 1))[:, :, None]
    cells = spread(ramp, BLACK_WHITE, threshold)
    assert printed(cells) == [
        "0000010101111111", "0000100101010111", "0000010101101111", "0001000101011111",
    ]  # fmt: skip
    assert cells.sum() == 32


@pytest.mark.closed_form
def test_the_ideal_error_diffusion_of_a_grey() -> None:
    cells = spread(np.full((4, 8, 1), 64 / 255), BLACK_WHITE, threshold)
    assert printed(cells) == ["00000000", "01010101", "00000000", "01010101"]


@pytest.mark.other_program
def test_oklab_is_that_of_another_library() -> None:
    for colour in (*SHELF, "#ffffff", "#7f3fbf"):
        ours = oklab(palette([colour]))[0]
        np.testing.assert_allclose(ours, Color(colour).convert("oklab").coords(), atol=2e-6)


@pytest.mark.other_program
def test_near_colours_are_told_apart_by_ciede2000_far_ones_by_oklab() -> None:
    """#ff00ff is nearest to grey by CIEDE2000 (23.7; purple 31.6), which no eye would say."""
    shelf = palette(["#9ea2a2", "#5f259f", "#f4a6c0"])
    row = differences(palette(["#ff00ff"]), shelf)[0]
    assert row.argmin() != 0
    near = differences(palette(["#e0e0e0"]), palette(["#f4f2ee"]))[0, 0]
    assert near == pytest.approx(4.4117, abs=1e-3)  # colour-science 0.4.7
    assert near < FAR


def test_cells_average_light_over_their_area() -> None:
    picture = np.zeros((3, 4, 3))
    picture[:, 2:] = 1.0
    np.testing.assert_allclose(averaged(picture, 1, 1), 0.5)
    np.testing.assert_allclose(averaged(picture, 1, 3)[0, :, 0], [0.0, 0.5, 1.0])
    np.testing.assert_allclose(averaged(picture, 6, 8)[:, :, 0].mean(), 0.5)


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 30), st.integers(1, 30), st.integers(1, 20), st.integers(1, 20))
def test_no_light_is_lost_in_averaging(high: int, wide: int, rows: int, columns: int) -> None:
    picture = np.random.default_rng(high * 31 + wide).random((high, wide, 3))
    np.testing.assert_allclose(averaged(picture, rows, columns).mean((0, 1)), picture.mean((0, 1)))


def test_a_picture_in_its_own_shades_comes_back() -> None:
    shelf = palette(SHELF)
    cells = np.random.default_rng(4).integers(0, len(SHELF), (9, 12))
    picture = np.kron(shelf[cells], np.ones((8, 8, 1)))
    for style in ("smooth", "flat"):
        made = laid(picture, shelf, 9, 12, style)  # type: ignore[arg-type]
        np.testing.assert_array_equal(made.cells, cells)
        assert made.mean_difference < 0.01
        assert made.counts.sum() == 108


def test_diffusion_keeps_the_light_that_plain_nearest_loses() -> None:
    shelf = palette(["#000000", "#ffffff"])
    grey = np.full((20, 30, 3), 0.25)
    assert nearest_of(grey, shelf).mean() in (0.0, 1.0)
    assert diffused(grey, shelf).mean() == pytest.approx(0.25, abs=0.03)


def test_a_thin_line_stays_only_when_outlines_are_kept() -> None:
    shelf = palette(["#ffffff", "#000000"])
    picture = np.ones((60, 60, 3))
    picture[:, 26:28] = 0.0  # a third of a cell wide
    assert voted(picture, shelf, 10, 10, outlines=True).sum() == 10
    assert voted(picture, shelf, 10, 10, outlines=False).sum() == 0


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 4))
def test_the_choice_of_shades_is_the_best_of_all(seed: int, count: int) -> None:
    """Against full enumeration."""
    rng = np.random.default_rng(seed)
    picture, shelf = rng.random((6, 6, 3)), rng.random((7, 3))
    found = choose(picture, shelf, count)
    centres, weights = grouped(picture)
    cost = differences(centres, shelf) ** 2 * weights[:, None] / weights.sum()
    best = min(float(cost[:, list(few)].min(axis=1).sum()) for few in combinations(range(7), count))
    assert found.proven
    assert found.error == pytest.approx(best, rel=1e-6)
    assert found.bound <= found.error + 1e-6
    assert len(found.chosen) == count


def test_more_shades_never_make_it_worse() -> None:
    rng = np.random.default_rng(8)
    picture, shelf = rng.random((12, 12, 3)), rng.random((9, 3))
    errors = [choose(picture, shelf, count).error for count in range(1, 10)]
    assert errors == sorted(errors, reverse=True)
