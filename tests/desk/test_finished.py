"""Photographs of the finished decor, sent in from the day's page by whoever stands before it."""

from __future__ import annotations

from typing import Any

from bs4 import BeautifulSoup

from tests import rooms
from tests.desk.conftest import House, Visitor


def sent(visitor: Visitor, job_id: str, content: bytes | None = None) -> Any:
    picture = ("IMG 1.jpg", rooms.photo() if content is None else content, "image/jpeg")
    return visitor.post(f"/jobs/{job_id}/finished", files={"photo": picture})


def photos(page: BeautifulSoup) -> list[str]:
    return [str(image["src"]) for image in page.select("#finished img")]


def test_the_crew_adds_one_and_all_see_it(guarded: House) -> None:
    job_id = guarded.job()
    crew, designer = guarded.entered("cy"), guarded.entered("dan")
    assert sent(crew, job_id).status_code == 303
    found = photos(crew.page(f"/jobs/{job_id}/day"))
    assert len(found) == 1
    assert designer.get(found[0]).content[:2] == b"\xff\xd8"
    shown = designer.page(f"/jobs/{job_id}/day").select("#finished figcaption")
    assert ["Cy" in caption.get_text() for caption in shown] == [True]
    assert found[0] not in str(designer.page(f"/jobs/{job_id}/papers"))


def test_one_takes_back_ones_own_and_no_others(guarded: House) -> None:
    job_id = guarded.job()
    crew, designer = guarded.entered("cy"), guarded.entered("dan")
    sent(designer, job_id)
    theirs = photos(crew.page(f"/jobs/{job_id}/day"))[0].rsplit("/", 1)[-1]
    assert crew.post(f"/jobs/{job_id}/finished/{theirs}/remove").status_code == 403
    sent(crew, job_id)
    page = crew.page(f"/jobs/{job_id}/day")
    assert len(page.select("#finished form[action$='/remove']")) == 1
    own = str(page.select("#finished form[action$='/remove']")[0]["action"])
    assert crew.post(own).status_code == 303
    assert len(photos(crew.page(f"/jobs/{job_id}/day"))) == 1
    assert designer.post(f"/jobs/{job_id}/finished/{theirs}/remove").status_code == 303
    assert photos(crew.page(f"/jobs/{job_id}/day")) == []


def test_what_is_no_picture_is_refused_and_no_other_file_is_thrown_away(guarded: House) -> None:
    from airwright.store.files import Files

    job_id, designer = guarded.job(), guarded.entered("dan")
    answer = sent(designer, job_id, b"no picture")
    assert (answer.status_code, "no picture we can read" in answer.text) == (422, True)
    with guarded.desk.database.writing() as session:
        paper = Files(session).put("crew paper", "x.pdf", "application/pdf", b"x", job_id=job_id).id
    assert designer.post(f"/jobs/{job_id}/finished/{paper}/remove").status_code == 404
