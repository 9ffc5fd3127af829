"""Calendar, contacts, archive and copies: the studio's book."""

from __future__ import annotations

import re

import icalendar
import vobject

from tests.desk.conftest import House, Visitor

TWO_CARDS = (
    "BEGIN:VCARD\r\nVERSION:3.0\r\nFN:Mara Quill\r\nN:Quill;Mara;;;\r\n"
    "TEL;TYPE=CELL:+1 555 0100\r\nEMAIL:mara@saltmarsh.example\r\nORG:Saltmarsh Ferries\r\n"
    "END:VCARD\r\n"
    "BEGIN:VCARD\r\nVERSION:3.0\r\nFN:Pier hall\r\nN:hall;Pier;;;\r\nEND:VCARD\r\n"
)


def test_the_month_shows_its_jobs_and_other_months_do_not(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    assert visitor.page("/calendar?month=2027-05").select(f'.month-job[href="/jobs/{job_id}"]')
    assert not visitor.page("/calendar?month=2027-07").select(".month-job")
    assert visitor.get("/calendar?month=9999-99").status_code == 200


def test_a_feed_is_read_without_an_account_until_it_is_ended(house: House) -> None:
    """RFC 5545: what a calendar program reads; here its reference reader in Python."""
    job_id, visitor = house.job(), house.visitor()
    visitor.get("/calendar")
    made = visitor.post("/calendar/feeds", {"name": "Telephone"})
    found = re.search(r"/feed/[^\"<]+\.ics", made.text)
    assert found is not None
    answer = house.visitor().get(found[0])
    events = icalendar.Calendar.from_ical(answer.content).walk("VEVENT")
    [event] = [e for e in events if str(e["uid"]).startswith(job_id)]
    assert str(event["summary"]) == "Ferry terminal reopening"
    times = [event[key].dt.isoformat() for key in ("dtstart", "dtend")]
    assert times == ["2027-05-22T06:30:00", "2027-05-22T18:00:00"]  # the venue's own clock
    assert "$" not in answer.text
    ends = visitor.page("/calendar").select_one("form[action$=withdraw]")
    assert ends is not None
    visitor.post(str(ends["action"]))
    assert house.visitor().get(found[0]).status_code == 404


def contact_names(visitor: Visitor, address: str = "/contacts") -> list[str]:
    return [tag.get_text() for tag in visitor.page(address).select(".contact-lines strong")]


def test_contacts_come_as_vcards_and_go_as_vcards(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/contacts")
    sent = {"file": ("contacts.vcf", TWO_CARDS.encode(), "text/vcard")}
    assert visitor.post("/contacts/import", {"kind": "client"}, files=sent).status_code == 303
    assert {"Mara Quill", "Pier hall"} <= set(contact_names(visitor))
    cards = list(vobject.readComponents(visitor.get("/contacts/all.vcf").text))
    mara = next(card for card in cards if card.fn.value == "Mara Quill")
    assert mara.email.value == "mara@saltmarsh.example"
    assert (mara.n.value.family, mara.n.value.given) == ("Quill", "Mara")
    # Once more: nobody doubles.
    before = contact_names(visitor)
    visitor.post("/contacts/import", {"kind": "client"}, files=sent)
    assert contact_names(visitor) == before
    assert contact_names(visitor, "/contacts?words=0100") == ["Mara Quill"]
    wrong = visitor.post("/contacts/import", files={"file": ("x.vcf", b"\xff\xfe", "text/vcard")})
    assert wrong.status_code == 422


def test_twins_are_seen_and_merged_without_loss(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/contacts")
    visitor.post("/contacts", {"kind": "helper", "name": "Ines Rook", "phone": "555 0101 22"})
    visitor.post("/contacts", {"kind": "helper", "name": "ines rook", "mail": "ines@rook.example"})
    form = visitor.page("/contacts").select_one(".twins form")
    assert form is not None
    data = {tag["name"]: tag["value"] for tag in form.select("input[type=hidden]")}
    merged = visitor.post("/contacts/merge", data)
    page = visitor.page(merged.headers["location"])
    assert page.select_one("input[name=phone]")["value"] == "555 0101 22"  # type: ignore[index]
    assert page.select_one("input[name=mail]")["value"] == "ines@rook.example"  # type: ignore[index]
    assert contact_names(visitor, "/contacts?kind=helper") in (["Ines Rook"], ["ines rook"])


def test_an_archived_job_is_out_of_the_lists_and_comes_back(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    visitor.get("/")
    address = f"/jobs/{job_id}"
    visitor.post(f"{address}/archive", {"away": "yes"})
    assert not visitor.page("/").select(f'a.job-link[href="{address}"]')
    assert visitor.page("/?stage=archive").select(f'a.job-link[href="{address}"]')
    visitor.post(f"{address}/archive", {"away": "no"})
    assert visitor.page("/").select(f'a.job-link[href="{address}"]')


def test_a_copy_stands_on_its_own_day(house: House) -> None:
    text = house.text_of(house.job()).replace(
        'currency = "USD"', 'currency = "USD"\nchosen = "Classic"'
    )
    job_id, visitor = house.job(text), house.visitor()
    visitor.get("/")
    sent = visitor.post(f"/jobs/{job_id}/copy", {"date": "2027-09-04"})
    copied = sent.headers["location"].split("/")[2].split("?")[0]
    made = house.text_of(copied)
    assert "2027-09-04" in made
    assert "chosen" not in made
    assert "2027-05-22" in house.text_of(job_id)
    assert visitor.post(f"/jobs/{job_id}/copy", {"date": "2020-01-01"}).status_code == 422


def test_a_word_of_a_piece_finds_its_job(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    assert visitor.page("/?words=pebble").select(f'a.job-link[href="/jobs/{job_id}"]')
    assert not visitor.page("/?words=nothinglikethis").select("a.job-link")
