"""Numbers and letters: balloons inside their outline, holes no larger than asked, what stands."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import MultiPolygon, Polygon

from airwright.decor.assembly import Assembly
from airwright.decor.parts.bold_glyphs import bold_glyph
from airwright.decor.parts.outline_fill import fill_outline
from tests.decor.pieces.helpers import assert_sound, codes_of, findings_of, made, sizes

FOOT = 0.3048
INCH = 0.0254
ONE_SIZE = [{"balloon": "5in @ 4in", "share": 1}]


def outline(piece: Assembly) -> MultiPolygon:
    """The frame's outline in x and z, from its rims."""
    rings = [
        Polygon([(x, z) for x, _, z in part.path])
        for part in piece.hardware
        if part.item == "letter frame rim"
    ]
    rings.sort(key=lambda ring: -ring.area)
    shape = rings[0]
    for ring in rings[1:]:
        shape = shape.difference(ring) if shape.contains(ring) else shape.union(ring)
    return shape if shape.geom_type == "MultiPolygon" else MultiPolygon([shape])


@pytest.mark.parametrize("text", ["0", "7", "A", "R", "&", "40"])
def test_every_balloon_lies_in_its_outline_and_the_edge_is_kept(text: str) -> None:
    piece = made("letters", text=text)
    assert_sound(piece)
    shape = outline(piece)
    points = shapely.points(piece.centre[:, 0], piece.centre[:, 2])
    out = piece.radius - shapely.distance(shape.boundary, points)
    assert shape.contains(shapely.MultiPoint(points))
    assert (out / piece.radius).max() < 0.35  # pressed on the rim, as on a neighbour
    edge = shape.segmentize(0.01).boundary
    along = shapely.get_coordinates(edge)
    off = np.linalg.norm(along[:, None] - piece.centre[None][:, :, [0, 2]], axis=2)
    assert (off - piece.radius).min(axis=1).max() < 1.5 * INCH


def test_no_hole_is_larger_than_asked_for() -> None:
    """Measured on a grid of its own."""
    gap = 1.75 * INCH
    piece = made("letters", text="3", gap="1.75 in")
    shape = outline(piece)
    low, high = np.array(shape.bounds[:2]), np.array(shape.bounds[2:])
    axes = [np.arange(low[k], high[k], 0.004) for k in (0, 1)]
    grid = np.stack(np.meshgrid(*axes), axis=-1).reshape(-1, 2)
    points = shapely.points(grid)
    inside = shapely.contains(shape, points)
    room = shapely.distance(shape.boundary, points[inside])
    off = np.linalg.norm(grid[inside][:, None] - piece.centre[None][:, :, [0, 2]], axis=2)
    room = np.minimum(room, (off - piece.radius).min(axis=1))
    assert 2 * room.max() <= gap + 0.002


def test_small_balloons_come_forward_so_that_the_front_is_nearly_even() -> None:
    piece = made("letters", text="8")
    front = piece.centre[:, 1] - piece.radius
    large, small = piece.radius.max(), piece.radius.min()
    assert np.ptp(front) <= 0.5 * (large - small)
    assert np.allclose(piece.axis, [0.0, -1.0, 0.0])


def test_standing_and_hung() -> None:
    stands = made("letters", text="I7")
    assert {part.use for part in stands.hardware} == {"frame", "base"}
    assert (stands.centre[:, 2] > stands.radius * 0.8).all()
    hung = made("letters", text="I7", on="hooks", bottom="8 ft")
    assert sum(part.use == "anchor" for part in hung.hardware) == 4
    assert len(hung.strands) == 4
    rims = [z for part in hung.hardware if "rim" in part.item for _, _, z in part.path]
    assert min(rims) == pytest.approx(8 * FOOT, abs=0.002)


def test_a_dash_stands_on_a_pole() -> None:
    piece = made("letters", text="1-0", stroke="10 in", mix=ONE_SIZE)
    assert_sound(piece)
    assert sum(part.use == "pole" for part in piece.hardware) == 1


def test_the_middle_is_over_the_origin_and_a_blank_makes_room() -> None:
    piece = made("letters", text="GO 1")
    rims = [x for part in piece.hardware if "rim" in part.item for x, _, _ in part.path]
    assert min(rims) == pytest.approx(-max(rims), abs=1e-6)
    close = made("letters", text="GO1")
    assert piece.width_m > close.width_m + 0.2


def test_counts_grow_with_the_square_of_the_height() -> None:
    small, large = (
        len(made("letters", text="5", height=height, mix=ONE_SIZE)) for height in ("4 ft", "8 ft")
    )
    assert large / small == pytest.approx(4.0, rel=0.12)


def test_one_balloon_fills_a_disc_of_its_size() -> None:
    disc = shapely.Point(0, 0).buffer(0.07, quad_segs=64)
    found = fill_outline(disc, [0.07], [1.0], 0.05, 1)
    assert len(found.centre) == 1
    assert np.linalg.norm(found.centre[0]) < 0.01


def test_strokes_come_out_as_wide_as_asked() -> None:
    for font in ("sans", "serif"):
        shape = bold_glyph("I", font, 0.3).shape  # type: ignore[arg-type]
        circle = shapely.maximum_inscribed_circle(shape)
        assert 2 * circle.length == pytest.approx(0.3, rel=0.08)
        low, high = shape.bounds[1], shape.bounds[3]
        assert (low, high) == (pytest.approx(0.0, abs=0.01), pytest.approx(1.0, abs=0.01))


def test_pairs_are_of_one_size() -> None:
    piece = made("letters", text="6")
    assert all(len(set(cluster.sizes)) == 1 for cluster in piece.clusters)
    assert {len(cluster.sizes) for cluster in piece.clusters} == {1, 2}
    assert sum(sizes(piece).values()) == len(piece)


def test_what_cannot_be_built_is_told_with_place_and_cure() -> None:
    for changes, code, place in (
        ({"text": "  "}, "missing", "text"),
        ({"text": "4☃"}, "no-glyph", "text"),
        ({"text": "漢"}, "no-glyph", "text"),
        ({"stroke": "5 in"}, "too-thin", "stroke"),
        ({"stroke": "4 ft"}, "too-thick", "stroke"),
        ({"mix": [{"balloon": "24in @ 22in", "share": 1}]}, "too-thin", "stroke"),
        ({"mix": [{"balloon": "260", "share": 1}]}, "cannot-be-tied", "mix[0].balloon"),
    ):
        found = [f for f in findings_of("letters", **changes) if f.severity == "error"]
        assert [f.code for f in found] == [code], changes
        assert found[0].place == f"pieces[0].{place}"
        assert found[0].mend
    assert codes_of("letters", text="&@!?") == set()
