"""Entries in the stock's ledger that several areas make: who says them, and what jobs reserve."""

from __future__ import annotations

import datetime as dt
import logging
from typing import Final

from airwright.desk.access import RequestContext
from airwright.desk.state import Desk
from airwright.operations.buying.needs_file import needed_on, needs_of
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import Kind, Shelf
from airwright.plan.values import Plan
from airwright.store import StoreError
from airwright.store.jobs import Jobs, Stage
from airwright.store.stock import Said, Stock
from airwright.store.studio import StudioFile
from airwright.store.types import new_id

log = logging.getLogger("airwright.desk.stock")

AHEAD: Final[tuple[Stage, ...]] = ("accepted", "booked", "built")
"""Jobs that reserve firmly and may take from the shelf; those that are offered only wish."""


def said(context: RequestContext) -> Said:
    """Who says it, today, under the key the page gave, so that a second press changes nothing."""
    key = context.text("key", 60) or new_id()
    return Said(key, context.actor.name, context.desk.settings.today())


def needs_by_goods(plan: Plan, shelf: Shelf) -> dict[Goods, int]:
    """What a job needs from the shelf: its balloons, and what else is used up and lies there."""
    found: dict[Goods, int] = {}
    for need in needs_of(plan, {lot.goods.item for lot in shelf.lots.values()}):
        found[need.goods] = found.get(need.goods, 0) + need.quantity
    return found


def reserve(stock: Stock, job_id: str, plan: Plan, word: Said, *, firm: bool) -> None:
    """Promise a job what it needs and has not taken yet; what it needs no more is free again.

    Args:
        stock: the shelf.
        job_id, plan: of the job.
        word: who says it; the same cause counts once.
        firm: whether it is booked, or only wished for.
    """
    due = needed_on(plan.job)
    if not firm:
        free_again(stock, job_id, word)
    found = stock.shelf()
    kind = Kind.RESERVED if firm else Kind.WANTED
    needed = needs_by_goods(plan, found) if due >= word.day else {}
    promised, taken = _promised(found, job_id, kind), found.taken_by(job_id)
    for goods in dict.fromkeys((*needed, *promised)):
        held = promised.get(goods, 0)
        missing = needed.get(goods, 0) - held - taken.get(goods, 0)
        if missing > 0:
            stock.promise(job_id, goods, missing, due, _about(word, goods, "+"), firm=firm)
        elif held and missing < 0:
            less = min(held, -missing)
            stock.release(job_id, goods, less, _about(word, goods, "-"), firm=firm)


def free_again(stock: Stock, job_id: str, word: Said, *, soft: bool = False) -> None:
    """End what is firmly promised to a job, and with `soft` what is wished for it too."""
    for kind in (Kind.RESERVED, Kind.WANTED) if soft else (Kind.RESERVED,):
        for goods, count in _promised(stock.shelf(), job_id, kind).items():
            cause = _about(word, goods, kind.value)
            stock.release(job_id, goods, count, cause, firm=kind is Kind.RESERVED)


def _promised(shelf: Shelf, job_id: str, kind: Kind) -> dict[Goods, int]:
    found = shelf.promised(dt.date.max, kind)
    return {goods: count for (goods, job), count in found.items() if job == job_id}


def _about(word: Said, goods: Goods, what: str) -> Said:
    """The same cause, for one goods."""
    key = f"{word.key}:{what}:{goods.item}:{goods.shade}"[:120]
    return Said(key, word.actor, word.day)


def reserve_by_stage(desk: Desk, job_id: str, actor: str) -> None:
    """Reserve for a job as its stage says: firmly once accepted, softly while it is offered.

    In every other stage nothing is promised to it. What keeps it from being done is logged; the
    stage stands without it.
    """
    try:
        with desk.database.reading() as session:
            row = Jobs(session).get(job_id)
            stage, text = row.stage, row.text
            studio_text = StudioFile(session).get()[0]
            if not Stock(session).in_use():
                return  # a studio that keeps no stock here promises nothing
        reserves = stage in (*AHEAD, "offered")
        plan = desk.builder.evaluate(text, studio_text).plan if reserves else None
        if reserves and plan is None:
            return
        word = Said(f"{stage}:{job_id}:{new_id()}", actor, desk.settings.today())
        with desk.database.writing() as session:
            Jobs(session).get(job_id, locked=True)
            if plan is None:
                free_again(Stock(session), job_id, word, soft=True)
            else:
                reserve(Stock(session), job_id, plan, word, firm=stage in AHEAD)
    except StoreError as problem:
        log.warning("nothing was reserved: %s", problem.what)
