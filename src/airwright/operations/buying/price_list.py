"""A supplier's own price list, CSV or XLSX: columns named once, wrong rows told one by one."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from pydantic import ValidationError

from airwright.job.findings import Finding, error
from airwright.job.translate import findings_of
from airwright.language import message
from airwright.money.amount import MoneyError
from airwright.money.reading import read_money
from airwright.operations.buying.supplier_file import OfferRow
from airwright.operations.goods import Goods, same_name
from airwright.params import WRITTEN

NEEDED: Final = ("item", "pack", "price")
KEYS: Final = ("item", "shade", "pack", "price", "available", "code")
"""What a column may hold."""

WORDS: Final[Mapping[str, tuple[str, ...]]] = {
    "item": ("item", "article", "description", "product", "name"),
    "shade": ("shade", "colour", "color"),
    "pack": ("pack", "pack size", "pieces", "quantity", "count", "per bag", "bag"),
    "price": ("price", "net price", "unit price", "price per pack"),
    "available": ("available", "stock", "in stock"),
    "code": ("ean", "upc", "gtin", "bar code", "barcode", "code", "order number"),
}
"""Heads that are understood at once; any other is asked for."""

MOST_ROWS: Final = 200_000
MOST_FINDINGS: Final = 50


class UnreadableList(ValueError):
    """The file is no table; `what` and `mend` are for people."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend


@dataclass(frozen=True, slots=True)
class Sheet:
    """A table as text: its heads and rows."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True, slots=True)
class ListReading:
    """Offers of a price list, and what is wrong with its rows."""

    offers: tuple[OfferRow, ...]
    findings: tuple[Finding, ...]


def read_sheet(data: bytes) -> Sheet:
    """The first table of a CSV or XLSX file. Raises UnreadableList."""
    rows = list(_xlsx(data) if data[:2] == b"PK" else _csv(data))
    rows = [row for row in rows if any(row)]
    if not rows:
        raise UnreadableList(
            message("The price list is empty."), message("Pick the file with its rows in it.")
        )
    if len(rows) > MOST_ROWS + 1:
        raise UnreadableList(
            message("The price list has more than {most} rows.", most=MOST_ROWS),
            message("Keep the rows you buy by."),
        )
    return Sheet(rows[0], tuple(rows[1:]))


def _csv(data: bytes) -> Iterator[tuple[str, ...]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")
    first = text.split("\n", 1)[0]
    delimiter = max(",;\t", key=first.count)
    try:
        for row in csv.reader(io.StringIO(text.replace("\0", " ")), delimiter=delimiter):
            yield tuple(cell.strip() for cell in row)
    except csv.Error as problem:
        what = message("The file cannot be read: {why}.", why=str(problem))
        raise UnreadableList(what, message("Save it anew.")) from None


def _xlsx(data: bytes) -> Iterator[tuple[str, ...]]:
    import zipfile

    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
        for row in book.worksheets[0].iter_rows(values_only=True):
            yield tuple("" if cell is None else _cell(cell) for cell in row)
    except (InvalidFileException, zipfile.BadZipFile, KeyError, ValueError, IndexError) as problem:
        what = message("This is no workbook that can be read.")
        mend = message("Save it as .xlsx or .csv from your spreadsheet program.")
        raise UnreadableList(what, mend) from problem


def _cell(value: Any) -> str:
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return str(value).strip()


def guess_columns(heads: Sequence[str]) -> dict[str, str]:
    """What each column holds, as far as its head says so: key → head."""
    found: dict[str, str] = {}
    for key, words in WORDS.items():
        for head in heads:
            if head.casefold() in words and head not in found.values():
                found[key] = head
                break
    return found


def read_list(sheet: Sheet, columns: Mapping[str, str], currency: str) -> ListReading:
    """Offers of a price list.

    Args:
        sheet: the table.
        columns: which column (by its head) holds item, shade, pack, price, available, code.
        currency: of the prices; a sign of another one is refused.
    """
    missing = [key for key in NEEDED if columns.get(key) not in sheet.heads]
    if missing:
        what = message("It is not said which column holds the {key}.", key=missing[0])
        return ListReading((), (error("columns", "", what, message("Choose it.")),))
    at = {key: sheet.heads.index(head) for key, head in columns.items() if head in sheet.heads}
    offers: list[OfferRow] = []
    found: list[Finding] = []
    for line, row in enumerate(sheet.rows, start=2):
        cells = {key: row[column] if column < len(row) else "" for key, column in at.items()}
        offer, wrong = _offer(cells, currency)
        found += [one.at(line, None) for one in wrong]
        if offer is not None:
            offers.append(offer)
        if len(found) >= MOST_FINDINGS:
            break
    return ListReading(tuple(offers), tuple(found))


def _offer(cells: dict[str, str], currency: str) -> tuple[OfferRow | None, list[Finding]]:
    raw: dict[str, Any] = {"item": cells["item"], "shade": cells.get("shade") or None}
    raw["code"] = cells.get("code", "")
    wrong = []
    for key in ("pack", "available"):
        text = cells.get(key, "").replace(" ", "")
        if key == "available" and not text:
            continue
        if not text.isdecimal():
            what = message(
                '"{text}" is no number of pieces or packs.', text=cells.get(key, "")[:20]
            )
            wrong.append(error(key, key, what, message("Write a whole number.")))
            continue
        raw[key] = int(text)
    try:
        amount = read_money(cells["price"], currency).number
        raw["price"] = amount
        if amount == 0:
            what = message("{item} would cost nothing.", item=cells["item"][:60])
            mend = message("Write its price, or leave the row out.")
            wrong.append(error("zero-price", "price", what, mend))
    except MoneyError as problem:
        wrong.append(error("price", "price", problem.what, problem.mend))
    if wrong:
        return None, wrong
    try:
        return OfferRow.model_validate(raw, context=WRITTEN), []
    except ValidationError as problem:
        return None, findings_of(problem, (), OfferRow)


def with_offers(text: str, supplier: str, offers: Sequence[OfferRow], today: dt.date) -> str:
    """The text of a suppliers' file with one supplier's price list put in place of the old one.

    Its prices are of `today` from then on.

    Raises:
        KeyError: there is no such supplier.
    """
    import tomlkit

    document = tomlkit.parse(text)
    for row in document.get("suppliers", []):
        if row.get("name") == supplier:
            table = tomlkit.aot()
            for offer in offers:
                table.append(_item(offer))
            row["priced_on"] = today
            row["offers"] = table
            return tomlkit.dumps(document)
    raise KeyError(supplier)


def with_price(text: str, supplier: str, line: PaidLine) -> str:
    """The text of a suppliers' file with a price learnt from a delivery note.

    The price of that pack, or the break that the order reached, takes the new price. The text
    comes back as it was where that price stands in it no more.
    """
    import tomlkit

    document = tomlkit.parse(text)
    for row in document.get("suppliers", []):
        for offer in row.get("offers", []) if row.get("name") == supplier else ():
            same = (same_name(offer.get("item", "")), offer.get("pack")) == (
                line.goods.item, line.pack,
            )  # fmt: skip
            shade = offer.get("shade")
            if same and (shade is None or same_name(shade) == line.goods.shade):
                for tier in (offer, *offer.get("breaks", [])):
                    if Decimal(str(tier.get("price"))) == line.ordered:
                        tier["price"] = f"{line.paid:f}"
                        return tomlkit.dumps(document)
    return text


@dataclass(frozen=True, slots=True)
class PaidLine:
    """A pack as a delivery note has it: its price when it was ordered, and what was paid."""

    goods: Goods
    pack: int
    ordered: Decimal
    paid: Decimal


def _item(offer: OfferRow) -> Any:
    import tomlkit

    item = tomlkit.table()
    values = {"item": offer.item, "shade": offer.shade, "pack": offer.pack}
    values |= {
        "price": f"{offer.price:f}",
        "available": offer.available,
        "code": offer.code or None,
    }
    for key, value in values.items():
        if value is not None:
            item[key] = value
    return item
