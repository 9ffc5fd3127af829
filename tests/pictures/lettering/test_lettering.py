"""A name on a balloon: shapes, layout and cut files."""

from __future__ import annotations

import io
import json
import re
import string
from pathlib import Path

import numpy as np
import pypdf
import pytest
from ezdxf.filemanagement import read
from shapely import Polygon, get_coordinates
from typer.testing import CliRunner

from airwright.catalog import own_font
from airwright.cli.app import app
from airwright.pictures.lettering import (
    FontRefused,
    LetteringRefused,
    dxf_file,
    lay_out,
    letters_of,
    pdf_page,
    read_font,
    sheet_of,
    svg_file,
)
from airwright.pictures.lettering.layout import flattened

DATA = own_font("serif")
FONT = read_font(DATA)
R = 430.0


def test_small_letters_are_one_piece_that_looks_as_drawn() -> None:
    letters = letters_of("Bo", FONT, 50.0)
    laid = lay_out(letters, 50.0, R)
    assert len(laid.pieces) == 1
    flat = get_coordinates(laid.pieces[0].shape)
    reach = np.linalg.norm(flat, axis=1) / R
    back = flat * (np.sin(reach) / reach)[:, None]  # seen from the front again
    seen = np.concatenate([get_coordinates(letter.shape) for letter in laid.seen])
    assert back.shape == seen.shape
    np.testing.assert_allclose(np.sort(back[:, 0]), np.sort(seen[:, 0]), atol=1e-6)
    assert laid.squeeze < 0.05


def test_wide_text_is_cut_letter_by_letter_each_within_what_film_gives() -> None:
    laid = lay_out(letters_of("Saltmarsh", FONT, 90.0), 90.0, R)
    assert [piece.text for piece in laid.pieces] == list("Saltmarsh")
    assert laid.squeeze < 0.05
    assert laid.width_mm > laid.limit_mm


def test_a_letter_at_the_edge_looks_as_drawn_from_the_front() -> None:
    """Cut flat, pressed on about its own middle and turned to its spot, it is seen as drawn.

    Checked in space: the spot's own axes, the film's angles, then the view from the front.
    """
    laid = lay_out(letters_of("Ferry line", FONT, 70.0), 70.0, R)
    piece, letter = laid.pieces[0], laid.seen[0]
    at = np.array(piece.at)
    spot = np.array([at[0], at[1], np.sqrt(R**2 - at @ at)]) / R
    away = np.array([*(at / np.linalg.norm(at)), 0.0])
    outward = away - (away @ spot) * spot
    outward /= np.linalg.norm(outward)
    sideways = np.cross(spot, outward)
    flat = get_coordinates(piece.shape)
    unit = at / np.linalg.norm(at)
    along, across = flat @ unit, flat @ np.array([-unit[1], unit[0]])
    reach = np.hypot(along, across) / R
    ring = np.sin(reach) / np.maximum(np.hypot(along, across), 1e-12)
    points = (
        np.cos(reach)[:, None] * spot
        + (ring * along)[:, None] * outward
        + (ring * across)[:, None] * sideways
    )
    seen = R * points[:, :2]
    wanted = get_coordinates(letter.shape)
    size = np.ptp(wanted[:, 0])
    assert np.linalg.norm(seen - wanted, axis=1).max() < 0.06 * size


def test_text_wider_than_the_front_is_refused_with_the_height_that_fits() -> None:
    with pytest.raises(LetteringRefused) as refused:
        lay_out(letters_of("Congratulations", FONT, 120.0), 120.0, R)
    fits = float(re.findall(r"it (\d+) mm high", refused.value.mend)[0])
    assert lay_out(letters_of("Congratulations", FONT, fits), fits, R).pieces


def test_the_dxf_holds_closed_rings_and_passes_the_librarys_audit() -> None:
    sheet = sheet_of(lay_out(letters_of("ABo &", FONT, 60.0), 60.0, R).pieces)
    drawing = read(io.StringIO(dxf_file(sheet).decode()))
    assert drawing.dxfversion == "AC1009"  # R12
    audit = drawing.audit()
    assert (len(audit.errors), len(audit.fixes)) == (0, 0)
    rings = [e for e in drawing.modelspace() if e.dxf.layer == "CUT"]
    assert {ring.dxftype() for ring in rings} == {"POLYLINE"}
    assert all(ring.is_closed for ring in rings)
    assert len(rings) == len(sheet.cuts) == 2 + 3 + 2 + 3  # A, B, o, & with their counters
    assert sum(e.dxf.layer == "WEED" for e in drawing.modelspace()) == len(sheet.frames)


def test_svg_pdf_and_dxf_are_the_same_to_a_tenth_of_a_millimetre() -> None:
    sheet = sheet_of(lay_out(letters_of("Ada", FONT, 60.0), 60.0, R).pieces)
    areas = sorted(Polygon(ring).area for ring in sheet.cuts)
    paths = re.findall(r'class="cut" d="M([^"]+) Z"', svg_file(sheet).decode())
    in_svg = [
        Polygon([tuple(map(float, p.split())) for p in path.split(" L")]).area for path in paths
    ]
    np.testing.assert_allclose(sorted(in_svg), areas, rtol=1e-4)
    page = pypdf.PdfReader(io.BytesIO(pdf_page(sheet))).pages[0]
    assert float(page.mediabox.width) * 25.4 / 72 == pytest.approx(sheet.width_mm, abs=0.1)
    assert float(page.mediabox.height) * 25.4 / 72 == pytest.approx(sheet.height_mm, abs=0.1)
    inside = page.get_contents().get_data().decode()  # type: ignore[union-attr]
    rings = re.findall(r"([\d.-]+ [\d.-]+ m\n(?:[\d.-]+ [\d.-]+ l\n)+)s", inside)
    in_pdf = [
        Polygon([tuple(map(float, line.split()[:2])) for line in ring.splitlines()]).area
        for ring in rings
    ]
    np.testing.assert_allclose(sorted(in_pdf)[: len(areas)], areas, rtol=1e-4)


def test_mirrored_is_the_same_the_other_way_round() -> None:
    pieces = lay_out(letters_of("B", FONT, 60.0), 60.0, R).pieces
    plain, turned = sheet_of(pieces), sheet_of(pieces, mirrored=True)
    assert plain.width_mm == pytest.approx(turned.width_mm)
    left = np.array(plain.cuts[0])
    right = np.array(turned.cuts[0])
    np.testing.assert_allclose(
        np.sort(left[:, 0]), np.sort(plain.width_mm - right[:, 0]), atol=1e-6
    )


def test_the_middle_of_a_film_is_left_as_it_is() -> None:
    np.testing.assert_allclose(flattened(np.zeros((1, 2)), R), 0.0)


@pytest.mark.parametrize("text", ["", "   ", "Anna ☃", "x" * 61])
def test_what_cannot_be_set_is_refused(text: str) -> None:
    with pytest.raises(FontRefused):
        letters_of(text, FONT, 40.0)


@pytest.mark.parametrize(
    "data", [b"", b"no font", DATA[:2000], b"\x00\x01\x00\x00" + b"\xff" * 400]
)
def test_a_file_that_is_no_font_is_refused(data: bytes) -> None:
    with pytest.raises(FontRefused):
        letters_of("A", read_font(data), 40.0)


def test_the_command(tmp_path: Path) -> None:
    run = CliRunner().invoke(
        app, ["lettering", "Ada 30", "--distance", "6 m", "--out", str(tmp_path), "--json"]
    )
    assert run.exit_code == 0, run.output
    told = json.loads(run.stdout)
    assert told["cap_mm"] == 50.0  # 6 m over 120
    assert {path.name for path in tmp_path.iterdir()} == set(told["files"])
    for wrong in (
        ["lettering", "Ada", "--height", "4", "--out", str(tmp_path)],
        ["lettering", "Ada", "--balloon", "260", "--out", str(tmp_path)],
        ["lettering", "Ada", "--font", str(tmp_path / "none.ttf"), "--out", str(tmp_path)],
        ["lettering", "Ada", "--height", "1 in", "--distance", "2 m", "--out", str(tmp_path)],
        ["lettering", "Ada", "--height", "9 ft", "--out", str(tmp_path)],
    ):
        refused = CliRunner().invoke(app, wrong)
        assert refused.exit_code == 2, wrong
        assert "Traceback" not in refused.output


@pytest.mark.parametrize("name", ["serif", "sans"])
def test_every_letter_of_our_fonts_has_ink(name: str) -> None:
    """Contours that cross themselves (the loops of a g) are ink all the same."""
    font = read_font(own_font(name))
    for sign in string.ascii_letters + string.digits + "&?ßäöüéñ":
        (letter,) = letters_of(sign, font, 1.0)
        assert letter.shape.is_valid
        assert 0.05 < letter.shape.area < 2.0, sign
