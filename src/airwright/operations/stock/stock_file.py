"""The stock file, `airwright-stock/1`: what is on the shelf, lot by lot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from typing import Annotated, Final, Literal

from pydantic import Field

from airwright.job.findings import Finding, caution, error, hint
from airwright.job.pieces import Table
from airwright.language import message
from airwright.operations.goods import LATEX_GOOD_DAYS, Goods, Lot, good_until
from airwright.operations.toml_file import FileReading, read_table
from airwright.params import Param

STOCK_FORMAT: Literal["airwright-stock/1"] = "airwright-stock/1"
STOCK_FILE: Final = "stock file"


class LotRow(Table):
    """Some of one thing that came together."""

    item: Annotated[str, Param(message("What it is, as the needs name it."), longest=120)] = Field(
        min_length=1
    )
    shade: Annotated[str, Param(message("Its shade."), longest=60)] = ""
    quantity: Annotated[int, Param(message("How many there are."), low=0, high=10_000_000)]
    since: Annotated[
        dt.date | None, Param(message("The day it came, or will come."), example="2027-03-01")
    ] = None
    good_until: Annotated[
        dt.date | None,
        Param(message("Last day it may be used; left out: a year after it came for latex.")),
    ] = None
    opened: Annotated[
        Literal["no", "yes"], Param(message("Whether the bag is open."))
    ] = "no"  # fmt: skip
    place: Annotated[str, Param(message("Where on the shelf it lies."), longest=60)] = ""
    paid: Annotated[
        Decimal | None, Param(message("What all of it cost."), low=0, high=1_000_000)
    ] = None
    reserved: Annotated[
        int, Param(message("How many of it are promised to other jobs."), low=0, high=10_000_000)
    ] = 0
    condition: Annotated[
        str, Param(message("For hardware: what is wrong with it."), longest=200)
    ] = ""


class StockFile(Table):
    """The shelf."""

    format: Literal["airwright-stock/1"] = STOCK_FORMAT
    # no Param: a shelf may hold far more lots than any list a hand writes
    lots: tuple[LotRow, ...] = Field(default=(), description=message("What came when."))


def read_stock(data: bytes) -> FileReading[StockFile]:
    """Read a stock file."""
    return read_table(data, StockFile, STOCK_FORMAT, STOCK_FILE, _findings)


def _findings(file: StockFile) -> Iterator[Finding]:
    for at, row in enumerate(file.lots):
        place = f"lots[{at}]"
        if row.since and row.good_until and row.good_until < row.since:
            yield error(
                "good-before-since",
                f"{place}.good_until",
                message("{item} would be too old before it came.", item=row.item),
                message("Check both dates."),
            )
        if row.reserved > row.quantity:
            yield error(
                "reserved-too-much",
                f"{place}.reserved",
                message("More of {item} is promised than there is.", item=row.item),
                message("Promise {most} at the most.", most=row.quantity),
            )


def lots_of(file: StockFile) -> tuple[Lot, ...]:
    """What is free of each lot, with the day it grows too old."""
    return tuple(
        Lot(
            Goods.named(row.item, row.shade),
            row.quantity - row.reserved,
            row.since,
            row.good_until or good_until(row.item, row.since),
        )
        for row in file.lots
    )


def too_old(file: StockFile, today: dt.date) -> Iterator[Finding]:
    """Lots that are past their day: they are not counted on."""
    for at, (row, lot) in enumerate(zip(file.lots, lots_of(file), strict=True)):
        if lot.good_until is None or lot.good_until >= today or not row.quantity:
            continue
        name = f"{row.item}, {row.shade}" if row.shade else row.item
        what = message(
            "{quantity} of {name} were good until {day} and are not counted on.",
            quantity=row.quantity,
            name=name,
            day=lot.good_until.isoformat(),
        )
        if row.good_until is None:
            mend = message(
                "Latex keeps about {days} days (common practice). Write good_until if it is "
                "still good.",
                days=LATEX_GOOD_DAYS,
            )
            yield caution("too-old", f"lots[{at}]", what, mend)
        else:
            yield hint("too-old", f"lots[{at}]", what, message("Throw it away, and write it down."))
