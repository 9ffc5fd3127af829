"""From nothing: a job with a name only, pieces to begin with, numbers without units."""

from __future__ import annotations

import io
import re
import tomllib

import pytest
from PIL import Image

from airwright.desk.api.palette import apart, palette
from airwright.desk.designs import in_units, starts
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import EditError, Put
from airwright.desk.editing.writing import resolved
from airwright.job.studio import Studio
from airwright.language import speaking
from airwright.units import System
from tests.desk.conftest import House
from tests.desk.test_edits import DEMO, done, edit, put


def test_a_job_without_a_date_is_drawn_and_priced(house: House) -> None:
    undated = "\n".join(line for line in DEMO.split("\n") if not line.startswith("date "))
    job_id, visitor = house.job(undated), house.visitor()
    visitor.get(f"/jobs/{job_id}")
    told = visitor.send(f"/api/jobs/{job_id}/state", {"have": []}).json()
    dated = visitor.send(f"/api/jobs/{house.job()}/state", {"have": []}).json()
    assert told["totals"] == dated["totals"]
    assert [(f["code"], f["severity"]) for f in told["findings"] if f["place"] == "job.date"] == [
        ("no-date", "hint")
    ]
    # What is printed needs the day, and so do the lists for it.
    assert "once the day is known" in visitor.page(f"/jobs/{job_id}/day").get_text()
    assert visitor.page(f"/jobs/{job_id}/papers").select_one("button.accent[disabled]")


def test_a_bare_number_is_in_the_unit_it_replaces_or_the_studios() -> None:
    def written(path: list[str | int], text: str, system: System) -> object:
        change = edit({"do": "write", "path": path, "text": text}).changes
        tables: object = tomllib.loads(apply(DEMO, resolved(DEMO, change, system))[0])
        for step in path:
            tables = tables[step]  # type: ignore[index]
        return tables

    height: list[str | int] = ["pieces", 0, "height"]
    assert written(height, "7", System.FEET) == "7 ft"
    assert written(height, "7,5", System.METRIC) == "7.5 ft"
    assert written(height, "2,25 m", System.FEET) == "2.25 m"
    assert written(height, "1,200 mm", System.FEET) == "1,200 mm"  # asked again, not guessed
    assert written(["venue", "ceiling"], "3", System.METRIC) == "3 m"
    assert written(["venue", "peak_temperature"], "86", System.FEET) == "86 F"
    assert written(["venue", "drive"], "12", System.FEET) == "12 km"  # it stood in kilometres
    assert written(["pieces", 0, "count"], "3", System.FEET) == 3


@pytest.mark.parametrize(
    ("language", "typed", "held"),
    [("de", "1.500", 1500), ("de", "1.234,56", 1234.56), ("de", "250,50", 250.5),
     ("en-US", "1,500", 1500), ("en-US", "$1,234.56", 1234.56),
     ("en-US", "1.500", "1.500"), ("de", "262,505", "262,505")],
)  # fmt: skip
def test_a_sum_is_read_as_the_language_writes_it(language: str, typed: str, held: object) -> None:
    """What can be read in two ways stays as typed, and the reader asks."""
    for path in (["job", "budget"], ["pieces", 0, "price"]):
        change = edit({"do": "write", "path": path, "text": typed}).changes
        with speaking(language):
            (made,) = resolved(DEMO, change, System.METRIC)
        assert made == Put(do="put", path=path, value=held)


def test_a_table_is_begun_where_there_was_none() -> None:
    cloud = {"at": "foot", "cluster": "4 x 11in @ 10in", "shades": ["lilac"]}
    text = done(DEMO, put(["pieces", 0, "clouds", 0], cloud))
    tables = tomllib.loads(text)
    assert tables["pieces"][0]["clouds"] == [cloud]
    assert "lilac" in tables["shades"]


def test_every_piece_to_begin_with_can_be_added_and_built(house: House) -> None:
    visitor = house.visitor()
    job_id = house.job('format = "airwright-job/1"\n[job]\ntitle = "New"\nguests = "12:00"\n'
                       'strike = "18:00"\n')  # fmt: skip
    for at, begin in enumerate(starts()):
        change = {"do": "add", "kind": begin.kind, "design": begin.key}
        told = visitor.send(
            f"/api/jobs/{job_id}/edits", {"version": at + 1, "changes": [change]}
        ).json()
        assert told["focus"] == at
        assert told["pieces"][at]["balloons"] > 0
    assert [f for f in told["findings"] if f["severity"] == "error"] == []
    picture = visitor.get(f"/jobs/{job_id}/thumbnail.webp?v={told['version']}")
    assert picture.content[8:12] == b"WEBP"


def test_a_shade_gets_another_name_wherever_it_is_named() -> None:
    text = done(DEMO, {"do": "rename_shade", "old": "coral", "new": "sunset"})
    assert "coral" not in tomllib.loads(text)["shades"]
    assert text.count("sunset") == DEMO.count("coral")
    assert next(iter(tomllib.loads(text)["shades"])) == "sunset"  # it keeps its place
    with pytest.raises(EditError, match="already"):
        done(DEMO, {"do": "rename_shade", "old": "coral", "new": "teal"})


def test_a_picture_gives_its_colours_and_what_comes_nearest(house: House) -> None:
    picture = Image.new("RGB", (90, 60), "#f0705a")
    picture.paste("#1f7a7a", (0, 0, 30, 60))
    out = io.BytesIO()
    picture.save(out, "PNG")
    tones = palette(out.getvalue(), Studio().catalog())
    assert [tone.share for tone in tones] == pytest.approx([2 / 3, 1 / 3], abs=0.02)
    assert apart(tones[0].colour, "#f0705a") < 2
    stock = {row.name: row.colour for row in Studio().catalog().shades.values()}
    for tone in tones:
        assert tone.apart == min(round(apart(tone.colour, c), 1) for c in stock.values())
    visitor = house.visitor()
    visitor.get("/")
    told = visitor.client.post(
        "/api/palette",
        files={"file": ("room.png", out.getvalue(), "image/png")},
        headers={"x-desk-token": visitor.token},
    )
    assert [tone["shade"] for tone in told.json()] == [tone.shade for tone in tones]
    with pytest.raises(EditError, match="no picture"):
        palette(b"nothing", Studio().catalog())


def test_a_metric_studio_begins_with_metric_pieces() -> None:
    for begin in starts():
        told = in_units(begin.text, System.METRIC)
        assert not re.search(r'"-?[\d.]+ (ft|in)\b', told), begin.name
        assert in_units(begin.text, System.FEET) == begin.text
    made = in_units('height = "6 ft 6 in"\nspread = [{ x = "-4 ft", z = "7.5 ft" }]', System.METRIC)
    assert tomllib.loads(made) == {"height": "2 m", "spread": [{"x": "-1.2 m", "z": "2.3 m"}]}
    assert tomllib.loads(in_units('sag = "16 in"\nat = "-0.5 in"', System.METRIC)) == {
        "sag": "41 cm", "at": "-1.3 cm"
    }  # fmt: skip
    assert in_units('body = ["4 x 11in @ 9.5in"]', System.METRIC) == 'body = ["4 x 11in @ 9.5in"]'


def test_a_kept_design_goes_only_after_a_second_thought(house: House) -> None:
    """It cannot be made again, so one press too many must not take it."""
    forms = house.visitor().page("/studio").select('form[action*="/studio/designs/"]')
    assert forms
    for form in forms:
        fold = form.find_parent("details")
        assert fold is not None
        assert not fold.has_attr("open")


def test_a_percentage_is_no_amount_of_money(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/studio")
    refused = visitor.post("/studio", {'f:["pricing", "labour_rate"]': "32 %"})
    assert refused.status_code == 422
    assert "is no number that fits here" in refused.text
    assert visitor.post("/studio", {'f:["pricing", "margin"]': "40 %"}).status_code == 303
