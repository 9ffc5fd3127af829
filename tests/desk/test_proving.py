"""New settings are tried on the jobs in hand a part at a time, and saved only after all of them."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from airwright.desk.seed import demo_text
from airwright.store.studio import StudioFile
from tests.desk.conftest import House, Visitor

NAME = 'f:["studio", "name"]'
JOBS = 4


@pytest.fixture
def hurried(tmp_path: Path) -> House:
    """A desk whose requests try one job each."""
    house = House(f"sqlite:///{tmp_path / 'desk.db'}", sample=False)
    house.desk.limits.proving_s = 0.0
    for at in range(JOBS):
        house.job(demo_text().replace("Ferry terminal reopening", f"Pier {at}"))
    return house


def settings(house: House) -> str:
    with house.desk.database.reading() as session:
        return StudioFile(session).get()[0]


def gone_on(visitor: Visitor, answer: Any) -> Any:
    """The form of a page that goes on, sent as the script does."""
    form = BeautifulSoup(answer.text, "html.parser").select_one("form[data-go-on]")
    assert form is not None
    fields = {str(i["name"]): str(i["value"]) for i in form.select("input[type=hidden]")}
    return visitor.post(str(form["action"]), fields)


def test_every_request_tries_some_and_the_last_one_saves(hurried: House) -> None:
    visitor, before = hurried.visitor(), settings(hurried)
    visitor.get("/studio")
    answer = visitor.post("/studio", {NAME: "Lantern Lane"})
    for done in range(1, JOBS):
        assert answer.status_code == 202
        assert f"{done} of {JOBS} jobs in hand can still be planned" in " ".join(
            answer.text.split()
        )
        assert settings(hurried) == before
        answer = gone_on(visitor, answer)
    assert answer.status_code == 303
    assert "Lantern Lane" in settings(hurried)


MOSS = '[[shades]]\nname = "moss"\ncolour = "#556b2f"\nfinish = "matte"\n'


def test_a_job_that_forbids_them_is_named_however_late_it_comes(hurried: House) -> None:
    with hurried.desk.database.writing() as session:
        before, version = StudioFile(session).get()
        before = f"{before}\n{MOSS}"
        StudioFile(session).put(before, version)
    last = demo_text().replace("2027-05-22", "2027-11-20").replace('"#1f7a7a"', '"moss"')
    hurried.job(last.replace("Ferry terminal reopening", "Lighthouse"))
    visitor = hurried.visitor()
    visitor.get("/studio")
    answer, steps = visitor.post("/studio/catalog/shades/remove", {"name": "moss"}), 0
    while answer.status_code == 202:
        steps += 1
        assert steps <= JOBS
        answer = gone_on(visitor, answer)
    assert steps == JOBS
    assert answer.status_code == 422
    assert "Lighthouse" in answer.text
    assert "could no longer be planned" in answer.text
    assert settings(hurried) == before


def test_what_was_tried_is_known_and_not_planned_again(hurried: House) -> None:
    visitor, builder = hurried.visitor(), hurried.desk.builder
    visitor.get("/studio")
    answer = visitor.post("/studio", {NAME: "Lantern Lane"})
    assert "1 of" in answer.text
    asked: list[str] = []
    evaluate = builder.evaluate
    builder.evaluate = lambda text, studio: asked.append(text) or evaluate(text, studio)  # type: ignore[method-assign, func-returns-value]
    gone_on(visitor, answer)
    assert len(asked) == 1
