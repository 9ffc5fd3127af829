"""What the shelf's pages show, read off the ledger."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Final

from airwright.desk.pages import day as shown_day
from airwright.desk.pages import moment
from airwright.desk.stock.contexts import BackLine, GoodsLine, Happening, JobLine, LotLine
from airwright.desk.stock_entry import needs_by_goods
from airwright.language import joined, message
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import LEAVES, Shelf, in_order_of_age
from airwright.plan.values import Plan
from airwright.store.stock_tables import StockMovementRow
from airwright.store.tables import JobRow
from airwright.store.types import new_id

SOON_DAYS: Final = 60
"""What grows too old within these days is told."""


def goods_lines(shelf: Shelf, today: dt.date) -> tuple[GoodsLine, ...]:
    """All goods, with all that is promised and on its way."""
    levels = shelf.levels(dt.date.max, today)
    now = shelf.levels(today, today)
    counts = shelf.by_lot(today)
    places: dict[Goods, list[str]] = {}
    for lot in in_order_of_age(shelf.lots.values()):
        if counts.get(lot.id, 0) and lot.place:
            places.setdefault(lot.goods, []).append(lot.place)
    old: dict[Goods, str] = {}
    for lot, count in shelf.ageing(today, SOON_DAYS):
        assert lot.good_until is not None
        day = shown_day(lot.good_until)
        past = lot.good_until < today
        old.setdefault(
            lot.goods,
            message("{n} were good until {day}", n=count, day=day)
            if past
            else message("{n} are good until {day}", n=count, day=day),
        )
    rows = []
    for goods, level in levels.items():
        too_old = now[goods].too_old if goods in now else 0
        free = level.on_hand - too_old + level.incoming - level.reserved
        rows.append(
            GoodsLine(
                goods.shown_item,
                goods.shown_shade,
                level.on_hand,
                level.reserved,
                level.wanted,
                level.incoming,
                free,
                ", ".join(dict.fromkeys(places.get(goods, []))),
                old.get(goods, ""),
            )
        )
    return tuple(rows)


def lot_lines(
    shelf: Shelf, today: dt.date, goods: Iterable[Goods] | None = None
) -> tuple[LotLine, ...]:
    """Lots of some goods, or all, as they lie on the shelf; empty ones left out."""
    wanted = None if goods is None else set(goods)
    counts = shelf.by_lot()
    rows = []
    for lot in in_order_of_age(shelf.lots.values()):
        there = counts.get(lot.id, 0)
        if (wanted is not None and lot.goods not in wanted) or not there:
            continue
        more: list[str] = []
        if lot.since:
            more.append(message("came {day}", day=shown_day(lot.since)))
        if lot.good_until:
            more.append(message("good until {day}", day=shown_day(lot.good_until)))
        more += [message("open bag")] if lot.opened else []
        more += [lot.condition] if lot.condition else []
        if lot.good_until is not None and lot.good_until < today:
            more.append(message("too old"))
        rows.append(
            LotLine(
                lot.id, lot.goods.shown_item, lot.goods.shown_shade, lot.place, there,
                joined(more), lot.condition, new_id(),
            )
        )  # fmt: skip
    return tuple(sorted(rows, key=lambda row: (row.place, row.item, row.shade)))


def back_lines(shelf: Shelf, job_id: str) -> tuple[BackLine, ...]:
    """Lots a job took from, what was taken and is not back yet."""
    out = shelf.lots_out(job_id)
    lots = sorted((shelf.lots[key] for key in out), key=lambda lot: (lot.goods, lot.place))
    return tuple(
        BackLine(lot.id, lot.goods.shown_item, lot.goods.shown_shade, lot.place, out[lot.id])
        for lot in lots
    )


def job_line(row: JobRow, plan: Plan | None, shelf: Shelf) -> JobLine:
    """A job, and how far it is provided for; without a plan, what it has taken."""
    promised = {
        goods: count for (goods, job), count in shelf.promised(dt.date.max).items() if job == row.id
    }
    return JobLine(
        row.id,
        row.title,
        shown_day(row.date),
        sum(needs_by_goods(plan, shelf).values()) if plan is not None else 0,
        sum(promised.values()),
        sum(shelf.taken_by(row.id).values()),
        plan is not None,
        new_id(),
    )


def happenings(rows: Iterable[StockMovementRow]) -> tuple[Happening, ...]:
    """The history, newest first; what leaves the shelf with a minus."""
    leaving = {kind.value for kind in LEAVES}
    return tuple(
        Happening(
            moment(row.at),
            row.kind,
            -row.quantity if row.kind in leaving else row.quantity,
            row.actor,
            row.note,
        )
        for row in rows
    )
