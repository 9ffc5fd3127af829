"""What to buy for the jobs in the book: needs, shelf and suppliers brought together."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.job.findings import Finding
from airwright.job.studio import House
from airwright.language import message
from airwright.operations.buying.answer import Order
from airwright.operations.buying.needs_file import (
    in_horizon,
    less_taken,
    needs_of,
    shade_colours,
)
from airwright.operations.buying.report import Report, gather_colours, report
from airwright.operations.buying.supplier_file import (
    SuppliersFile,
    read_suppliers,
    suppliers_of,
)
from airwright.operations.buying.values import Question, Swap
from airwright.operations.goods import Goods, same_name
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.order.make import order_papers
from airwright.papers.order.model import sheets_of
from airwright.plan.values import Plan
from airwright.store.jobs import Jobs, Stage
from airwright.store.purchases import Purchases, Suppliers
from airwright.store.shade_swaps import ShadeSwaps
from airwright.store.stock import Stock
from airwright.store.tables import JobRow

SURE: Final[tuple[Stage, ...]] = ("accepted", "booked")
WISHED: Final[tuple[Stage, ...]] = ("drawn", "offered")
SECONDS: Final = 5.0
"""Time a page may take to prove its orders; what is found by then is shown with its gap."""

MOST_JOBS: Final = 60


@dataclass(frozen=True, slots=True)
class Bought:
    """What a page of buying shows.

    Attributes:
        report: orders and all that belongs to them.
        jobs, left_out: titles of jobs bought for, and of those that cannot be planned.
        house: who orders.
        mails: supplier's name → address.
        job_ids: title of a job bought for → the jobs of that title.
        ticked: substitutes that may be taken.
    """

    report: Report
    jobs: tuple[str, ...]
    left_out: tuple[str, ...]
    house: House
    mails: dict[str, str]
    job_ids: dict[str, tuple[str, ...]]
    ticked: tuple[Ticked, ...]


@dataclass(frozen=True, slots=True)
class Ticked:
    """A substitute that somebody ticked for a job."""

    id: str
    job: str
    goods: Goods
    instead: Goods
    by: str


def price_lists(text: str) -> SuppliersFile | None:
    """The suppliers' file, if there is a good one."""
    return _read(text)


@lru_cache(maxsize=4)
def _read(text: str) -> SuppliersFile | None:
    return read_suppliers(text.encode()).table if text else None


def buy_for_the_book(context: RequestContext, horizon: int, *, wished: bool) -> Bought | None:
    """Orders for all jobs in the horizon; None without suppliers.

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
    plans = [plan for _, plan in planned]
    left_out = tuple(row.title for row, found in evaluated if found.plan is None)
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
    colours, odd = gather_colours(_colours(plans, table))
    made = _report(question, tuple(sorted(colours.items())), (*found, *odd))
    house = evaluated[0][1].studio.studio if evaluated else House()
    return Bought(
        made,
        tuple(dict.fromkeys(need.job for need in kept)),
        left_out,
        house,
        {one.name: one.mail for one in table.suppliers},
        {title: tuple(r.id for r in rows if r.title == title) for title in {r.title for r in rows}},
        ticked,
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


def _colours(plans: list[Plan], table: SuppliersFile) -> list[tuple[Goods, str]]:
    found = [row for plan in plans for row in shade_colours(plan)]
    return found + [
        (Goods.named(offer.item, offer.shade), offer.colour)
        for supplier in table.suppliers
        for offer in supplier.offers
        if offer.shade is not None and offer.colour is not None
    ]


@lru_cache(maxsize=8)
def _report(
    question: Question, colours: tuple[tuple[Goods, str], ...], findings: tuple[Finding, ...]
) -> Report:
    """The answer to a question that was asked before is the same."""
    return report(question, colours=dict(colours), findings=findings, seconds=SECONDS)


def mark_of(order: Order) -> str:
    """Stands for an order's content, so that only what was seen is sent."""
    return fingerprint(order)


def order_marked(bought: Bought | None, mark: str) -> Order:
    """The order that was seen. Raises EditError when it has changed since."""
    for order in bought.report.answer.orders if bought is not None else ():
        if mark_of(order) == mark:
            return order
    raise EditError(
        message("This order has changed since the page was made."),
        message("Look at the new orders, then go on."),
    )


def papers_for(bought: Bought, order: Order) -> tuple[Paper, ...]:
    """PDF, mail and CSV of an order."""
    (sheet,) = sheets_of(bought.report.question, (order,), bought.house, bought.mails)
    return order_papers(sheet, bought.house)


def purchase_key(order: Order, today: dt.date) -> str:
    """The same order sent twice on one day is one order."""
    return hashlib.sha256(f"{today}|{mark_of(order)}".encode()).hexdigest()[:40]
