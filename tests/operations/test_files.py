"""Suppliers' file, stock file and needs in CSV: what is read, and what is refused with its cure."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

import pytest

from airwright.job.findings import Finding
from airwright.operations.buying.needs_file import in_horizon, read_needs
from airwright.operations.buying.supplier_file import read_suppliers, suppliers_of
from airwright.operations.buying.values import BreakRule, Need
from airwright.operations.goods import Goods
from airwright.operations.stock.stock_file import lots_of, read_stock, too_old

HEAD = 'format = "airwright-suppliers/1"\ncurrency = "EUR"\n'
SELLER = '[[suppliers]]\nname = "Quayside Supply"\nlead_days = 3\n'
OFFER = (
    '[[suppliers.offers]]\nitem = "11in round balloon"\nshade = "coral"\n'
    'pack = 100\nprice = "16.50"\n'
)
WHOLE = HEAD + SELLER + OFFER


def codes(findings: tuple[Finding, ...]) -> list[str]:
    for finding in findings:
        assert finding.what
        assert finding.mend
    return [finding.code for finding in findings]


def test_the_file_of_the_docs_is_read() -> None:
    text = HEAD + (
        '[[suppliers]]\nname = "Quayside Supply"\nlead_days = { usual = 3, late = 6 }\n'
        'delivers = ["mon", "thu"]\nminimum = "40.00"\ncutoff = "14:00"\nholidays = "DE-BE"\n'
        'freight = [ { from = "0.00", price = "8.90" }, { from = "120.00", price = "0.00" } ]\n'
        'rush = { lead_days = 1, price = "25.00" }\n'
    ) + OFFER + (
        'breaks = [ { packs = 5, price = "15.00" } ]\nbreaks_for = "packs beyond"\n'
        'weight = "280 g"\ncolour = "#f0705a"\n'
    )  # fmt: skip
    reading = read_suppliers(text.encode())
    assert reading.findings == ()
    assert reading.table is not None
    (supplier,) = suppliers_of(reading.table)
    (offer,) = supplier.offers
    assert (supplier.usual_days, supplier.late_days, supplier.minimum) == (3, 6, Decimal(40))
    assert supplier.delivers == frozenset({0, 3})
    assert supplier.cutoff == dt.time(14)
    assert supplier.freight.price(Decimal("119.99")) == Decimal("8.90")
    assert supplier.freight.price(Decimal(120)) == 0
    assert (supplier.rush_days, supplier.rush_price) == (1, Decimal(25))
    assert (offer.pack, offer.price, offer.rule) == (100, Decimal("16.50"), BreakRule.BEYOND)
    assert offer.weight_kg == Decimal("0.28")
    assert offer.good_days == 365


WRONG = {
    "no-suppliers": (HEAD + "suppliers = []\n", 3, "[[suppliers]]"),
    "no-days": (WHOLE.replace("lead_days", "delivers = []\nlead_days"), 5, "mon"),
    "missing": (WHOLE.replace("pack = 100\n", ""), 6, "pack"),
    "two-currencies": (WHOLE.replace("lead_days", 'currency = "USD"\nlead_days'), 5, "USD"),
    "zero-price": (WHOLE.replace("16.50", "0.00"), 10, "nothing"),
    "too-precise": (WHOLE.replace("16.50", "16.505"), 10, "16.505"),
    "currency": (WHOLE.replace('"EUR"', '"EURO"'), 2, "EURO"),
    "format": (WHOLE.replace("suppliers/1", "suppliers/9"), 1, "format"),
    "unknown-key": (WHOLE + 'prise = "1"\n', 11, "prise"),
    "late-before-usual": (WHOLE.replace("= 3", "= { usual = 6, late = 3 }"), 5, "late"),
    "unknown-region": (WHOLE.replace("lead_days", 'holidays = "Saltmarsh"\nlead_days'), 5, "Saltm"),
    "freight-start": (
        WHOLE.replace("lead_days", 'freight = [{ from = "20", price = "9" }]\nlead_days'),
        5, "zero",
    ),
    "freight-step": (
        WHOLE.replace("lead_days", 'freight = [{ price = "9.00" }]\nlead_days'), 5, "from",
    ),
    "dearer-break": (WHOLE + 'breaks = [{ packs = 5, price = "17.00" }]\n', 11, "dearer"),
    "break-order": (
        WHOLE + 'breaks = [{ packs = 5, price = "16" }, { packs = 5, price = "15" }]\n',
        11, "order",
    ),
    "break-kind": (
        WHOLE + 'breaks_over = "all shades"\nbreaks_for = "packs beyond"\n', 11, "all packs",
    ),
    "duplicate-name": (WHOLE + SELLER.replace("Quay", "quay") + OFFER, 12, "two suppliers"),
    "out-of-bounds": (WHOLE.replace("pack = 100", "pack = 0"), 9, "1 at the least"),
    "syntax": (WHOLE.replace('= "EUR"', '= "EUR'), 2, "quotes"),
    "empty-file": (" ", None, "airwright-suppliers/1"),
}  # fmt: skip


@pytest.mark.parametrize("code", WRONG)
def test_a_wrong_price_list_is_told_with_place_and_cure(code: str) -> None:
    text, line, word = WRONG[code]
    reading = read_suppliers(text.encode())
    assert reading.table is None
    assert codes(reading.findings) == [code]
    (finding,) = reading.findings
    assert word in f"{finding.what} {finding.mend} {finding.place}"
    assert finding.line == line


def test_all_errors_come_at_once() -> None:
    text = WHOLE.replace("16.50", "0.00") + OFFER.replace("100", "50").replace("16.50", "3.333")
    assert codes(read_suppliers(text.encode()).findings) == ["zero-price", "too-precise"]


def test_nothing_but_bytes_is_no_traceback() -> None:
    for data in (b"\0\1\2", b"\xff\xfe", b"[" * 3000, b"a = " + b"[" * 3000):
        assert read_suppliers(data).findings
        assert read_stock(data).findings
        assert read_needs(data).findings


@pytest.mark.slow
def test_two_hundred_thousand_lines_are_read() -> None:
    lines = "".join(
        f'[[suppliers.offers]]\nitem = "thing {at}"\npack = {at % 90 + 1}\nprice = "1.50"\n'
        for at in range(200_000)
    )
    reading = read_suppliers((HEAD + SELLER + lines).encode())
    assert reading.table is not None
    assert len(reading.table.suppliers[0].offers) == 200_000


def test_a_stock_file_is_read_and_old_latex_is_told() -> None:
    text = (
        'format = "airwright-stock/1"\n'
        '[[lots]]\nitem = "11in round balloon"\nshade = "coral"\nquantity = 40\n'
        'since = 2026-11-02\ngood_until = 2027-11-01\n'
        '[[lots]]\nitem = "11in round balloon"\nshade = "teal"\nquantity = 30\nsince = 2025-01-01\n'
        '[[lots]]\nitem = "Pole"\nquantity = 12\nsince = 2020-01-01\nreserved = 5\n'
    )  # fmt: skip
    reading = read_stock(text.encode())
    assert reading.table is not None
    lots = lots_of(reading.table)
    assert [lot.quantity for lot in lots] == [40, 30, 7]
    assert lots[2].good_until is None
    (found,) = too_old(reading.table, dt.date(2027, 5, 3))
    assert "2026-01-01" in found.what


def test_a_wrong_stock_file_is_told() -> None:
    head = 'format = "airwright-stock/1"\n[[lots]]\nitem = "Pole"\n'
    for rest, code in (
        ("quantity = -1\n", "out-of-bounds"),
        ("quantity = 3\nreserved = 4\n", "reserved-too-much"),
        ("quantity = 3\nsince = 2027-05-05\ngood_until = 2027-05-01\n", "good-before-since"),
        ('quantity = "three"\n', "int-parsing"),
    ):
        reading = read_stock((head + rest).encode())
        assert reading.table is None
        assert codes(reading.findings) == [code]


def test_needs_are_read_row_by_row() -> None:
    text = "item;shade;quantity;due;note\n"
    text += "11in Round  Balloon;Coral;40;2027-05-22;x\n\nPole;;2;2027-05-21\n"
    reading = read_needs(text.encode("utf-8-sig"))
    assert reading.findings == ()
    assert reading.needs == (
        Need(Goods("11in round balloon", "coral"), dt.date(2027, 5, 22), 40),
        Need(Goods("pole"), dt.date(2027, 5, 21), 2),
    )
    assert str(reading.needs[0].goods) == "11in Round  Balloon, Coral"


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("item,shade,due\n", "columns", 1),
        ("item,shade,quantity,due\n,coral,4,2027-05-22\n", "missing", 2),
        ("item,shade,quantity,due\n\na,coral,4.5,2027-05-22\n", "quantity", 3),
        ("item,shade,quantity,due\na,coral,0,2027-05-22\n", "quantity", 2),
        ("item,shade,quantity,due\na,coral,4,22.5.2027\n", "date", 2),
        ("item,shade,quantity,due\na,coral,4\n", "date", 2),
    ],
)
def test_a_wrong_row_is_told_with_its_line(text: str, code: str, line: int) -> None:
    reading = read_needs(text.encode())
    assert codes(reading.findings) == [code]
    assert reading.findings[0].line == line


def test_days_past_are_errors_and_far_ones_wait() -> None:
    today = dt.date(2027, 5, 3)
    needs = [Need(Goods("a"), today + dt.timedelta(days=days), 1) for days in (-1, 0, 60, 61)]
    kept, found = in_horizon(needs, today, 60)
    assert [need.due for need in kept] == [needs[1].due, needs[2].due]
    assert codes(found) == ["past-day", "after-horizon"]
