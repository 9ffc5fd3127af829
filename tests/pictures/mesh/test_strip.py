"""The rim of a letter: a closed band of the right volume, whichever way its path runs."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.mesh import strip

SQUARE = np.array([[0, 0, 0], [1, 0, 0], [1, 0, 1], [0, 0, 1], [0, 0, 0]], dtype=float)


@pytest.mark.parametrize("path", [SQUARE, SQUARE[::-1], SQUARE[:-1]])
def test_a_band_is_closed_and_holds_its_board(path: np.ndarray) -> None:  # type: ignore[type-arg]
    band = strip(path, 0.01, 0.1)
    assert band.closed
    assert band.euler == 0  # a ring
    # board of 0.01 at the corners, where the square is mitred: thickness / sqrt 2
    assert band.volume == pytest.approx(4 * 0.1 * 0.01 / np.sqrt(2), rel=1e-6)


def test_a_path_of_two_points_is_none() -> None:
    with pytest.raises(ValueError, match="three points"):
        strip(SQUARE[:2], 0.01, 0.1)
