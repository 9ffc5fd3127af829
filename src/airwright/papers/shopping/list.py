"""shopping.csv: one flat table for other programs (RFC 4180).

UTF-8 with a byte-order mark, because spreadsheet programs take a file without one for the
machine's old code page and break every name that is not plain English. Python reads it as
"utf-8-sig". Texts that a spreadsheet would run as a formula get an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from airwright.money.amount import amount_text
from airwright.papers.shopping.model import BalloonBuy, ItemBuy, Shopping

COLUMNS: Final = (
    "kind",
    "item",
    "size_in",
    "shade",
    "used",
    "spare",
    "total",
    "unit",
    "bags",
    "bought",
    "left_over",
    "source",
    "price_each",
    "price",
    "currency",
)
RISKY: Final = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a cell that a spreadsheet runs can begin with."""


def csv_of(model: Shopping) -> bytes:
    """The list as CSV; the last row holds the whole purchase."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in _rows(model):
        writer.writerow([harmless(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig", "replace")


def _rows(model: Shopping) -> Iterator[tuple[str, ...]]:
    for row in model.balloons:
        yield _balloon(row, model.currency)
    for item in model.items:
        yield _item(item, model.currency)
    total = amount_text(model.price, model.currency)
    yield ("total", *("" for _ in COLUMNS[1:-2]), total, model.currency)


def _balloon(row: BalloonBuy, currency: str) -> tuple[str, ...]:
    return (
        "balloon",
        row.item,
        f"{row.size_in:g}",
        row.shade,
        str(row.used),
        str(row.spare),
        str(row.total),
        "each",
        bags_text(row),
        str(row.bought),
        str(row.left),
        origin(row),
        number(row.each),
        amount_text(row.price, currency),
        currency,
    )


def _item(row: ItemBuy, currency: str) -> tuple[str, ...]:
    return (
        row.use,
        row.item,
        "",
        row.shade,
        f"{row.used:.10g}",
        f"{row.spare:.10g}",
        f"{row.total:.10g}",
        row.unit,
        "",
        "",
        "",
        origin(row),
        number(row.each),
        amount_text(row.price, currency),
        currency,
    )


def origin(row: BalloonBuy | ItemBuy) -> str:
    """ "own", "buy", or how much of it is which."""
    if not row.buy:
        return "own"
    return "buy" if not row.shelf else f"own {row.shelf:.10g}, buy {row.buy:.10g}"


def bags_text(row: BalloonBuy) -> str:
    """ "1 x 50, 2 x 25": bags times what is in one."""
    return ", ".join(f"{bag.bags} x {bag.holds}" for bag in row.bags)


def number(value: Decimal) -> str:
    """A Decimal in plain digits, six places at the most: "0.149"."""
    text = f"{value:.6f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def harmless(cell: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if cell.startswith(RISKY) else cell
