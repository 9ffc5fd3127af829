"""One evaluation: whoever asks what a job file comes to hears the same findings."""

from __future__ import annotations

import datetime as dt
import json
from importlib.resources import files
from pathlib import Path

import pytest
from typer.testing import CliRunner

from airwright.cli import common
from airwright.cli.app import app
from airwright.decor.assembly import Assembly
from airwright.decor.pieces import SPECS
from airwright.desk.editing.builder import Builder
from airwright.desk.tasks import task_runner
from airwright.desk.tasks.task_runner import CannotWork, Order
from airwright.job import Studio, read_job
from airwright.job.findings import Finding
from airwright.papers.photographs import option_scene, option_shot
from airwright.pictures import photo
from airwright.plan.export import as_json
from airwright.plan.planning import evaluate

TODAY = dt.date(2027, 3, 1)
EXAMPLES = sorted(
    Path(str(one)) for one in Path(str(files("airwright.job.examples"))).rglob("*.toml")
)


def told(findings: object) -> list[tuple[str, str]]:
    """Code and place of each, in order."""
    rows = [
        (f.code, f.place) if isinstance(f, Finding) else (f["code"], f["place"])
        for f in findings  # type: ignore[attr-defined]
    ]
    return sorted(rows)


@pytest.mark.parametrize("file", EXAMPLES, ids=lambda file: file.stem)
def test_everybody_hears_the_same(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(common, "today", lambda: TODAY)
    text = file.read_text("utf-8")
    if 'format = "airwright-job/1"' not in text:
        pytest.skip("no job file")
    whole = evaluate(read_job(text, SPECS), Studio(), today=TODAY)
    expected = told(whole.findings)
    assert whole.plan is not None
    assert told(whole.plan.findings) == expected
    assert told(as_json(whole.plan)["findings"]) == expected

    cli = CliRunner()
    checked = cli.invoke(app, ["check", str(file), "--json"])
    assert told(json.loads(checked.stdout)["findings"]) == expected
    priced = cli.invoke(app, ["price", str(file), "--json"])
    assert told(json.loads(priced.stdout)["findings"]) == expected

    desk = Builder(lambda: TODAY).evaluate(text, "")
    assert told(desk.findings) == expected
    assert desk.plan is not None
    assert told(desk.plan.findings) == expected
    order = Order("papers", text, "", TODAY, {}, {})
    assert told(task_runner._plan(order).findings) == expected


def test_the_demo_hears_of_wind_and_ballast_from_check_alone() -> None:
    text = next(file for file in EXAMPLES if file.stem == "harbour-festival").read_text("utf-8")
    codes = {f.code for f in evaluate(read_job(text, SPECS), Studio(), today=TODAY).findings}
    assert "choking" in codes
    assert codes & {"ballast", "wind-limit", "tips"}


def test_settings_that_cannot_be_read_are_told_in_every_job() -> None:
    text = next(file for file in EXAMPLES if file.stem == "ferry-terminal").read_text("utf-8")
    found = Builder(lambda: TODAY).evaluate(text, "[pricing\n").findings
    assert "settings-unread" in {f.code for f in found}


def test_a_size_of_the_studios_own_is_no_error_on_the_file_page() -> None:
    own = """format = "airwright-studio/1"
[[balloons]]
size = "13in"
family = "round"
nominal_in = 13.0
usual_in = 11.0
mass_g = 3.6
flat_width_in = 5.0
failure_rate = 0.02
source = "test"
packs = [{ count = 50, price = "9.00" }]
"""
    text = next(file for file in EXAMPLES if file.stem == "ferry-terminal").read_text("utf-8")
    text = text.replace("11in", "13in").replace("13in @ 9.5in", "13in @ 10.5in")
    found = Builder(lambda: TODAY).evaluate(text, own).findings
    assert not [f for f in found if f.severity == "error"]


def test_the_desk_photographs_every_option_as_the_papers_do(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    taken: list[tuple[int, bytes, str, tuple[int, int]]] = []

    def photograph(scene: Assembly, place: str, *, size: tuple[int, int]) -> None:
        taken.append((len(scene), scene.centre.tobytes(), place, size))
        raise photo.PhotoError("photo.test", "Nothing is rendered here.", "It is a test.")

    monkeypatch.setattr(photo, "photograph", photograph)
    seen = 0
    for stem in ("harbour-festival", "tide-arch"):
        text = next(file for file in EXAMPLES if file.stem == stem).read_text("utf-8")
        plan = task_runner._plan(Order("photo", text, "", TODAY, {}, {}))
        for option in plan.options:
            order = Order("photo", text, "", TODAY, {"name": option.name}, {})
            with pytest.raises(CannotWork):
                list(task_runner._photo(plan, order))
            shot = option_shot(plan, option)
            wanted = (len(shot.assembly), shot.assembly.centre.tobytes(), shot.place, shot.size)
            assert taken[-1] == wanted
            assert option_scene(option).centre.tobytes() == wanted[1]
            seen += 1
    assert seen >= 4
