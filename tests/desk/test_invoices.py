"""Invoices and payments in the desk: as a decorator goes on, and what goes wrong."""

from __future__ import annotations

import datetime as dt
import re
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal

import pytest
from beancount import loader
from bs4 import BeautifulSoup

from airwright.papers.edition import read
from airwright.store.editions import Editions, Yes
from airwright.store.invoices import Invoices
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile
from tests.desk.conftest import TODAY, House, Visitor
from tests.desk.test_offers import edition, send
from tests.papers.pdf_reading import run_together, whole_text

STUDIO = """format = "airwright-studio/1"
[business]
name = "Quay Decor"
country = "IE"
vat_number = "IE1234567T"
iban = "DE71110220330123456789"
[pricing]
tax = 0.23
tax_name = "VAT"
"""


@pytest.fixture(autouse=True)
def studio(house: House) -> None:
    with house.desk.database.writing() as session:
        held = StudioFile(session)
        held.put(STUDIO, held.get()[1])


@pytest.fixture
def agreed(house: House) -> str:
    """A job whose client said yes to "Classic"."""
    job_id = house.job()
    send(house, job_id)
    with house.desk.database.writing() as session:
        row = edition(house, job_id)
        Editions(session).accept(row.id, Yes("Classic", "Mara Quay"), TODAY)
    return job_id


def token(visitor: Visitor, job_id: str) -> str:
    page = visitor.page(f"/jobs/{job_id}/money")
    return str(page.select_one("input[name=key]")["value"])  # type: ignore[index]


def issue(visitor: Visitor, job_id: str, kind: str, amount: str = "", status: int = 303) -> str:
    key = token(visitor, job_id)
    data = {"kind": kind, "amount": amount, "key": key}
    answer = visitor.post(f"/jobs/{job_id}/invoices", data)
    assert answer.status_code == status, answer.text[:600]
    return str(answer.text)


def pay(visitor: Visitor, job_id: str, amount: str, status: int = 303, **more: str) -> str:
    data = {"amount": amount, "key": token(visitor, job_id), "date": TODAY.isoformat(), **more}
    answer = visitor.post(f"/jobs/{job_id}/payments", data)
    assert answer.status_code == status, answer.text[:600]
    return str(answer.text)


def numbers(house: House, job_id: str) -> list[str]:
    with house.desk.database.reading() as session:
        return [row.name for row in Invoices(session).of_job(job_id)]


def sums(house: House, job_id: str) -> tuple[Decimal, Decimal]:
    """Deposit and total of what was agreed, whatever the demo's prices are by now."""
    option = read(edition(house, job_id).content).option("Classic")
    assert option is not None
    return option.deposit, option.total


def stage(house: House, job_id: str) -> str:
    with house.desk.database.reading() as session:
        return Jobs(session).get(job_id).stage


def test_from_deposit_to_paid(house: House, agreed: str) -> None:
    visitor, (deposit, total) = house.visitor(), sums(house, agreed)
    issue(visitor, agreed, "deposit")
    (first,) = numbers(house, agreed)
    pdf = visitor.get(f"/jobs/{agreed}/invoices/{first}/pdf").content
    text = run_together(whole_text(pdf))
    assert "Depositinvoice" + first in text
    assert f"${deposit}" in text
    pay(visitor, agreed, str(deposit).replace(".", ","))
    assert stage(house, agreed) == "booked"
    issue(visitor, agreed, "final")
    final = numbers(house, agreed)[-1]
    text = run_together(whole_text(visitor.get(f"/jobs/{agreed}/invoices/{final}/pdf").content))
    assert f"Askedbeforewith{first}-${deposit}" in text
    assert visitor.get(f"/jobs/{agreed}/invoices/{final}/xml").status_code == 200
    pay(visitor, agreed, str(total - deposit), invoice=final, reference="rest")
    page = visitor.page(f"/jobs/{agreed}/money").get_text(" ")
    assert "Still due $0.00" in " ".join(page.split())
    again = visitor.get(f"/jobs/{agreed}/invoices/{first}/pdf").content
    assert again == pdf


def test_nothing_is_invoiced_that_was_not_agreed(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    answer = visitor.get(f"/jobs/{job_id}/money")
    assert "Nothing was accepted yet" in answer.text
    wrong = visitor.post(f"/jobs/{job_id}/invoices", {"kind": "final", "key": "12345678"})
    assert wrong.status_code == 422
    assert "nothing to invoice" in wrong.text


def test_the_same_form_twice_issues_once(house: House, agreed: str) -> None:
    visitor = house.visitor()
    data = {"kind": "deposit", "key": token(visitor, agreed)}
    for _ in range(2):
        assert visitor.post(f"/jobs/{agreed}/invoices", data).status_code == 303
    assert len(numbers(house, agreed)) == 1


def test_hands_at_once_issue_one_final_invoice(house: House, agreed: str) -> None:
    visitors = [house.visitor() for _ in range(4)]
    forms = [{"kind": "final", "key": token(v, agreed)} for v in visitors]

    def send_one(at: int) -> int:
        return int(visitors[at].post(f"/jobs/{agreed}/invoices", forms[at]).status_code)

    with ThreadPoolExecutor(4) as pool:
        codes = sorted(pool.map(send_one, range(4)))
    assert codes == [303, 422, 422, 422]
    with house.desk.database.reading() as session:
        assert Invoices(session).gaps() == []
    assert len(numbers(house, agreed)) == 1


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        ("-5", "below zero"), ("12.345", "more precise"), ("lots", "no amount"),
        ("€ 40", "not in USD"), ("", "No amount"), ("70000", "agreed"),
    ],
)  # fmt: skip
def test_wrong_amounts_are_said_and_give_no_number(
    house: House, agreed: str, amount: str, words: str
) -> None:
    visitor = house.visitor()
    assert words in issue(visitor, agreed, "instalment", amount, status=422)
    assert numbers(house, agreed) == []


def test_a_credit_note_corrects_and_a_new_final_may_follow(house: House, agreed: str) -> None:
    visitor, (_, total) = house.visitor(), sums(house, agreed)
    left = total - Decimal("90.40")
    issue(visitor, agreed, "final")
    (final,) = numbers(house, agreed)
    assert "stands already" in issue(visitor, agreed, "final", status=422)
    path = f"/jobs/{agreed}/invoices/{final}/credit"
    part = {"amount": "90.40", "reason": "No take-down", "key": token(visitor, agreed)}
    assert visitor.post(path, part).status_code == 303
    too_much = {"amount": str(left + 1), "reason": "x", "key": token(visitor, agreed)}
    refused = visitor.post(path, too_much)
    assert (refused.status_code, "not credited yet" in refused.text) == (422, True)
    rest = {"amount": str(left), "reason": "New final", "key": token(visitor, agreed)}
    assert visitor.post(path, rest).status_code == 303
    credit = numbers(house, agreed)[1]
    assert credit.startswith("CN-2027-")
    text = run_together(whole_text(visitor.get(f"/jobs/{agreed}/invoices/{credit}/pdf").content))
    assert f"Itcorrects{final}" in text
    assert "Credited$90.40" in text
    assert visitor.get(f"/jobs/{agreed}/invoices/{credit}/xml").status_code == 200
    issue(visitor, agreed, "final")


def test_a_payment_twice_asks_first(house: House, agreed: str) -> None:
    visitor = house.visitor()
    issue(visitor, agreed, "deposit")
    pay(visitor, agreed, "100", reference="wire 1")
    asked = pay(visitor, agreed, "100.00", status=422, reference="WIRE 1")
    assert "on the books already" in asked
    assert 'name="surely"' in asked
    pay(visitor, agreed, "100", reference="wire 1", surely="yes")
    page = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert "Received $200.00" in page
    assert "part paid" in page


def test_too_much_comes_back(house: House, agreed: str) -> None:
    visitor, (deposit, _) = house.visitor(), sums(house, agreed)
    issue(visitor, agreed, "deposit")
    pay(visitor, agreed, str(deposit + Decimal("4.80")))
    page = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert "Received without an invoice $4.80" in page
    pay(visitor, agreed, "4.80", back="yes", reference="back")
    page = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert f"Received ${deposit}" in page
    assert "without an invoice" not in page


def test_a_slip_is_taken_back_and_stays_on_the_books(house: House, agreed: str) -> None:
    visitor, (deposit, _) = house.visitor(), sums(house, agreed)
    issue(visitor, agreed, "deposit")
    pay(visitor, agreed, str(deposit))
    assert stage(house, agreed) == "booked"
    page = visitor.page(f"/jobs/{agreed}/money")
    form = page.select_one('form[action$="/back"]')
    assert form is not None
    assert visitor.post(str(form["action"])).status_code == 303
    assert visitor.post(str(form["action"])).status_code == 422
    text = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert "Received $0.00" in text
    assert "Taken back" in text


def test_a_deposit_noted_on_the_offer_is_in_the_books(house: House, agreed: str) -> None:
    visitor, (deposit, _) = house.visitor(), sums(house, agreed)

    def told(area: str) -> str:
        return " ".join(visitor.page(f"/jobs/{agreed}/{area}").get_text(" ").split())

    assert f"Deposit ${deposit}: not here yet" in told("offer")
    visitor.post(f"/jobs/{agreed}/deposit", {"paid": "yes"})
    assert f"Received ${deposit}" in told("money")
    assert stage(house, agreed) == "booked"
    issue(visitor, agreed, "deposit")
    assert "Still due $0.00" in told("money")  # no reminder for what came
    visitor.post(f"/jobs/{agreed}/deposit", {"paid": "no"})
    assert f"Received $0.00 Still due ${deposit}" in told("money")


def test_a_deposit_on_the_books_is_not_booked_again(house: House, agreed: str) -> None:
    visitor, (deposit, _) = house.visitor(), sums(house, agreed)
    pay(visitor, agreed, str(deposit))
    visitor.post(f"/jobs/{agreed}/deposit", {"paid": "yes"})
    page = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert f"Received ${deposit}" in page
    visitor.post(f"/jobs/{agreed}/deposit", {"paid": "no"})  # what was booked by hand stays
    page = " ".join(visitor.page(f"/jobs/{agreed}/money").get_text(" ").split())
    assert f"Received ${deposit}" in page


def test_what_came_in_is_booked_in_one_place(house: House, agreed: str) -> None:
    """Money asked for by invoice is entered under Money; Result reads it there."""
    visitor, (deposit, _) = house.visitor(), sums(house, agreed)
    result = f"/jobs/{agreed}/outcome"
    offered = [option["value"] for option in visitor.page(result).select("[name=kind] option")]
    assert offered == ["hours", "bought", "spent"]
    refused = visitor.post(result, {"kind": "received", "amount": str(deposit)})
    assert refused.status_code == 422
    assert "booked under Money" in refused.text
    for kind, amount in (("hours", "1,234.56"), ("spent", "1.500"), ("bought", "5 EUR")):
        assert visitor.post(result, {"kind": kind, "amount": amount}).status_code == 422
    assert visitor.post(result, {"kind": "hours", "amount": "1.5 h"}).status_code == 303


def test_billing_goes_into_the_job_and_onto_the_invoice(house: House, agreed: str) -> None:
    visitor = house.visitor()
    visitor.get(f"/jobs/{agreed}/money")
    typed = {"country": "Ireland", "name": "O'Brien & Sons", "street": "Pier 1"}
    wrong = visitor.post(f"/jobs/{agreed}/billing", typed)
    assert wrong.status_code == 422
    assert "no country" in wrong.text
    form = BeautifulSoup(wrong.text, "html.parser").select_one("form[action$=billing]")
    assert form is not None
    kept = {name: form.select_one(f"[name={name}]")["value"] for name in typed}  # type: ignore[index]
    assert kept == typed
    fields = {"name": "Ferries Ltd", "city": "Saltmarsh", "country": "ie", "street": "Pier 1"}
    assert visitor.post(f"/jobs/{agreed}/billing", fields).status_code == 303
    assert 'name = "Ferries Ltd"' in house.text_of(agreed)
    issue(visitor, agreed, "deposit")
    (first,) = numbers(house, agreed)
    pdf = visitor.get(f"/jobs/{agreed}/invoices/{first}/pdf").content
    assert "FerriesLtdPier1Saltmarsh" in run_together(whole_text(pdf))


def test_the_studio_sees_what_is_due_and_takes_the_books_along(house: House, agreed: str) -> None:
    visitor = house.visitor()
    issue(visitor, agreed, "deposit")
    pay(visitor, agreed, "100")
    page = " ".join(visitor.page("/money").get_text(" ").split())
    assert "Not due yet" in page
    assert "2027-03" in page
    assert "VAT 23 %" in page
    text = visitor.get("/money/journal.txt").text
    _, errors, _ = loader.load_string(text)
    assert errors == []
    for what in ("invoices.csv", "payments.csv"):
        answer = visitor.get(f"/money/{what}?first=2027-01-01&last=2027-12-31")
        assert answer.status_code == 200
        assert re.search(r"2027-03-01", answer.text)
    assert visitor.get("/money/journal.txt?first=x").status_code == 422
    assert visitor.get("/money/nothing").status_code == 422


def test_invoices_are_due_as_the_payment_plan_says(house: House, agreed: str) -> None:
    """Deposit on acceptance, so in the usual fourteen days; the rest a week before the event."""
    visitor = house.visitor()
    issue(visitor, agreed, "deposit")
    page = visitor.page(f"/jobs/{agreed}/money")
    chosen = page.select_one("select[name=kind] option[selected]")
    assert chosen is not None
    assert chosen["value"] == "final"
    issue(visitor, agreed, "final")
    with house.desk.database.reading() as session:
        due = {row.kind: row.due for row in Invoices(session).of_job(agreed)}
    assert due == {"deposit": dt.date(2027, 3, 15), "final": dt.date(2027, 5, 15)}
