"""The workshop: shades of two balloons, trials, pictures in balloons, lettering."""

from __future__ import annotations

import base64
import io

import ezdxf
import pytest
from PIL import Image

from airwright.decor.pieces import SPECS
from airwright.desk.editing.edits import EditError
from airwright.desk.workshop.service import laid_out, mixed, mosaic, with_trial, without_trial
from airwright.job import Studio, read_job
from airwright.job.studio_reading import read_studio
from tests.desk.conftest import TODAY

STUDIO = Studio()
LETTERING = {"text": "Ada", "balloon": "36in @ 34in", "height": "", "mirror": ""}
MOSAIC = {"width": "6 ft", "cluster": "4 x 5in @ 4.5in", "most": "", "style": "smooth"}
TRIAL = {"outside": "white", "inside": "plum", "balloon": "11in @ 10in", "colour": "#d9c9d2"}


def picture(colour: str = "#1f7a7a") -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (60, 40), colour).save(out, "PNG")
    return out.getvalue()


def test_the_nearest_recipes_to_a_shade_in_stock_begin_with_itself() -> None:
    answer = mixed(STUDIO, "#1f7a7a", "11in @ 9.5in")
    assert (answer.recipes[0].outside, answer.recipes[0].inside) == ("teal", None)


def test_a_trial_is_kept_and_moves_the_prediction() -> None:
    text = with_trial('format = "airwright-studio/1"\n', TRIAL)
    studio = read_studio(text).studio
    assert studio is not None
    assert [(t.inside, t.outside) for t in studio.trials] == [("plum", "white")]
    assert "trials" not in without_trial(text, 0)
    for wrong in ({**TRIAL, "colour": "pink"}, {**TRIAL, "balloon": "large"}):
        with pytest.raises(EditError):
            with_trial(text, wrong)
    with pytest.raises(EditError):
        without_trial(text, 7)


def test_a_picture_becomes_a_wall_and_a_job() -> None:
    made = mosaic(STUDIO, MOSAIC, picture(), "Harbour", TODAY)
    assert {(row.name, row.count) for row in made.counts} == {("teal", made.wide * made.tall)}
    job = read_job(made.job, SPECS).job
    assert job is not None
    assert job.pieces[0].kind == "wall"


@pytest.mark.parametrize(("change", "data"), [
    ({"width": "1 in"}, picture()),
    ({"width": "wide"}, picture()),
    ({"cluster": "3 x 11in"}, picture()),
    ({"cluster": "4 x 7in"}, picture()),
    ({"most": "1"}, picture()),
    ({}, b"no picture"),
])  # fmt: skip
def test_a_picture_that_cannot_be_laid_is_refused_with_a_cure(
    change: dict[str, str], data: bytes
) -> None:
    with pytest.raises(EditError) as refused:
        mosaic(STUDIO, MOSAIC | change, data, "x", TODAY)
    assert refused.value.what
    assert refused.value.mend


def test_lettering_fits_and_its_files_open() -> None:
    made = laid_out(STUDIO, {**LETTERING, "text": "Marisol & Tom"}, None)
    files = {name: base64.b64decode(address.split(",")[1]) for name, address in made.files}
    assert set(files) == {"cut.svg", "cut.dxf", "cut.pdf", "placing.svg"}
    drawing = ezdxf.read(io.StringIO(files["cut.dxf"].decode()))  # type: ignore[attr-defined]
    assert len(drawing.modelspace()) > 0
    assert files["cut.pdf"].startswith(b"%PDF")


@pytest.mark.parametrize(("change", "font"), [
    ({"text": ""}, None),
    ({"text": "☃"}, None),
    ({"balloon": "18in foil round"}, None),
    ({"height": "1 mm"}, None),
    ({"height": "20 in", "text": "A long name"}, None),
    ({}, b"no font"),
])  # fmt: skip
def test_lettering_that_cannot_be_cut_is_refused_with_a_cure(
    change: dict[str, str], font: bytes | None
) -> None:
    with pytest.raises(EditError) as refused:
        laid_out(STUDIO, LETTERING | change, font)
    assert refused.value.what
    assert refused.value.mend
