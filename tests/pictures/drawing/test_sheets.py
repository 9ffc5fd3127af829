"""Steps, scenes, turn-arounds, and what stands around a piece."""

from __future__ import annotations

import re
import subprocess
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from airwright.decor.assembly import Step
from airwright.pictures.drawing import (
    DrawingError,
    Options,
    Standing,
    arrange,
    draw,
    draw_chart,
    draw_ring,
    draw_scene,
    draw_step,
    draw_turnaround,
    to_svg,
)
from airwright.pictures.person import outline
from airwright.units import LENGTH, System, show
from tests.pictures.samples import Maker, bouquet, cloud_column, packed_arch, swirl_column


def test_a_step_shows_new_parts_in_full_and_earlier_ones_faded() -> None:
    piece = swirl_column()
    drawing = draw_step(piece, 3)
    rows = {e.row: e.markup for e in drawing.of_kind("balloon")}
    assert set(rows) <= set(range(12))
    full = {row for row, markup in rows.items() if "f)" not in markup.split("/>")[2]}
    fills = {row: re.search(r"fill=\"url\(#\x1f(b[a-z0-9]+)\)\"", m)[1] for row, m in rows.items()}  # type: ignore[index]
    assert full or fills
    for row, fill in fills.items():
        assert fill.endswith("f") == (row < 8), (row, fill)


def test_the_frame_stays_the_same_from_step_to_step() -> None:
    piece = swirl_column()
    boxes = {draw_step(piece, k, "front").body for k in range(len(piece.steps))}
    assert len(boxes) == 1


def test_the_hidden_tie_is_shown_through_as_a_dashed_line() -> None:
    piece = swirl_column()
    last = draw_step(piece, len(piece.steps) - 1, "front")
    assert any("stroke-dasharray" in e.markup for e in last.of_kind("hidden"))
    assert not draw(piece, "front").of_kind("hidden")


def test_unknown_steps_are_refused_in_words() -> None:
    piece = swirl_column()
    with pytest.raises(DrawingError, match="counted from 0 to 11"):
        draw_step(piece, 12)
    with pytest.raises(DrawingError, match="no steps"):
        draw_step(replace(piece, steps=()), 0)
    empty = replace(piece, steps=(Step("Look", "Step back and look."),))
    assert draw_step(empty, 0).of_kind("balloon") == ()


def test_pieces_of_a_scene_stand_side_by_side_and_count() -> None:
    column, arch, cloud = swirl_column(), packed_arch(), cloud_column()
    scene = arrange([Standing(column, 2), arch, Standing(cloud, 3)], name="Classic")
    assert len(scene) == 2 * len(column) + len(arch) + 3 * len(cloud)
    poles = sorted(h.path[0][0] for h in scene.hardware if h.use == "pole")
    assert len(poles) == 5
    assert poles[0] == pytest.approx(-poles[-1], abs=1e-9)
    drawing = draw_scene([Standing(column, 2), arch], options=Options(margin_m=0.0, floor=False))
    free = drawing.width_m - 2 * column.width_m - arch.width_m
    assert free == pytest.approx(2 * max(0.75, 0.12 * arch.width_m), abs=0.02)


def test_copies_never_overlap() -> None:
    scene = arrange([Standing(bouquet(), 4), Standing(swirl_column(), 3)])
    starts = np.sort(scene.centre[:, 0] - scene.radius)
    bases = sorted((h.path[0][0], h.use) for h in scene.hardware if h.use in ("base", "weight"))
    assert len(bases) == 7
    assert np.diff([x for x, _ in bases]).min() > 0.5
    assert np.isfinite(starts).all()


def test_places_are_kept() -> None:
    column = swirl_column()
    scene = arrange([Standing(column, 3, ((1.0, 2.0, 0.0), (4.0, 2.0, 1.0)))])
    bases = [h.path[0] for h in scene.hardware if h.use == "base"]
    assert bases[:2] == [(1.0, 2.0, 0.0), (4.0, 2.0, 0.0)]
    assert bases[2][0] > 4.0 + 0.5


def test_impossible_scenes_are_refused_in_words() -> None:
    column = swirl_column()
    with pytest.raises(DrawingError, match="as many copies as places"):
        draw_scene([Standing(column, 1, ((0, 0, 0), (1, 0, 0)))])
    with pytest.raises(DrawingError, match="at most 400"):
        draw_scene([Standing(column, 401)])
    assert draw_scene([]).elements == ()


def test_the_turn_around_has_a_group_and_a_name_for_each_side() -> None:
    drawing = draw_turnaround(swirl_column())
    words = [
        e.text for e in ET.fromstring(to_svg(drawing)).iter("{http://www.w3.org/2000/svg}text")
    ]
    assert words == ["front", "45°", "right side", "135°", "back", "225°", "left side", "315°"]
    text = to_svg(drawing)
    ids = re.findall(r" id=\"([^\"]+)\"", text)
    assert len(ids) == len(set(ids))
    assert text.count('<g transform="translate(') >= 8
    with pytest.raises(DrawingError, match="8 is usual"):
        draw_turnaround(swirl_column(), views=1)


@pytest.mark.parametrize("system", list(System))
def test_lines_of_size_say_the_true_size_in_one_system(system: System) -> None:
    piece = swirl_column()
    for view, wide in (("front", piece.width_m), ("side", piece.depth_m)):
        drawing = draw(piece, view, options=Options(dimensions=True, system=system))
        text = "".join(e.markup for e in drawing.of_kind("dimension"))
        assert show(piece.height_m, LENGTH, system) in text
        assert show(wide, LENGTH, system) in text
        assert "(" not in re.sub(r"<[^>]*>", "", text)
    top = draw(piece, "top", options=Options(dimensions=True))
    assert len(top.of_kind("dimension")) == 2
    assert draw(piece, "three-quarter", options=Options(dimensions=True)).of_kind("dimension") == ()


def test_the_person_is_1_70_m_and_the_door_2_03_m_tall() -> None:
    drawing = draw(swirl_column(), options=Options(person=True, door=True))
    (person,) = drawing.of_kind("person")
    ring, _ = outline()
    assert (ring[:, 1].min(), ring[:, 1].max()) == pytest.approx((0.0, 1.70), abs=0.005)
    assert person.markup.startswith("<path")
    (door,) = drawing.of_kind("door")
    assert 'height="2030"' in door.markup
    assert 'width="900"' in door.markup
    plain = draw(swirl_column())
    assert drawing.width_m > plain.width_m + 1.5
    assert draw(swirl_column(), "top", options=Options(person=True)).of_kind("person") == ()


@pytest.mark.other_program
def test_typst_sets_every_kind_of_drawing_with_its_words(tmp_path: Path) -> None:
    """typst 0.15 places the drawings; pypdf reads the words back."""
    import typst
    from pypdf import PdfReader

    piece = replace(swirl_column(), name="港口 <b>")
    drawings = {
        "front": draw(piece, options=Options(dimensions=True, person=True, door=True)),
        "step": draw_step(piece, 11),
        "chart": draw_chart(piece),
        "ring": draw_ring(piece, 0),
        "turn": draw_turnaround(bouquet()),
        "nothing": draw(Maker("nothing", "column").done()),
    }
    lines = ["#set page(width: 200mm, height: 300mm, margin: 5mm)"]
    for name, drawing in drawings.items():
        (tmp_path / f"{name}.svg").write_text(to_svg(drawing, prefix=f"{name}-"), encoding="utf-8")
        lines.append(f'#image("{name}.svg", width: 100%, height: 100%, fit: "contain")')
    (tmp_path / "sheet.typ").write_text(
        "\n#pagebreak()\n".join(lines[1:]).join([lines[0] + "\n", ""])
    )
    typst.compile(str(tmp_path / "sheet.typ"), output=str(tmp_path / "sheet.pdf"))
    pages = [page.extract_text() for page in PdfReader(tmp_path / "sheet.pdf").pages]
    assert len(pages) == len(drawings)
    assert show(piece.height_m, LENGTH) in pages[0]
    for word in ("front", "coral × 11", "teal × 10"):
        assert word in pages[2]
    assert "9.5 in" in pages[3]
    assert "right side" in pages[4]


@pytest.mark.browser
def test_a_browser_paints_the_piece(tmp_path: Path) -> None:
    """Debian's chromium: each shade covers a fair share of what is not white."""
    import shutil

    import cv2

    browser = shutil.which("chromium")
    if browser is None:
        pytest.skip("needs Debian's chromium")
    svg, png = tmp_path / "a.svg", tmp_path / "a.png"
    svg.write_text(to_svg(draw(swirl_column()), width_mm=100.0), encoding="utf-8")
    command = [browser, "--headless", "--no-sandbox", "--disable-gpu", "--window-size=400,1500"]
    subprocess.run(
        [*command, f"--screenshot={png}", svg.as_uri()],
        capture_output=True,
        timeout=120,
        check=True,
    )
    pixels = cv2.imread(str(png))[:, :, ::-1].reshape(-1, 3).astype(int)
    painted = pixels[(pixels < 235).any(axis=1)]
    for colour in ((0xF0, 0x70, 0x5A), (0x1F, 0x7A, 0x7A), (0xE8, 0xD5, 0xB7)):
        near = (np.abs(painted - colour).max(axis=1) < 32).mean()
        assert near > 0.04, colour
