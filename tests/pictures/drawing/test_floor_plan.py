"""The floor plan is true to its scale and stands copies where the browser stands them."""

from __future__ import annotations

import itertools
import math
import re

import numpy as np
import pytest

from airwright.pictures.drawing import DrawingError, about, draw_floor_plan
from airwright.pictures.drawing.floor_plan import SCALES, Placed, apart_m, scale_of
from airwright.pictures.drawing.tags import TAG_MM
from airwright.pictures.drawing.values import Drawing
from airwright.units import FOOT_M, System
from tests.pictures.samples import bouquet, packed_arch, swirl_column


def discs(drawing: Drawing, kind: str = "balloon") -> np.ndarray:
    """Middle and radius of each circle of a kind [mm of the paper]."""
    pattern = re.compile(r'cx="([-\d.]+)" cy="([-\d.]+)" r="([-\d.]+)"')
    found = [pattern.search(element.markup) for element in drawing.of_kind(kind)]
    return np.asarray([[float(v) for v in hit.groups()] for hit in found if hit])


def origin(drawing: Drawing) -> tuple[float, float]:
    """Where the cross is."""
    across, up = (
        [float(v) for v in re.findall(r'[xy][12]="([-\d.]+)"', element.markup)]
        for element in drawing.of_kind("cross")
    )
    return (across[0] + across[2]) / 2, (up[1] + up[3]) / 2


def test_every_balloon_lies_where_it_stands_at_the_scale_said() -> None:
    column = swirl_column()
    drawing = draw_floor_plan(about("1", column, 1, 1.5, 2.0, 90.0), 170.0, 200.0)
    scale = scale_of(drawing)
    zero = origin(drawing)
    moved = column.moved((1.5, 2.0, 0.0), math.pi / 2)
    order = np.argsort(moved.centre[:, 2], kind="stable")
    wanted = np.column_stack(
        [
            zero[0] + 1000 * moved.centre[order, 0] / scale,
            zero[1] - 1000 * moved.centre[order, 1] / scale,
            1000 * moved.radius[order] / scale,
        ]
    )
    assert discs(drawing) == pytest.approx(wanted, abs=0.01)


@pytest.mark.parametrize("reach", [0.2, 3.0, 12.0, 140.0])
def test_it_takes_the_largest_usual_scale_that_fits(reach: float) -> None:
    placed = (
        *about("1", swirl_column(), 1, -reach, 0.0, 0.0),
        *about("2", bouquet(), 1, reach, reach, 0.0),
    )
    drawing = draw_floor_plan(placed, 170.0, 180.0)
    assert drawing.canvas.width <= 170.0 + 1e-6
    assert drawing.canvas.height <= 180.0 + 1e-6
    scale = scale_of(drawing)
    finer = SCALES[SCALES.index(scale) - 1]
    inner = (drawing.canvas.width - 18.0, drawing.canvas.height - 18.0)
    assert (
        inner[0] * scale / finer > 152.0 or inner[1] * scale / finer > 162.0 or scale == SCALES[0]
    )


def test_copies_stand_side_by_side_about_the_spot() -> None:
    arch = packed_arch()
    three = about("1", arch, 3, 2.0, 5.0, 90.0)
    assert np.mean([[one.x, one.y] for one in three], axis=0) == pytest.approx([2.0, 5.0])
    assert [one.x for one in three] == pytest.approx([2.0] * 3)  # along its own front, now sideways
    assert np.diff([one.y for one in three]) == pytest.approx([apart_m(arch)] * 2)
    grounds = [one.ground for one in three]
    assert all(a[3] < b[1] for a, b in itertools.pairwise(grounds))


def test_the_grid_is_in_feet_or_metres() -> None:
    placed = about("1", swirl_column(), 1, 4.0, 4.0, 0.0)
    for system, unit in ((System.FEET, FOOT_M), (System.METRIC, 1.0)):
        drawing = draw_floor_plan(placed, 170.0, 200.0, system=system)
        zero = origin(drawing)
        lines = [
            [float(v) for v in re.findall(r'[xy][12]="([-\d.]+)"', element.markup)]
            for element in drawing.of_kind("grid")
        ]
        upright = sorted(x1 for x1, _, x2, _ in lines if x1 == x2)
        step = (upright[1] - upright[0]) * scale_of(drawing) / 1000 / unit
        assert step == pytest.approx(round(2 * step) / 2, abs=0.01)
        assert any(abs(x - zero[0]) < 0.01 for x in upright)


def test_no_number_covers_another() -> None:
    crowd = [
        one
        for k in range(24)
        for one in about(str(k + 1), bouquet(), 1, 0.3 * (k % 6), 0.3 * (k // 6), 30.0 * k)
    ]
    drawing = draw_floor_plan(crowd, 170.0, 200.0)
    tags = discs(drawing, "tag")
    assert len(tags) == 24
    apart = np.hypot(*(tags[:, None, :2] - tags[None, :, :2]).transpose(2, 0, 1))
    assert apart[np.triu_indices(24, 1)].min() >= 2 * TAG_MM
    # A long row says its number now and then, not on top of itself.
    row = discs(draw_floor_plan(about("1", bouquet(), 60, 0.0, 0.0, 0.0), 170.0, 200.0), "tag")
    assert 2 <= len(row) < 60
    assert np.diff(np.sort(row[:, 0])).min() >= 2 * TAG_MM


def test_what_cannot_be_drawn_is_said() -> None:
    with pytest.raises(DrawingError, match="No piece has a place"):
        draw_floor_plan((), 170.0, 200.0)
    far = (Placed("1", bouquet(), -900.0, 0.0), Placed("2", bouquet(), 900.0, 0.0))
    with pytest.raises(DrawingError, match="does not fit the paper"):
        draw_floor_plan(far, 170.0, 200.0)
