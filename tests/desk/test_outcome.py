"""Did it pay: without tax, against what was accepted; and what a season earned."""

from __future__ import annotations

from decimal import Decimal

from airwright.desk.outcome.seasons import kinds_of
from airwright.desk.outcome.service import planned_of, taken_of
from airwright.money.outcome import outcome
from airwright.papers.edition import read
from airwright.store.actuals import Actuals
from airwright.store.editions import Editions, Yes
from airwright.store.jobs import Jobs
from airwright.store.payments import NewPayment, Payments
from airwright.store.studio import StudioFile
from tests.desk.conftest import TODAY, House
from tests.desk.test_offers import edition, send

TAXED = 'format = "airwright-studio/1"\n[pricing]\ntax = 0.23\ntax_name = "VAT"\nmargin = 0.6\n'


def agreed(house: House, option: str = "Classic") -> str:
    with house.desk.database.writing() as session:
        held = StudioFile(session)
        held.put(TAXED, held.get()[1])
    job_id = house.job()
    send(house, job_id)
    with house.desk.database.writing() as session:
        Editions(session).accept(edition(house, job_id).id, Yes(option, "Mara"), TODAY)
    return job_id


def test_a_job_exactly_as_planned_shows_exactly_the_planned_margin(house: House) -> None:
    job_id, visitor = agreed(house), house.visitor()
    visitor.get(f"/jobs/{job_id}/outcome")
    assert visitor.post(f"/jobs/{job_id}/outcome/as-planned").status_code == 303
    with house.desk.database.writing() as session:
        row = Jobs(session).get(job_id)
        evaluation = house.desk.builder.evaluate(row.text, StudioFile(session).get()[0])
        planned = planned_of(session, job_id, evaluation.plan)
        assert planned is not None
        new = NewPayment("k", planned.total, "USD", TODAY, job_id=job_id)
        Payments(session).book(new, "Ada")
        taken = taken_of(session, job_id, Actuals(session).of_job(job_id), "USD")
        found = outcome(planned, taken, evaluation.studio.pricing.labour_rate)
    assert found.margin == found.planned_margin == planned.margin
    assert found.tax == planned.total - planned.net > 0
    text = " ".join(visitor.page(f"/jobs/{job_id}/outcome").get_text(" ").split())
    assert f"Left over ${planned.margin} ${planned.margin}" in text.replace(",", "")


def test_before_all_money_is_here_nothing_is_called_a_loss(house: House) -> None:
    """A deposit half a year ahead of the event is no reason for alarm."""
    job_id, visitor = agreed(house), house.visitor()
    with house.desk.database.writing() as session:
        Payments(session).book(NewPayment("half", Decimal(100), "USD", TODAY, job_id=job_id), "Ada")
    page = visitor.page(f"/jobs/{job_id}/outcome")
    text = " ".join(page.get_text(" ").split())
    assert "So far $81.30 of" in text  # 100 / 1.23
    assert "once the rest is here" in text
    assert "did not pay" not in text
    assert "-$" not in text


def test_what_was_accepted_counts_whatever_rates_become_later(house: House) -> None:
    job_id = agreed(house)
    with house.desk.database.writing() as session:
        row = Jobs(session).get(job_id)
        before = planned_of(session, job_id, house.desk.builder.evaluate(row.text, TAXED).plan)
        dear = TAXED + "labour_rate = 90\n"
        after = planned_of(session, job_id, house.desk.builder.evaluate(row.text, dear).plan)
    assert before == after


def test_hours_come_by_a_tap_also_from_the_crew(house: House, guarded: House) -> None:
    job_id, crew = guarded.job(), guarded.entered("cy")
    assert "+ 15 min" in crew.page(f"/jobs/{job_id}/day").get_text()
    for minutes in ("15", "60"):
        assert crew.post(f"/jobs/{job_id}/hours", {"minutes": minutes}).status_code == 303
    assert crew.post(f"/jobs/{job_id}/hours", {"minutes": "999"}).status_code == 422
    with guarded.desk.database.reading() as session:
        rows = Actuals(session).of_job(job_id)
        assert taken_of(session, job_id, rows, "USD").hours == Decimal("1.25")


def test_what_was_bought_comes_by_a_tap_and_may_be_taken_back(guarded: House) -> None:
    """The crew writes down its own receipts, and sees no other money."""
    job_id, crew, owner = guarded.job(), guarded.entered("cy"), guarded.entered("ada")
    bought = f"/jobs/{job_id}/bought"
    crew.get(f"/jobs/{job_id}/day")
    receipts = [("12,40", "bought", "sand"), ("8", "spent", "parking"), ("99", "spent", "oops")]
    for amount, kind, what in receipts:
        sent = {"amount": amount, "kind": kind, "what": what}
        assert crew.post(bought, sent).status_code == 303
    for wrong in ("", "-3", "0", "€5", "1.234", "99999999"):
        assert crew.post(bought, {"amount": wrong, "kind": "spent"}).status_code == 422, wrong
    page = crew.page(f"/jobs/{job_id}/day")
    assert "$12.40 sand" in page.get_text(" ")
    slip = next(str(f["action"]) for f in page.select("form[action$='/back']"))
    owner.get(f"/jobs/{job_id}/day")
    assert "$12.40" not in owner.get(f"/jobs/{job_id}/day").text
    assert owner.post(slip).status_code == 404  # one's own alone
    assert crew.post(slip).status_code == 303
    with guarded.desk.database.reading() as session:
        taken = taken_of(session, job_id, Actuals(session).of_job(job_id), "USD")
    assert (taken.bought, taken.spent) == (Decimal("12.40"), Decimal(8))


def test_a_season_is_seen_by_kind_client_and_month(house: House) -> None:
    agreed(house), agreed(house, "Statement")
    page = house.visitor().page("/season?year=2027")
    text = " ".join(page.get_text(" ").split())
    for words in ("By kind of piece", "By client", "By month", "column", "Saltmarsh", "2027-05"):
        assert words in text, words
    assert len(page.select("svg.season-bar")) >= 3
    for bar in page.select("svg.season-bar"):
        assert 0 <= int(bar.select("rect")[0]["width"]) <= 300
    assert "No offer for 1999" in house.visitor().page("/season?year=1999").get_text(" ")
    assert house.visitor().get("/season?year=x").status_code == 422


def test_shares_of_kinds_add_up_to_one(house: House) -> None:
    job_id = agreed(house)
    offered = read(edition(house, job_id).content)
    for option in offered.options:
        assert sum(share for _, share in kinds_of(offered, option.name)) == 1
