"""A drawing shows what the Assembly holds, at true scale."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from airwright.pictures.drawing import Drawing, DrawingError, Options, View, draw, to_svg
from tests.pictures.samples import Maker, swirl_column

BARE = Options(margin_m=0.0, floor=False)


@pytest.mark.parametrize("view", list(View))
def test_every_view_is_well_formed_and_repeats_itself(view: View) -> None:
    first = to_svg(draw(swirl_column(), view))
    assert ET.fromstring(first).tag.endswith("svg")
    assert to_svg(draw(swirl_column(), view)) == first


def test_front_is_as_large_as_the_piece() -> None:
    piece = swirl_column()
    drawing = draw(piece, "front", options=BARE)
    assert drawing.body.width / 1000 == pytest.approx(piece.width_m, abs=1e-9)
    assert drawing.body.height / 1000 == pytest.approx(piece.height_m, abs=1e-9)
    assert drawing.width_m == pytest.approx(piece.width_m, abs=0.002)


def test_an_empty_piece_gives_an_empty_drawing() -> None:
    drawing = draw(Maker("nothing", "column").done(), "front")
    assert isinstance(drawing, Drawing)
    assert drawing.elements == ()
    assert ET.fromstring(to_svg(drawing)).tag.endswith("svg")


def test_an_unknown_view_names_the_known_ones() -> None:
    with pytest.raises(DrawingError, match="front, side, top, three-quarter"):
        draw(swirl_column(), "behind")


def test_a_column_is_a_light_file() -> None:
    assert len(to_svg(draw(swirl_column(), "front"))) < 150_000
