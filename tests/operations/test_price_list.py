"""Price lists as CSV and XLSX: rows, columns and what is wrong with them."""

from __future__ import annotations

import datetime as dt
import io
from decimal import Decimal

import pytest

from airwright.operations.buying.price_list import (
    Sheet,
    UnreadableList,
    guess_columns,
    read_list,
    read_sheet,
    with_offers,
)
from airwright.operations.buying.supplier_file import read_suppliers

HEADS = ("Item", "Colour", "Pack size", "Price", "EAN")
DAY = dt.date(2027, 5, 3)
ROWS = (("11in round balloon", "coral", "100", "16.50", "4006381333931"),)


def test_a_workbook_and_a_text_say_the_same() -> None:
    from openpyxl import Workbook

    book = Workbook()
    book.active.append(HEADS)
    book.active.append(("11in round balloon", "coral", 100, 16.5, 4006381333931))
    out = io.BytesIO()
    book.save(out)
    text = ",".join(HEADS) + "\n11in round balloon,coral,100,16.5,4006381333931\n"
    assert read_sheet(out.getvalue()) == read_sheet(text.encode())
    sheet = read_sheet(out.getvalue())
    reading = read_list(sheet, guess_columns(sheet.heads), "EUR")
    (offer,) = reading.offers
    assert (offer.shade, offer.pack, offer.price, offer.code) == (
        "coral", 100, Decimal("16.5"), "4006381333931",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("row", "code"),
    [
        (("a", "b", "", "1.00", ""), "pack"),
        (("a", "b", "ten", "1.00", ""), "pack"),
        (("a", "b", "10", "0.00", ""), "zero-price"),
        (("a", "b", "10", "$1.00", ""), "price"),
        (("a", "b", "10", "", ""), "price"),
        (("", "b", "10", "1.00", ""), "string-too-short"),
        (("a", "b", "0", "1.00", ""), "out-of-bounds"),
    ],
)
def test_a_wrong_row_is_told_with_its_line(row: tuple[str, ...], code: str) -> None:
    reading = read_list(Sheet(HEADS, (*ROWS, row)), guess_columns(HEADS), "EUR")
    assert [(one.code, one.line) for one in reading.findings] == [(code, 3)]
    assert len(reading.offers) == 1


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04nothing", b"\n\n"])
def test_what_is_no_list_is_told(data: bytes) -> None:
    with pytest.raises(UnreadableList) as told:
        read_sheet(data)
    assert told.value.mend


def test_a_list_takes_the_place_of_the_one_before() -> None:
    text = (
        'format = "airwright-suppliers/1"\ncurrency = "EUR"  # kept\n[[suppliers]]\n'
        'name = "A"\nlead_days = 3\n[[suppliers.offers]]\nitem = "old"\npack = 1\nprice = "1"\n'
        '[[suppliers]]\nname = "B"\nlead_days = 3\n'
    )
    offers = read_list(Sheet(HEADS, ROWS), guess_columns(HEADS), "EUR").offers
    table = read_suppliers(with_offers(text, "A", offers, DAY).encode()).table
    assert table is not None
    assert [offer.item for offer in table.suppliers[0].offers] == ["11in round balloon"]
    assert [one.name for one in table.suppliers] == ["A", "B"]
    assert [one.priced_on for one in table.suppliers] == [DAY, None]
    assert "# kept" in with_offers(text, "B", offers, DAY)
    with pytest.raises(KeyError):
        with_offers(text, "C", offers, DAY)
