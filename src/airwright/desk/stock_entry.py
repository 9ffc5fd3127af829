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
    """Promise a job what it needs, as far as it is not promised or taken yet.

    Args:
        stock: the shelf.
        job_id, plan: of the job.
        word: who says it; the same cause counts once.
        firm: whether it is booked, or only wished for.
    """
    found = stock.shelf()
    kind = Kind.RESERVED if firm else Kind.WANTED
    promised, taken = found.promised(dt.date.max, kind), found.taken_by(job_id)
    for goods, count in needs_by_goods(plan, found).items():
        missing = count - promised.get((goods, job_id), 0) - taken.get(goods, 0)
        cause = Said(f"{word.key}:{goods.item}:{goods.shade}"[:120], word.actor, word.day)
        stock.promise(job_id, goods, missing, needed_on(plan.job), cause, firm=firm)


def reserve_by_stage(desk: Desk, job_id: str, actor: str) -> None:
    """Reserve for a job as its stage says: firmly once accepted, softly while it is offered.

    What keeps it from being done is logged; the stage stands without it.
    """
    try:
        with desk.database.reading() as session:
            row = Jobs(session).get(job_id)
            stage, version, text = row.stage, row.version, row.text
            studio_text = StudioFile(session).get()[0]
            if not Stock(session).in_use():
                return  # a studio that keeps no stock here promises nothing
        plan = desk.builder.evaluate(text, studio_text).plan
        if plan is None or stage not in (*AHEAD, "offered"):
            return
        word = Said(f"{stage}:{job_id}:{version}", actor, desk.settings.today())
        with desk.database.writing() as session:
            Jobs(session).get(job_id, locked=True)
            reserve(Stock(session), job_id, plan, word, firm=stage in AHEAD)
    except StoreError as problem:
        log.warning("nothing was reserved: %s", problem.what)
