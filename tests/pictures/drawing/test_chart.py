"""Charts and rings: every balloon is there, named as well as coloured, and can be read."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest
from coloraide import Color
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.assembly import Shade
from airwright.pictures.drawing import DrawingError, Style, draw_chart, draw_ring, to_svg
from airwright.pictures.drawing.chart import columns, turns
from airwright.pictures.drawing.ring import places
from airwright.pictures.drawing.text import contrast, ink_on, luminance, short_names
from airwright.pictures.drawing.values import MM
from airwright.units import System
from tests.decor.pieces.helpers import made
from tests.pictures.samples import (
    TEAL,
    Maker,
    bouquet,
    cloud_column,
    garland,
    packed_arch,
    round_stock,
    swirl_column,
    textured_column,
)

MAKERS = [swirl_column, cloud_column, textured_column, packed_arch, bouquet, garland]


def words_in(svg: str) -> list[str]:
    return [e.text or "" for e in ET.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")]


@pytest.mark.parametrize("make", MAKERS)
def test_a_chart_is_well_formed_and_names_every_shade(make) -> None:  # type: ignore[no-untyped-def]
    piece = make()
    words = words_in(to_svg(draw_chart(piece)))
    counts = Counter(piece.shades[k].name for k in piece.shade)
    for name, count in counts.items():
        assert any(w.startswith(name) and w.endswith(f"× {count}") for w in words), name


@pytest.mark.parametrize("make", [swirl_column, textured_column, packed_arch])
def test_every_balloon_of_a_stack_has_its_cell(make) -> None:  # type: ignore[no-untyped-def]
    piece = make()
    rows = [e.row for e in draw_chart(piece).of_kind("cell")]
    assert sorted(r for r in rows if r is not None and piece.layer[r] >= 0) == [
        int(k) for k in np.flatnonzero(piece.layer >= 0)
    ]


def cells(piece, **more):  # type: ignore[no-untyped-def]
    found = {}
    for e in draw_chart(piece, **more).of_kind("cell"):
        x, y, r = (
            float(re.search(rf" {k}=\"(-?[\d.]+)\"", e.markup)[1])  # type: ignore[index]
            for k in ("cx", "cy", "r")
        )
        if e.row is not None:
            found[e.row] = (x, y, r)
    return found


@pytest.mark.parametrize("make", [swirl_column, textured_column, packed_arch])
def test_cells_do_not_overlap_and_lower_layers_lie_lower(make) -> None:  # type: ignore[no-untyped-def]
    piece = make()
    at = {k: v for k, v in cells(piece, style=Style(rows=60)).items() if piece.layer[k] >= 0}
    rows, spots = list(at), np.array(list(at.values()))
    gap = np.hypot(*(spots[:, None, :2] - spots[None, :, :2]).transpose(2, 0, 1))
    room = spots[:, None, 2] + spots[None, :, 2]
    assert (gap + np.eye(len(rows)) * 99 >= room - 0.05).all()
    layers = piece.layer[rows]
    assert np.all(np.diff(spots[np.argsort(layers, kind="stable"), 1]) <= 1e-6)


def test_small_and_large_balloons_differ_in_the_chart() -> None:
    piece = textured_column()
    at = cells(piece)
    small = [at[k][2] for k in at if piece.stocks[piece.stock[k]].size == "5in"]
    large = [at[k][2] for k in at if piece.stocks[piece.stock[k]].size == "11in"]
    assert max(small) < 0.8 * min(large)


def test_the_front_of_the_chart_is_the_front_of_the_piece() -> None:
    """In layer 1 of the sample, slot 1 looks straight to the front and slot 2 to the right."""
    piece = swirl_column()
    rows = [int(k) for k in np.flatnonzero(piece.layer == 1)]
    want = [np.degrees(np.arctan2(x, -y)) for x, y in piece.axis[rows][:, :2]]
    assert turns(piece, rows) == pytest.approx(np.asarray(want), abs=1e-6)
    at = cells(piece)
    front = rows[int(np.argmin(piece.centre[rows][:, 1]))]
    right = rows[int(np.argmax(piece.centre[rows][:, 0]))]
    svg = to_svg(draw_chart(piece))
    mark = re.search(r"x=\"([\d.]+)\" y=\"[\d.]+\"[^>]*font-weight=\"700\">front<", svg)
    assert mark is not None
    assert at[front][0] == pytest.approx(float(mark[1]), abs=0.02)
    assert at[right][0] > at[front][0] + 5.0


@pytest.mark.parametrize(
    ("looking", "want"),
    [
        ([0, 90, 180, -90], [0, 90, 180, -90]),
        ([45, 135, -135, -45], [45, 135, -135, -45]),
        ([10, 100, -170, -80], [10, 100, -170, -80]),
        ([-60, -20, 20, 60], [-135, -45, 45, 135]),
        ([178, -12, 12, 165], [-135, -45, 45, 135]),
        ([30], [30]),
        ([], []),
    ],
)
def test_places_round_the_turn(looking: list[float], want: list[float]) -> None:
    assert columns(np.asarray(looking, float)) == pytest.approx(np.asarray(want, float), abs=0.01)


def test_a_tall_stack_is_cut_into_blocks() -> None:
    piece = packed_arch(quads=40)
    drawing = draw_chart(piece, style=Style(rows=10))
    assert len([e for e in drawing.elements if e.kind == "front-word"]) == 4
    assert drawing.paper_mm[0] <= 185.0


@pytest.mark.other_program
@given(st.from_regex(r"#[0-9a-f]{6}", fullmatch=True))
def test_luminance_and_contrast_follow_wcag(colour: str) -> None:
    """Against coloraide's own WCAG 2.1 contrast and luminance."""
    assert luminance(colour) == pytest.approx(Color(colour).luminance(), abs=2e-4)
    known = Color(colour).contrast("#2a2724", method="wcag21")
    assert contrast(colour, "#2a2724") == pytest.approx(known, rel=1e-2)


@pytest.mark.other_program
@given(st.from_regex(r"#[0-9a-f]{6}", fullmatch=True))
def test_words_can_be_read_on_every_shade(colour: str) -> None:
    """WCAG 2.2 level AA asks 4.5 to 1 for text; measured with coloraide."""
    assert Color(colour).contrast(ink_on(colour), method="wcag21") >= 4.5


@given(st.lists(st.text(min_size=1, max_size=12), max_size=30))
def test_short_names_are_never_alike(names: list[str]) -> None:
    made = short_names(names)
    assert set(made) == set(names)
    assert len({label.casefold() for label in made.values()}) == len(made)
    assert all(label.strip() for label in made.values())


@settings(deadline=None)
@given(st.lists(st.sampled_from([0.05, 0.06, 0.12, 0.13, 0.2, 0.3]), min_size=2, max_size=8))
def test_balloons_of_a_ring_do_not_overlap(radii: list[float]) -> None:
    at, r = places(radii), np.asarray(radii)
    gap = np.linalg.norm(at[:, None] - at[None], axis=2) + np.eye(len(r)) * 9
    assert (gap >= (r[:, None] + r[None]) * 0.999).all()
    assert at[0] == pytest.approx([0.0, -np.hypot(*at[0])], abs=1e-9)


@pytest.mark.parametrize(
    ("make", "cluster"), [(swirl_column, 0), (cloud_column, 0), (textured_column, 1)]
)
def test_a_ring_shows_every_balloon_with_name_and_diameter(make, cluster: int) -> None:  # type: ignore[no-untyped-def]
    piece = make()
    drawing = draw_ring(piece, cluster)
    made = piece.clusters[cluster]
    assert len(drawing.of_kind("balloon")) == len(made.shades)
    words = words_in(to_svg(drawing))
    for name, count in Counter(made.shades).items():
        assert words.count(name) == count
    assert any("9.5 in" in w or "10 in" in w for w in words)
    assert drawing.paper_mm[0] == pytest.approx(60.0)


def test_a_ring_speaks_metric_when_asked() -> None:
    words = words_in(to_svg(draw_ring(swirl_column(), 0, system=System.METRIC)))
    assert "24.1 cm" in words


def test_names_that_do_not_fit_are_shortened_and_told_below() -> None:
    long = Shade("an endlessly long name of a shade that no balloon can carry", "#1f7a7a")
    piece = replace(swirl_column(), shades=(long, *swirl_column().shades[1:]))
    drawing = draw_ring(piece, 0)
    for element in drawing.of_kind("legend"):
        x = float(re.search(r" x=\"(-?[\d.]+)\"", element.markup)[1])  # type: ignore[index]
        assert x >= drawing.canvas.left
    labels = [w for w in words_in(to_svg(drawing)) if w == long.name]
    assert labels == []


@pytest.mark.parametrize("name", ["珊瑚", "مرجاني", "<b>&", "o\x1fdd"])
def test_shades_of_any_script(name: str) -> None:
    piece = swirl_column()
    piece = replace(piece, shades=(Shade(name, "#f0705a"), *piece.shades[1:]))
    for drawing in (draw_chart(piece), draw_ring(piece, 0)):
        text = to_svg(drawing)
        shown = "".join(words_in(text))
        assert name.replace("\x1f", " ")[:2] in shown


def test_bad_requests_are_refused_in_words() -> None:
    piece = swirl_column()
    with pytest.raises(DrawingError, match="has 10 clusters"):
        draw_ring(piece, 10)
    with pytest.raises(DrawingError, match="15 to 1000 mm"):
        draw_ring(piece, 0, width_mm=1)
    with pytest.raises(DrawingError, match="cells"):
        Style(cell=0.0)


def test_an_empty_piece_has_an_empty_chart() -> None:
    drawing = draw_chart(Maker("nothing", "column").done())
    assert drawing.elements == ()
    assert ET.fromstring(to_svg(drawing)).tag.endswith("svg")


def test_a_wall_is_charted_as_it_stands_on_sheets_that_print() -> None:
    """A layer of a wall holds many clusters: unrolled it would be wider than any page."""
    make = Maker("wall", "wall")
    for row in range(4):
        for column in range(30):
            x, z = 0.25 * column, 0.25 * row + 0.12
            make.ring((x, 0.0, z), [round_stock(5, 4.5)] * 4, [TEAL] * 4, 0.0, row)
    piece = make.done()
    drawing = draw_chart(piece)
    cells = [element.row for element in drawing.of_kind("cell")]
    assert sorted(cells) == list(range(len(piece)))
    assert drawing.paper_mm[0] <= 181.0
    assert "Columns 16 to 30, rows 1 to 4" in words_in(to_svg(drawing))


@pytest.mark.parametrize(
    ("width", "height", "cluster", "count"),
    [("13 ft", "9 ft", "4 x 11in @ 9.5in", 20 * 14), ("8 ft", "8 ft", "2 x 11in @ 9.5in", 12 * 13)],
)
def test_a_pressed_wall_shows_each_balloon_by_itself(
    width: str, height: str, cluster: str, count: int
) -> None:
    """As many cells as balloons, and none hides the name in its neighbor."""
    plain = {"pattern": "scatter", "picture": [], "legend": {}, "shades": ["coral", "teal"]}
    piece = made("wall", width=width, height=height, cluster=cluster, **plain)
    at = cells(piece)
    assert len(at) == len(piece) == count
    spots = np.array(list(at.values()))
    gap = np.hypot(*(spots[:, None, :2] - spots[None, :, :2]).transpose(2, 0, 1))
    room = spots[:, None, 2] + spots[None, :, 2]
    assert (gap + np.eye(len(at)) * 99 >= room - 0.05).all()


CLOUD = {
    "body": None,
    "shades": None,
    "clouds": [
        {
            "at": "foot",
            "cluster": "2 x 17in @ 15in + 4 x 11in @ 10in",
            "shades": ["teal", "white"],
        }
    ],
}


def test_unlike_balloons_lie_about_the_tie_by_turns_and_close_to_it() -> None:
    """Two large ones opposite each other and a small one in each gap, touching them."""
    radii = [0.12, 0.12, 0.057, 0.057]
    laid = places(radii)
    assert np.allclose(laid[0], -laid[1], atol=1e-6)
    assert np.allclose(laid[2], -laid[3], atol=1e-6)
    assert abs(float(laid[0] @ laid[2])) < 1e-6
    apart = np.linalg.norm(laid[:2, None] - laid[None, 2:], axis=2)
    assert apart.max() < 1.06 * (0.12 + 0.057)


def test_a_cloud_is_drawn_as_it_comes_to_rest_without_loose_necks() -> None:
    piece = made("column", **CLOUD)
    drawing = draw_ring(piece, 0, width_mm=100.0)
    assert not [e for e in drawing.elements if e.kind == "tie"]
    assert len([e for e in drawing.elements if e.kind == "balloon"]) >= 5  # one may be behind
    # two of 15 in opposite each other, necks hidden, with what presses between them: about 0.89 m
    assert drawing.canvas.width / MM < 0.90


def test_layers_of_several_recipes_are_told_in_words_not_in_notation() -> None:
    chart = draw_chart(made("topiary"))
    said = " ".join(element.markup for element in chart.elements)
    assert "4 × 5in, 4.5 in" in said
    assert "@" not in said
    metric = draw_chart(made("topiary"), system=System.METRIC)
    assert any("4 × 5in, 11.4 cm" in element.markup for element in metric.elements)
