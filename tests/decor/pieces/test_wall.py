"""Walls: grids, pictures, frames."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest

from airwright.decor.contacts import touching_pairs
from airwright.decor.parts.grid import Grid, _like, places_in
from airwright.decor.pieces.wall import grid_of, painted
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    counts,
    findings_of,
    made,
    shades,
    spec_of,
)

FOOT = 0.3048
PLAIN = {"pattern": "scatter", "picture": [], "legend": {}, "shades": ["coral", "sand", "teal"]}
STAGGERED = {**PLAIN, "cluster": "2 x 11in @ 10in"}


@pytest.mark.parametrize("changes", [{}, PLAIN, STAGGERED, {**PLAIN, "cluster": "4 x 11in @ 10in"}])
def test_every_wall_settles_flat(changes: dict[str, object]) -> None:
    piece = made("wall", **changes)
    assert_sound(piece)
    assert np.ptp(piece.centre[:, 1]) < 0.2 * piece.radius.max()


def test_a_square_wall_has_the_size_its_grid_says() -> None:
    grid = grid_of(spec_of("wall"), CTX)
    piece = made("wall")
    assert len(piece) == grid.balloons == grid.wide * grid.tall
    wide = np.ptp(piece.centre[:, 0]) + 2 * piece.radius[0]
    tall = (piece.centre[:, 2] + piece.radius).max()
    assert (wide, tall) == pytest.approx(grid.size, abs=0.02)


@pytest.mark.closed_form
def test_ten_staggered_rows_are_as_high_as_hexagonal_rows() -> None:
    """1 + (n - 1)·√3/2 diameters for touching rows: 8.794229 for ten."""
    grid = Grid(4, 10, 1.0, np.sqrt(3) / 2, True, 1.0)
    assert grid.size[1] == pytest.approx(8.794229, abs=1e-6)


def test_a_picture_reads_as_painted() -> None:
    spec = spec_of("wall")
    rows = painted(spec, grid_of(spec, CTX))
    shown = ["".join("#" if name == "coral" else "." for name in row) for row in rows[::-1]]
    first = next(k for k, line in enumerate(shown) if "#" in line)
    width = max(len(line) for line in spec.picture)
    left = (len(shown[0]) - width) // 2
    for line, painted_line in zip(spec.picture, shown[first:], strict=False):
        wanted = "".join("#" if sign == "#" else "." for sign in line)
        assert painted_line[left : left + width] == wanted
    count = sum(line.count("#") for line in spec.picture)
    assert shades(made("wall"))["coral"] == count


def test_the_picture_lies_where_it_is_seen() -> None:
    """A single spot in the top left corner of a full picture is at -x and the highest z."""
    spec = spec_of("wall", width="4 ft", height="4 ft")
    grid = grid_of(spec, CTX)
    picture = ["#" + "." * (grid.wide - 1)] + ["." * grid.wide] * (grid.tall - 1)
    piece = made("wall", width="4 ft", height="4 ft", picture=picture)
    (spot,) = np.flatnonzero([piece.shades[s].name == "coral" for s in piece.shade])
    assert piece.centre[spot, 0] == pytest.approx(piece.centre[:, 0].min(), abs=0.01)
    assert piece.centre[spot, 2] == pytest.approx(piece.centre[:, 2].max(), abs=0.01)


@pytest.mark.parametrize("pattern", ["rows", "columns", "diagonal", "chequer", "scatter"])
def test_patterns_use_every_shade_and_leave_the_count(pattern: str) -> None:
    piece = made("wall", **{**PLAIN, "pattern": pattern})
    assert set(shades(piece)) == {"coral", "sand", "teal"}
    assert len(piece) == grid_of(spec_of("wall"), CTX).balloons


def test_scattered_shades_come_in_equal_shares_and_seldom_touch() -> None:
    piece = made("wall", **PLAIN)
    used = shades(piece)
    assert max(used.values()) - min(used.values()) <= 1
    spec = spec_of("wall", **PLAIN)
    rows = painted(spec, grid_of(spec, CTX))
    like = sum(a == b for row in rows for a, b in pairwise(row))
    assert like < 0.05 * len(piece)
    assert counts(piece) == counts(made("wall", **{**PLAIN, "seed": 9}))


def test_a_large_wall_repeats_the_middle_of_a_small_one() -> None:
    piece = made("wall", **{**PLAIN, "width": "30 ft", "height": "10 ft"})
    assert len(piece) > 2000
    assert_sound(piece)


def test_rows_of_a_large_wall_find_their_like() -> None:
    assert _like(4, 5, 1) == [0, 1, 2, 3]
    assert _like(9, 5, 1) == [0, 1, 2, 2, 2, 2, 2, 3, 4]
    assert all((a - b) % 2 == 0 for a, b in enumerate(_like(21, 6, 2)))


def test_panels_cover_the_wall() -> None:
    piece = made("wall")
    panels = sum(part.quantity for part in piece.hardware if part.use == "panel")
    wide, tall = grid_of(spec_of("wall"), CTX).size
    assert panels >= wide * tall * 0.85
    assert sum(part.use == "base" for part in piece.hardware) >= 2


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"cluster": "3 x 11in"}, {"no-wall-cluster"}),
        ({"cluster": "2 x 11in + 2 x 5in"}, {"no-wall-cluster"}),
        ({"cluster": "4 x 10in"}, {"unknown-size"}),
        ({"shades": ["corall"]}, {"unknown-shade"}),
        ({"legend": {"#": "corall", "o": "gold"}}, {"unknown-shade"}),
        ({"legend": {"#": "coral"}}, {"no-legend"}),
        ({"picture": []}, {"missing"}),
        ({"width": "3 ft"}, {"picture-too-large"}),
        ({**PLAIN, "width": "2 ft", "cluster": "4 x 17in @ 15in"}, {"does-not-fit"}),
        (
            {**PLAIN, "width": "200 ft", "height": "40 ft", "cluster": "4 x 5in @ 2.6in"},
            {"too-many-balloons"},
        ),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("wall", **changes) == codes


def test_whole_clusters_are_hinted_at_with_a_size_that_fits() -> None:
    findings = findings_of("wall", **{**PLAIN, "cluster": "4 x 11in @ 10in", "width": "8 ft"})
    (found,) = [f for f in findings if f.place.endswith("width")]
    assert found.code == "size-in-whole-clusters"
    assert "size the balloons to" in found.mend


@pytest.mark.parametrize(("cluster", "beside"), [("4 x 11in @ 10in", 4), ("2 x 11in @ 10in", 6)])
@pytest.mark.parametrize("width", ["3 ft", "4 ft", "5 ft", "6.5 ft", "8 ft"])
def test_a_wall_is_pressed_on_all_sides_at_any_width(width: str, cluster: str, beside: int) -> None:
    changes = {**PLAIN, "cluster": cluster, "width": width, "height": "5 ft"}
    piece = made("wall", **changes)
    pairs = touching_pairs(piece.centre, piece.radius)
    neighbours = np.bincount(pairs.ravel(), minlength=len(piece))
    x, z = piece.centre[:, 0], piece.centre[:, 2]
    edge = piece.radius[0]
    inner = (abs(x) < x.max() - edge) & (z > z.min() + edge) & (z < z.max() - edge)
    assert inner.any()
    assert (neighbours[inner] >= beside).all()
    assert neighbours.min() >= 2
    assert np.ptp(piece.centre[:, 1]) < 0.2 * edge  # none is pressed out of the plane


def test_a_wish_that_does_not_fit_names_the_two_nearest() -> None:
    changes = {**PLAIN, "cluster": "4 x 11in @ 10in", "width": "5 ft"}
    (found,) = [f for f in findings_of("wall", **changes) if f.place.endswith("width")]
    sizes = re.findall(r'"([^"]+)"', found.mend)
    assert len(sizes) == 2
    for size in sizes:
        fits = findings_of("wall", **{**changes, "width": size})
        assert not [f for f in fits if f.place.endswith("width")]


@pytest.mark.parametrize("width", ["6 ft", "8 ft", "13 ft"])
@pytest.mark.parametrize("changes", [PLAIN, STAGGERED], ids=["square", "staggered"])
def test_no_bar_of_the_frame_is_seen_from_the_front(changes: dict[str, object], width: str) -> None:
    """Every point of every bar lies behind a balloon, gaps between balloons left out."""
    piece = made("wall", **{**changes, "width": width})
    seen = piece.centre[:, [0, 2]]
    for part in piece.hardware:
        if part.use != "panel":
            continue
        bars = np.array(part.path)
        for start, end in pairwise(bars):
            along = start + np.linspace(0.0, 1.0, 200)[:, None] * (end - start)
            apart = np.linalg.norm(along[:, None, [0, 2]] - seen[None], axis=2).min(axis=1)
            assert apart.max() < 1.01 * piece.radius.max()


@pytest.mark.parametrize("changes", [{}, STAGGERED, {**PLAIN, "cluster": "4 x 11in @ 10in"}])
def test_every_balloon_is_one_cell_of_the_painting(changes: dict[str, object]) -> None:
    """Painting, picture and wall agree: as many cells as balloons, each in the shade it shows."""
    spec = spec_of("wall", **changes)
    piece = made("wall", **changes)
    row, place = places_in(piece.centre, piece.radius)
    cells = set(zip(row.tolist(), place.tolist(), strict=True))
    grid = grid_of(spec, CTX)
    assert cells == {(z, x) for z in range(grid.tall) for x in range(grid.wide)}
    assert len(cells) == len(piece)
    wanted = painted(spec, grid)
    for z, x, shade in zip(row, place, piece.shade, strict=True):
        assert piece.shades[shade].name == wanted[z][x]
