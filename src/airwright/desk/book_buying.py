"""What is to be bought for the jobs in the book: needs, shelf and suppliers brought together."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.job.findings import Finding
from airwright.job.studio import House
from airwright.operations.buying.answer import Answer
from airwright.operations.buying.buying import buy
from airwright.operations.buying.needs_file import in_horizon, less_taken, needed_on, needs_of
from airwright.operations.buying.supplier_file import (
    SuppliersFile,
    old_lists,
    read_suppliers,
    suppliers_of,
)
from airwright.operations.buying.values import Need, Question, Swap
from airwright.operations.buying.what_if import Added, what_it_adds
from airwright.operations.goods import Goods, same_name
from airwright.plan.values import Plan
from airwright.store.jobs import Jobs, Stage
from airwright.store.purchases import Purchases, Suppliers
from airwright.store.shade_swaps import ShadeSwaps
from airwright.store.stock import Stock
from airwright.store.tables import JobRow

SURE: Final[tuple[Stage, ...]] = ("accepted", "booked")
WISHED: Final[tuple[Stage, ...]] = ("drawn", "offered")
MOST_JOBS: Final = 60
HORIZON: Final = 60
"""Days ahead that are bought for, unless said."""

THINKING_S: Final = 2.0
"""Time a call may take to say what it adds."""


@dataclass(frozen=True, slots=True)
class Ticked:
    """A substitute that somebody ticked for a job."""

    id: str
    job: str
    goods: Goods
    instead: Goods
    by: str


@dataclass(frozen=True, slots=True)
class BookQuestion:
    """What is to be bought, and where it comes from.

    Attributes:
        question: needs of the horizon, suppliers, shelf.
        table: the suppliers' file.
        rows, plans: jobs of the horizon, and plans of those that can be planned.
        left_out: titles of those that cannot.
        house: who orders.
        sold: items that somebody sells or that lie on the shelf.
        ticked: substitutes that may be taken.
        findings: needs too early or too late to be bought for.
    """

    question: Question
    table: SuppliersFile
    rows: tuple[JobRow, ...]
    plans: tuple[Plan, ...]
    left_out: tuple[str, ...]
    house: House
    sold: frozenset[str]
    ticked: tuple[Ticked, ...]
    findings: tuple[Finding, ...]


def price_lists(text: str) -> SuppliersFile | None:
    """The suppliers' file, if there is a good one."""
    return _read(text)


@lru_cache(maxsize=4)
def _read(text: str) -> SuppliersFile | None:
    return read_suppliers(text.encode()).table if text else None


def book_question(context: RequestContext, horizon: int, *, wished: bool) -> BookQuestion | None:
    """What to buy for all jobs in the horizon; None without suppliers.

    Args:
        context: who asks.
        horizon: days ahead.
        wished: whether jobs that are only drawn or offered count too.
    """
    today = context.desk.settings.today()
    with context.reading() as session:
        table = _read(Suppliers(session).get()[0])
        if table is None:
            return None
        stages = (*SURE, *WISHED) if wished else SURE
        jobs = Jobs(session)
        rows = [
            row
            for stage in stages
            for row in jobs.search("", stage, today=today, limit=MOST_JOBS)
            if row.date is not None and today <= row.date <= today + dt.timedelta(days=horizon + 7)
        ]
        evaluated = [(row, context.evaluate(row, session)) for row in rows]
        shelf = Stock(session).shelf(Purchases(session).expected())
        ticked = _ticked(session, rows)
    lots = shelf.free_lots(today, frozenset(row.id for row in rows))
    planned = [(row, found.plan) for row, found in evaluated if found.plan is not None]
    sold = {same_name(offer.item) for one in table.suppliers for offer in one.offers}
    sold |= {lot.goods.item for lot in lots}
    needs = [
        need
        for row, plan in planned
        for need in less_taken(needs_of(plan, sold), shelf.taken_by(row.id))
    ]
    kept, found = in_horizon(needs, today, horizon)
    question = Question(
        kept, suppliers_of(table), table.currency, today, lots,
        swaps=tuple(Swap(one.goods, one.instead, one.job) for one in ticked),
    )  # fmt: skip
    return BookQuestion(
        question=question,
        table=table,
        rows=tuple(rows),
        plans=tuple(plan for _, plan in planned),
        left_out=tuple(row.title for row, found in evaluated if found.plan is None),
        house=evaluated[0][1].studio.studio if evaluated else House(),
        sold=frozenset(sold),
        ticked=ticked,
        findings=(*found, *old_lists(table, today)),
    )


def _ticked(session: Session, rows: Iterable[JobRow]) -> tuple[Ticked, ...]:
    titles = {row.id: row.title for row in rows}
    return tuple(
        Ticked(
            one.id,
            titles[one.job_id],
            Goods.named(one.item, one.shade),
            Goods.named(one.item, one.instead),
            one.made_by,
        )
        for one in ShadeSwaps(session).all()
        if one.job_id in titles
    )


def added_by(context: RequestContext, plan: Plan) -> tuple[Added, str] | None:
    """What a job that is only thought of adds to the orders ahead, and the currency of it.

    None without suppliers, or where its day has passed already.
    """
    today = context.desk.settings.today()
    days = (needed_on(plan.job) - today).days
    book = book_question(context, max(HORIZON, days), wished=False) if days >= 0 else None
    if book is None:
        return None
    further = needs_of(plan, book.sold, plan.job.job.title)
    return _added(book.question, further), book.question.currency


@lru_cache(maxsize=32)
def _added(question: Question, further: tuple[Need, ...]) -> Added:
    return what_it_adds(question, _answer(question), further, THINKING_S)


@lru_cache(maxsize=8)
def _answer(question: Question) -> Answer:
    """The orders without it: the same however a call goes on."""
    return buy(question, THINKING_S)
