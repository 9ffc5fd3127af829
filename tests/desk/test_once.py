"""A form sent twice counts once: what an impatient hand does to every button."""

from __future__ import annotations

import threading
from typing import Any

import pytest
from bs4 import BeautifulSoup, Tag

from airwright.store.actuals import Actuals
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.links import Links
from tests.desk.conftest import House, Visitor


def form_of(page: BeautifulSoup, action: str) -> dict[str, str]:
    """What a browser would send for the form with this address."""
    form = page.select_one(f'form[action="{action}"]')
    assert isinstance(form, Tag), action
    return {str(f["name"]): str(f.get("value", "")) for f in form.select("input[name]")}


def entries(house: House, job_id: str) -> list[str]:
    with house.desk.database.reading() as session:
        return [f"{row.what} {float(row.amount):g}" for row in Actuals(session).of_job(job_id)]


def jobs(house: House) -> int:
    with house.desk.database.reading() as session:
        return Jobs(session).count()


def test_a_receipt_pressed_twice_is_written_down_once(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    path = f"/jobs/{job_id}/bought"
    sent = form_of(visitor.page(f"/jobs/{job_id}/day"), path)
    sent |= {"amount": "12.50", "what": "tape", "kind": "bought"}
    first, second = visitor.post(path, sent), visitor.post(path, sent)
    assert (first.status_code, second.status_code) == (303, 303)
    assert second.headers["location"] == first.headers["location"]
    assert entries(house, job_id) == ["tape 12.5"]
    # The same from a page loaded anew, or another sum from the same page, is meant.
    again = form_of(visitor.page(f"/jobs/{job_id}/day"), path)
    visitor.post(path, again | {"amount": "12.50", "what": "tape", "kind": "bought"})
    visitor.post(path, sent | {"amount": "3"})
    assert sorted(entries(house, job_id)) == ["tape 12.5", "tape 12.5", "tape 3"]


def test_a_call_written_down_with_a_double_click_is_one_job(house: House) -> None:
    visitor = house.visitor()
    sent = form_of(visitor.page("/enquiry"), "/enquiry")
    sent = {key: value for key, value in sent.items() if not key.startswith("design:")}
    sent |= {"client": "Mara Quay", "guests": "15:00"}
    before, answers = jobs(house), list[Any]()
    presses = [
        threading.Thread(target=lambda: answers.append(visitor.post("/enquiry", sent)))
        for _ in range(3)
    ]
    for press in presses:
        press.start()
    for press in presses:
        press.join()
    assert {answer.status_code for answer in answers} == {303}
    assert len({answer.headers["location"] for answer in answers}) == 1
    assert jobs(house) == before + 1


def test_an_offer_sent_twice_is_one_edition_with_the_same_link(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    path = f"/jobs/{job_id}/editions"
    sent = form_of(visitor.page(f"/jobs/{job_id}/offer"), path) | {"days": "14"}
    first, second = visitor.post(path, sent), visitor.post(path, sent)
    assert first.status_code == second.status_code == 200
    assert second.text == first.text  # the link is shown this once: it must not be lost
    with house.desk.database.reading() as session:
        assert len(Editions(session).of_job(job_id)) == 1
        assert len(Links(session).of_job(job_id)) == 1


def test_what_was_refused_may_be_tried_again_as_it_is(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    path = f"/jobs/{job_id}/hours"
    sent = form_of(visitor.page(f"/jobs/{job_id}/day"), path)
    assert visitor.post(path, sent | {"minutes": "7"}).status_code == 422
    assert visitor.post(path, sent | {"minutes": "7"}).status_code == 422
    assert visitor.post(path, sent | {"minutes": "15"}).status_code == 303
    assert len(entries(house, job_id)) == 1


def test_a_file_sent_twice_is_read_once(house: House) -> None:
    visitor = house.visitor()
    sent = form_of(visitor.page("/"), "/jobs/read")
    content = house.text_of(house.job())
    before = jobs(house)
    for _ in range(2):  # the line between the parts is another one each time
        answer = visitor.post("/jobs/read", sent, files={"file": ("job.toml", content)})
        assert answer.status_code == 303, answer.text[:300]
    assert jobs(house) == before + 1


def test_two_browsers_never_share_an_answer(guarded: House) -> None:
    job_id = guarded.job()
    path = f"/jobs/{job_id}/hours"
    people: list[Visitor] = [guarded.entered("ada"), guarded.entered("cy")]
    number = "abcdefgh23456"
    for visitor in people:
        visitor.get(f"/jobs/{job_id}/day")
        assert visitor.post(path, {"once": number, "minutes": "30"}).status_code == 303
    assert sorted(entries(guarded, job_id)) == ["Ada 0.5", "Cy 0.5"]


@pytest.mark.parametrize("index", ["²", "9" * 400])
def test_a_strange_number_in_a_form_is_refused_in_words(house: House, index: str) -> None:
    job_id, visitor = house.job(), house.visitor()
    for path, sent in (
        (f"/jobs/{job_id}/options/terms", {"index": index}),
        (f"/jobs/{job_id}/options/remove", {"index": index}),
        (f"/jobs/{job_id}/keep", {"piece": index}),
        (f"/jobs/{job_id}/do", {"do": "drop", "piece": index}),
        (f"/jobs/{job_id}/file", {"version": index, "text": "x"}),
        ("/studio/rows/remove", {"version": index, "index": index, "table": "measured"}),
    ):
        answer = visitor.post(path, sent)
        assert answer.status_code in (303, 409, 422), (path, answer.text[:300])


def test_a_job_whose_file_is_broken_says_so_where_it_is_needed(house: House) -> None:
    visitor, job_id = house.visitor(), house.job()
    accepted = {"option": "Classic", "name": "Mara Quay"}
    made = visitor.post(f"/jobs/{job_id}/editions", {"after": "0", "days": "14"})
    assert made.status_code == 200
    with house.desk.database.reading() as session:
        edition = Editions(session).of_job(job_id)[0].id
    said = visitor.post(f"/jobs/{job_id}/editions/{edition}/accept", accepted)
    assert said.status_code == 303, said.text[:300]
    with house.desk.database.reading() as session:
        version = str(Jobs(session).get(job_id).version)
    broken = visitor.post(f"/jobs/{job_id}/file", {"version": version, "text": "x y"})
    assert broken.status_code == 303
    for path, sent in (
        ("billing", {"name": "Quay & Sons"}),
        ("invoices", {"kind": "deposit", "key": "a-form-of-ours"}),
    ):
        answer = visitor.post(f"/jobs/{job_id}/{path}", sent)
        assert answer.status_code == 422
        assert "Fix it under File first" in answer.text


def test_a_change_meets_a_file_whose_pieces_are_no_pieces(house: House) -> None:
    visitor, job_id = house.visitor(), house.job()
    sent = {"version": "1", "text": 'pieces = ["x"]'}
    assert visitor.post(f"/jobs/{job_id}/file", sent).status_code == 303
    late = {"version": "1", "piece": "", 'f:["job", "title"]': "Another name"}
    answer = visitor.post(f"/jobs/{job_id}/panel", late)
    assert answer.status_code == 409
    assert "changed" in answer.text
