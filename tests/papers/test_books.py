"""The books: nothing counted twice, a journal that another library reads and that balances."""

from __future__ import annotations

import csv
import datetime as dt
import io
from decimal import Decimal

import pytest
from beancount import loader
from beancount.core.data import Transaction

from airwright.papers.books import Paid, booked, invoices_csv, journal, payments_csv, summary
from airwright.papers.invoice import Invoice
from tests.papers.invoices import invoices

ALL = {invoice.number: invoice for invoice in invoices().values()}
BY_KIND = invoices()
PAID = (
    Paid(
        dt.date(2027, 3, 10), Decimal("200.00"), "EUR", "transfer", "INV-2027-0001", "Ferries", "a"
    ),
    Paid(dt.date(2027, 5, 30), Decimal("267.85"), "EUR", "cash", "INV-2027-0003", "Ferries", "b"),
    Paid(dt.date(2027, 6, 1), Decimal("-50.00"), "EUR", "transfer", "", 'Odd "words"\\', "refund"),
)


def two() -> dict[str, Invoice]:
    return {one.number: one for one in (BY_KIND["deposit"], BY_KIND["final"])}


def test_a_deposit_and_the_final_invoice_are_the_job_once() -> None:
    """467.85 in all, 73.70 tax: as if there had been one invoice."""
    held = two()
    rows = booked(held.values(), held)
    assert sum(row.owed for row in rows) == Decimal("467.85")
    assert sum(row.net for row in rows) == Decimal("394.15")
    assert sum(row.tax for row in rows) == Decimal("73.70")


def test_a_credit_note_takes_back_what_was_invoiced() -> None:
    held = {one.number: one for one in (BY_KIND["credit"],)}
    (row,) = booked(held.values(), held)
    assert (row.net, row.tax, row.owed) == tuple(
        Decimal(x) for x in ("-394.15", "-73.70", "-467.85")
    )


def test_the_journal_is_read_by_another_library_and_balances() -> None:
    text = journal(booked(ALL.values(), ALL), PAID, 'Saltmarsh "Balloons"')
    entries, errors, _ = loader.load_string(text)
    assert errors == []
    found = [entry for entry in entries if isinstance(entry, Transaction)]
    assert len(found) == len(ALL) + len(PAID)
    totals: dict[str, Decimal] = {}
    for entry in found:
        for posting in entry.postings:
            units = posting.units
            totals[posting.account] = totals.get(posting.account, Decimal(0)) + units.number
    assert sum(totals.values()) == 0
    assert totals["Assets:Bank"] == Decimal("150.00")
    assert totals["Assets:Cash"] == Decimal("267.85")


def test_a_journal_that_does_not_balance_would_be_noticed() -> None:
    spoilt = journal(booked(two().values(), two()), (), "x").replace("200.00 EUR", "200.01 EUR", 1)
    _, errors, _ = loader.load_string(spoilt)
    assert errors


def test_tables_read_back_with_plain_numbers() -> None:
    rows = list(csv.DictReader(io.StringIO(invoices_csv(booked(ALL.values(), ALL)))))
    owed = sum(Decimal(row["owed"]) for row in rows if row["owed"])
    assert owed == sum(row.owed for row in booked(ALL.values(), ALL))
    paid = list(csv.DictReader(io.StringIO(payments_csv(PAID))))
    assert [Decimal(row["amount"]) for row in paid] == [p.amount for p in PAID]


def test_no_cell_is_a_formula() -> None:
    odd = BY_KIND["final"].model_copy(update={"title": "=HYPERLINK(1)"})
    assert "'=HYPERLINK(1)" in invoices_csv(booked([odd], {odd.number: odd}))


@pytest.mark.parametrize(("by", "periods"), [("month", 3), ("year", 1)])
def test_sums_by_month_and_year_add_up(by: str, periods: int) -> None:
    found = summary(booked(ALL.values(), ALL), PAID, by)  # type: ignore[arg-type]
    assert len(found) == periods
    assert sum(one.received for one in found) == Decimal("417.85")
    whole = booked(ALL.values(), ALL)
    assert sum(one.net for one in found) == sum(row.net for row in whole)
    assert sum(one.tax for one in found) == sum(row.tax for row in whole)
    for one in found:
        assert sum(net for _, net, _ in one.taxes) == one.net
        assert sum(tax for _, _, tax in one.taxes) == one.tax
