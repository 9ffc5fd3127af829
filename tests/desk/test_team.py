"""Accounts as a studio lives with them: the log, devices, invitations, the password once more."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import update

from airwright.desk.accounts import browser_of
from airwright.store.door_tables import Invitation, LogEntry
from airwright.store.jobs import Jobs
from airwright.store.logbook import Logbook
from airwright.store.people import People
from airwright.store.tables import LoginSession
from airwright.store.types import now
from tests.desk.conftest import PASSWORD, House, Visitor

NEW = "seven quiet lighthouses"


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[House]:
    made = House(f"sqlite:///{tmp_path / 'desk.db'}")
    for login, role in (("ada", "owner"), ("dan", "designer"), ("cy", "crew")):
        made.account(login, role)  # type: ignore[arg-type]
    yield made
    made.desk.database.close()


def log_of(house: House) -> list[LogEntry]:
    with house.desk.database.reading() as session:
        return Logbook(session).latest(limit=500)


def kinds(house: House) -> list[str]:
    return [entry.kind for entry in log_of(house)]


def forget_proofs(house: House) -> None:
    """As if everybody had typed their password long ago."""
    with house.desk.database.writing() as session:
        session.execute(update(LoginSession).values(proved=now() - dt.timedelta(hours=1)))


# ---- the log ---------------------------------------------------------------------------------


def test_what_is_done_is_written_down_without_secrets(studio: House) -> None:
    visitor = studio.visitor()
    visitor.get("/sign-in")
    visitor.post("/sign-in", {"login": "ada", "password": "hunter2 is wrong"})
    visitor.post("/sign-in", {"login": "my secret word", "password": "x"})
    owner = studio.entered("ada")
    job_id = studio.job()
    page = owner.post(f"/jobs/{job_id}/editions", {"after": "0", "days": "14"}).text
    link = re.search(r"http://[^\"]*/c/([\w-]+)", page)
    assert link is not None
    client = studio.visitor()
    option = client.page(f"/c/{link[1]}").select_one("input[name=choice]")
    assert option is not None
    answer = client.post(
        f"/c/{link[1]}",
        {"do": "accept", "choice": option["value"], "name": "Mara Quist", "agree": "yes"},
    )
    assert answer.status_code == 303
    assert owner.get("/contacts/all.vcf").status_code == 200
    assert owner.get("/money/invoices.csv").status_code == 200
    other = studio.job()
    assert owner.post(f"/jobs/{other}/remove").status_code == 303
    for kind in ("sign-in failed", "signed in", "offer sent", "link made", "offer accepted",
                 "exported", "deleted"):  # fmt: skip
        assert kind in kinds(studio), kind
    written = "\n".join(f"{e.actor} {e.subject} {e.address}" for e in log_of(studio))
    assert "Mara Quist (client)" in written
    for secret in (link[1], "hunter2", "my secret word", PASSWORD):
        assert secret not in written
    shown = owner.page("/team/log").get_text(" ")
    assert "Offer accepted" in shown
    assert "Wrong password" in shown
    assert link[1] not in shown
    rows = owner.page("/team/log?kind=deleted").select("ol.entries-list li")
    assert [row.select_one("strong").get_text() for row in rows] == ["Deleted"]  # type: ignore[union-attr]
    for who in ("dan", "cy"):
        assert studio.entered(who).get("/team/log").status_code == 403


def test_the_log_outlives_its_job_and_pages(studio: House) -> None:
    job_id = studio.job()
    with studio.desk.database.writing() as session:
        for at in range(230):
            Logbook(session).write("exported", "Ada", f"file {at}", job_id=job_id)
        Jobs(session).remove(job_id)
    owner = studio.entered("ada")
    assert len(owner.page("/team/log").select("ol.entries-list li")) == 100
    last = owner.page("/team/log?page=2")
    assert 30 <= len(last.select("ol.entries-list li")) < 100
    assert "Older" not in last.get_text()
    assert owner.get("/team/log?page=-1").status_code == 422
    assert owner.get("/team/log?kind=nonsense").status_code == 200


# ---- the password once more ------------------------------------------------------------------


def test_sensitive_steps_ask_for_the_password_again(studio: House) -> None:
    owner = studio.entered("ada")
    forget_proofs(studio)
    page = owner.post("/team", {"login": "eve", "name": "Eve", "role": "crew", "password": NEW})
    assert page.status_code == 403
    assert 'name="present"' in page.text
    assert 'value="eve"' in page.text  # what was typed waits
    wrong = owner.post(
        "/team",
        {"login": "eve", "name": "Eve", "role": "crew", "password": NEW, "present": "no, this"},
    )
    assert wrong.status_code == 403
    assert "not your password" in wrong.text
    right = owner.post(
        "/team",
        {"login": "eve", "name": "Eve", "role": "crew", "password": NEW, "present": PASSWORD},
    )
    assert right.status_code == 303
    assert owner.post("/team/invitations", {"role": "crew"}).status_code == 200  # for a while


def test_guessing_at_that_question_is_slowed_down(studio: House) -> None:
    owner = studio.entered("ada")
    forget_proofs(studio)
    form = {"role": "crew", "present": "wrong once more"}
    answers = [owner.post("/team/invitations", form).status_code for _ in range(8)]
    assert answers[-1] == 429
    assert "invited" not in kinds(studio)


def test_each_changes_her_own_password_and_nobody_elses(studio: House) -> None:
    crew, elsewhere = studio.entered("cy"), studio.entered("cy")
    wrong = crew.post("/account/password", {"present": "not it at all", "password": NEW})
    assert wrong.status_code == 422
    short = crew.post("/account/password", {"present": PASSWORD, "password": "short"})
    assert short.status_code == 422
    assert elsewhere.get("/").status_code == 200
    assert crew.post("/account/password", {"present": PASSWORD, "password": NEW}).status_code == 303
    assert crew.get("/").status_code == 200
    assert elsewhere.get("/").status_code == 303  # the other device must sign in again
    assert crew.get("/team").status_code == 403
    with studio.desk.database.reading() as session:
        ada = next(p.id for p in People(session).all() if p.login == "ada")
    assert crew.post(f"/team/{ada}/password", {"password": NEW}).status_code == 403


# ---- devices ---------------------------------------------------------------------------------


def test_devices_are_listed_and_ended(studio: House) -> None:
    phone, desk = studio.entered("cy"), studio.entered("cy")
    page = desk.page("/account")
    assert len(page.select(".entries-list li")) == 2
    end = page.select_one("form[action*='/account/sessions/'][action$='/end']")
    assert end is not None
    assert desk.post(str(end["action"])).status_code == 303
    assert phone.get("/").status_code == 303
    assert desk.get("/").status_code == 200
    again = studio.entered("cy")
    assert desk.post("/account/sessions/end-others").status_code == 303
    assert again.get("/").status_code == 303
    assert desk.post("/account/sessions/nothing/end").status_code == 404


def test_the_owner_ends_anybodys_and_nobody_else_does(studio: House) -> None:
    crew, owner, designer = (studio.entered(who) for who in ("cy", "ada", "dan"))
    end = owner.page("/team").select_one("form[action*='/sessions/']")
    assert end is not None
    assert designer.post(str(end["action"])).status_code == 403
    assert crew.post(str(end["action"])).status_code == 403
    for form in owner.page("/team").select("form[action*='/sessions/']"):
        owner.post(str(form["action"]))
    assert crew.get("/").status_code == 303
    assert designer.get("/").status_code == 303
    assert owner.get("/").status_code == 200


@pytest.mark.parametrize(
    ("agent", "words"),
    [
        ("Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0",
         "Firefox, Linux"),
        ("Mozilla/5.0 (iPhone; CPU iPhone OS 17_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, "
         "like Gecko) Version/17.5 Mobile/15E148 Safari/604.1", "Safari, iPhone"),
        ("Mozilla/5.0 (Windows NT 10.0; Win64; x64) AppleWebKit/537.36 (KHTML, like Gecko) "
         "Chrome/126.0.0.0 Safari/537.36 Edg/126.0.0.0", "Edge, Windows"),
        ("curl/8", ""),
    ],
)  # fmt: skip
def test_a_browser_in_two_words(agent: str, words: str) -> None:
    assert browser_of(agent) == words


# ---- invitations -----------------------------------------------------------------------------


def invited(owner: Visitor, role: str = "crew", name: str = "Eve") -> str:
    page = owner.post("/team/invitations", {"role": role, "name": name}).text
    link = re.search(r"http://127\.0\.0\.1:8471(/join/[\w-]+)", page)
    assert link is not None
    return link[1]


def test_an_invitation_makes_one_account_once(studio: House) -> None:
    owner = studio.entered("ada")
    link = invited(owner)
    assert link not in owner.get("/team").text  # shown once
    eve = studio.visitor()
    assert "Eve" in eve.get(link).text
    short = eve.post(link, {"name": "Eve", "login": "eve", "password": "short"})
    assert short.status_code == 422
    assert 'value="eve"' in short.text
    taken = eve.post(link, {"name": "Eve", "login": "ada", "password": NEW})
    assert taken.status_code == 422
    done = eve.post(link, {"name": "Eve", "login": "eve", "password": NEW, "role": "owner"})
    assert done.status_code == 303
    assert eve.get("/").status_code == 200
    assert eve.get("/team").status_code == 403  # the role is the invitation's, not the form's
    late = studio.visitor()
    late.get("/sign-in")
    assert late.get(link).status_code == 400
    again = late.post(link, {"name": "Mal", "login": "mal", "password": NEW})
    assert again.status_code == 400
    assert "invited" in kinds(studio)
    assert link.rsplit("/", 1)[1] not in "".join(entry.subject for entry in log_of(studio))


def test_invitations_end(studio: House) -> None:
    owner = studio.entered("ada")
    first, second = invited(owner), invited(owner, name="Fay")
    button = owner.page("/team").select_one("button[formaction*='/invitations/']")
    assert button is not None
    owner.post(str(button["formaction"]))
    with studio.desk.database.writing() as session:
        session.execute(update(Invitation).values(ends=now() - dt.timedelta(seconds=1)))
    stranger = studio.visitor()
    assert {stranger.get(link).status_code for link in (first, second, "/join/x")} == {400}
    for who in ("dan", "cy"):
        assert studio.entered(who).post("/team/invitations", {"role": "owner"}).status_code == 403
