"""Offers as sent: frozen, shown for ever as they were, accepted once."""

from __future__ import annotations

import datetime as dt
import hashlib
import re
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from airwright.desk.seed import demo_text
from airwright.papers.edition import changes, read
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.links import Links
from airwright.store.offer_tables import EditionRow
from airwright.store.studio import StudioFile
from tests.desk.conftest import TODAY, House
from tests.papers.pdf_reading import run_together, whole_text

YES = {"do": "accept", "choice": "Classic", "name": "Mara Quay", "mail": "mara@example.org",
       "agree": "yes"}  # fmt: skip


def send(house: House, job_id: str, after: int = 0) -> str:
    """Send an edition; the address of its page."""
    visitor = house.visitor()
    visitor.get(f"/jobs/{job_id}/offer")
    made = visitor.post(f"/jobs/{job_id}/editions", {"after": str(after), "days": "14"})
    found = re.search(r"/c/[\w-]{40,}", made.text)
    assert found is not None, made.text[:500]
    return found[0]


def rates(house: House, text: str) -> None:
    with house.desk.database.writing() as session:
        studio = StudioFile(session)
        studio.put('format = "airwright-studio/1"\n' + text, studio.get()[1])


def edition(house: House, job_id: str) -> EditionRow:
    with house.desk.database.reading() as session:
        row = Editions(session).latest(job_id)
        assert row is not None
        assert row.content
        return row


def classic_price(content: bytes) -> str:
    """The price of the first option, as the edition itself holds it."""
    option = read(content).options[0]
    assert sum(line.price for line in option.lines) == option.price
    return f"${option.total:,.2f}"


def shown(page: BeautifulSoup) -> str:
    return " ".join(page.select_one("main").get_text(" ").split())  # type: ignore[union-attr]


def test_the_client_sees_what_was_sent_after_the_studio_doubles_its_rates(house: House) -> None:
    job_id = house.job()
    address, client = send(house, job_id), house.visitor()
    before, pdf = shown(client.page(address)), client.get(f"{address}/files/offer.pdf").content
    solid = client.get(f"{address}/decor/0.glb").content
    content = edition(house, job_id).content
    price = classic_price(content)
    assert price in before
    try:
        rates(house, "[pricing]\nlabour_rate = 64\ntransport_rate = 1.4\nmargin = 0.8\n")
        assert shown(client.page(address)) == before
        assert client.get(f"{address}/files/offer.pdf").content == pdf
        assert client.get(f"{address}/decor/0.glb").content == solid
        assert solid[:4] == b"glTF"  # Khronos glTF 2.0, 4.4.2: the magic of a binary file
        kept = read(content).files["solid-1.glb"]
        assert kept == hashlib.sha256(solid).hexdigest()
        assert edition(house, job_id).content == content
        offer = house.visitor().page(f"/jobs/{job_id}/offer").get_text(" ")
        assert "Changed since edition 1" in offer
        told = rf"“?.?Classic.? costs \$[\d,]+\.00 instead of {re.escape(price)}"
        assert re.search(told, offer)
    finally:
        rates(house, "")
    assert "Changed since" not in house.visitor().page(f"/jobs/{job_id}/offer").get_text(" ")


def test_a_page_shows_pictures_one_scale_heights_shades_and_terms(house: House) -> None:
    job_id = house.job()
    address, client = send(house, job_id), house.visitor()
    page = client.page(address)
    text = shown(page)
    for words in ("ft", " tall", "coral", "Terms", "How large they are", "beside a person",
                  "Deposit on acceptance", "edition 1"):  # fmt: skip
        assert words in text, words
    pictures = page.select("img")
    assert len(pictures) >= 6
    for picture in pictures:
        answer = client.get(str(picture["src"]))
        assert answer.status_code == 200
        assert picture["alt"]
    widths = [int(str(p["width"])) for p in page.select(".to-scale img")]
    metres = [option.scale_m for option in read(edition(house, job_id).content).options]
    ratios = [px / m for px, m in zip(widths, metres, strict=True)]
    assert max(ratios) / min(ratios) < 1.01


def test_a_yes_binds_once_and_its_pdf_goes_to_both(house: House) -> None:
    job_id = house.job()
    address, client = send(house, job_id), house.visitor()
    client.get(address)
    assert client.post(address, YES).status_code == 303
    page = shown(client.page(address))
    assert "“Classic” is agreed" in page
    assert "Mara Quay" in page
    second = client.post(address, {**YES, "choice": "Statement", "name": "Somebody Else"})
    assert second.status_code == 409
    assert "accepted on" in second.text
    theirs = client.get(f"{address}/accepted.pdf").content
    row = edition(house, job_id)
    ours = house.visitor().get(f"/jobs/{job_id}/editions/{row.id}/accepted.pdf").content
    assert theirs == ours
    text = run_together(whole_text(theirs))
    for words in (
        "Accepted:Classic",
        "MaraQuay",
        f"Agreedprice{classic_price(row.content)}",
        row.fingerprint,
    ):
        assert run_together(words) in text
    with house.desk.database.reading() as session:
        job = Jobs(session).get(job_id)
        assert job.stage == "accepted"
        assert 'chosen = "Classic"' in job.text


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"agree": ""}, "tick is missing"),
        ({"name": ""}, "name is missing"),
        ({"choice": "Dragon"}, "No option is chosen"),
        ({"mail": "not an address"}, "no mail address"),
    ],
)
def test_a_yes_that_lacks_something_is_asked_again_with_all_that_was_typed(
    house: House, change: dict[str, str], words: str
) -> None:
    job_id = house.job()
    address, client = send(house, job_id), house.visitor()
    client.get(address)
    answer = client.post(address, {**YES, "note": "with <b>roses</b>", **change})
    assert answer.status_code == 422
    assert words in answer.text
    page = BeautifulSoup(answer.text, "html.parser")
    assert page.select_one("textarea[name=note]").text == "with <b>roses</b>"  # type: ignore[union-attr]
    with house.desk.database.reading() as session:
        assert Editions(session).accepted_of(job_id) is None


def test_overtaken_withdrawn_and_expired_are_refused_in_words(house: House) -> None:
    job_id, owner = house.job(), house.visitor()
    first, client = send(house, job_id), house.visitor()
    second = send(house, job_id, after=1)
    client.get(first)
    assert "newer edition" in shown(client.page(first))
    refused = client.post(first, YES)
    assert (refused.status_code, "newer edition" in refused.text) == (409, True)
    owner.get(f"/jobs/{job_id}/offer")
    row = edition(house, job_id)
    assert owner.post(f"/jobs/{job_id}/editions/{row.id}/withdraw").status_code == 303
    refused = client.post(second, YES)
    assert (refused.status_code, "withdrawn" in refused.text) == (409, True)
    late = send(house, job_id, after=2)
    with house.desk.database.writing() as session:
        latest = Editions(session).latest(job_id)
        assert latest is not None
        latest.valid_until = TODAY - dt.timedelta(days=1)
    refused = client.post(late, YES)
    assert (refused.status_code, "was open until" in refused.text) == (409, True)


def test_who_sent_it_meanwhile_is_told_by_name_and_oneself_as_oneself(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    send(house, job_id)
    late = visitor.post(f"/jobs/{job_id}/editions", {"after": "0", "days": "14"})
    assert late.status_code == 409
    assert "You sent edition 1 already, in another window." in late.text
    with house.desk.database.writing() as session:
        row = Editions(session).latest(job_id)
        assert row is not None
        row.made_by = "Dan"
    late = visitor.post(f"/jobs/{job_id}/editions", {"after": "0", "days": "30"})
    assert late.status_code == 409
    assert "Dan sent edition 1 meanwhile." in late.text


def test_an_offer_that_cannot_be_sent_says_why(house: House) -> None:
    dated = house.job()
    assert house.visitor().page(f"/jobs/{dated}/offer").select_one("#send-why") is None
    undated = house.job(demo_text().replace("date     = 2027-05-22\n", ""))
    wrong = house.job(demo_text().replace('"6 ft"', '"6 stone"'))
    for job_id, words in ((undated, "without the date"), (wrong, "while the job has errors")):
        page = house.visitor().page(f"/jobs/{job_id}/offer")
        button = page.select_one("form[action$='/editions'] button[disabled]")
        assert button is not None
        why = page.select_one(f"#{button['aria-describedby']}")
        assert why is not None
        assert words in why.get_text()


def test_the_owner_sees_who_opened_when_and_what_was_asked(house: House) -> None:
    job_id, client, owner = house.job(), house.visitor(), house.visitor()
    address = send(house, job_id)
    assert "not opened yet" in owner.page(f"/jobs/{job_id}/offer").get_text()
    client.get(address)
    client.post(address, {"do": "ask", "name": "Mara", "note": "Also in teal?"})
    text = owner.page(f"/jobs/{job_id}/offer").get_text(" ")
    assert "opened" in text
    assert "not opened yet" not in text
    assert "Also in teal?" in text


def test_a_yes_by_telephone_is_taken_down(house: House) -> None:
    job_id, owner = house.job(), house.visitor()
    send(house, job_id)
    owner.get(f"/jobs/{job_id}/offer")
    row = edition(house, job_id)
    path = f"/jobs/{job_id}/editions/{row.id}/accept"
    assert owner.post(path, {"option": "Dragon", "name": "Mara"}).status_code == 422
    assert owner.post(path, {"option": "Statement", "name": "Mara"}).status_code == 303
    with house.desk.database.reading() as session:
        yes = Editions(session).acceptance(row.id)
        assert yes is not None
        assert (yes.option, yes.taken_by) == ("Statement", "You")


def test_a_job_with_errors_cannot_be_offered(house: House) -> None:
    job_id, owner = house.job('format = "airwright-job/1"\n[job]\ntitle = "x"\n'), house.visitor()
    owner.get(f"/jobs/{job_id}/offer")
    answer = owner.post(f"/jobs/{job_id}/editions", {"after": "0"})
    assert answer.status_code == 422
    assert "cannot be offered yet" in answer.text


def test_a_link_of_an_older_kind_says_so(house: House) -> None:
    job_id = house.job()
    with house.desk.database.writing() as session:
        _, token = Links(session).make(job_id, 7)
    answer = house.visitor().get(f"/c/{token}")
    assert answer.status_code == 404
    assert "older kind" in answer.text


KEPT = Path(__file__).parent / "data" / "edition-1.json"


def test_an_edition_kept_long_ago_is_still_read() -> None:
    """Bytes written by the first version; every later one must read them and change no letter."""
    old = read(KEPT.read_bytes())
    assert old.number == 1
    assert [str(option.total) for option in old.options]
    assert changes(old, old) == ()


def test_changes_are_told_in_words_and_money() -> None:
    old = read(KEPT.read_bytes())
    first = old.options[0]
    piece = first.pieces[0].model_copy(update={"count": 3, "height_m": 2.5})
    dearer = first.model_copy(
        update={"total": first.total + 20, "pieces": (piece, *first.pieces[1:])}
    )
    new = old.model_copy(update={"options": (dearer, *old.options[2:]), "terms": ("Other.",)})
    told = changes(old, new)
    assert "The terms changed." in told
    assert f'"{old.options[1].name}" is no longer offered.' in told
    assert any("costs $" in line and "instead of $" in line for line in told)
    assert any("3 × " in line for line in told)
    assert any("tall instead of" in line for line in told)
