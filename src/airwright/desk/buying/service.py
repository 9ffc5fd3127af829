"""What to buy for the jobs in the book: needs, shelf and suppliers brought together."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from airwright.desk.access import RequestContext
from airwright.desk.book_buying import Ticked, book_question
from airwright.desk.buying.forms import View
from airwright.desk.editing.edits import EditError
from airwright.job.findings import Finding
from airwright.job.studio import House
from airwright.language import message
from airwright.operations.buying.answer import Order
from airwright.operations.buying.needs_file import shade_colours
from airwright.operations.buying.report import Report, gather_colours, report
from airwright.operations.buying.supplier_file import SuppliersFile
from airwright.operations.buying.values import Question
from airwright.operations.goods import Goods
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.order.make import order_papers
from airwright.papers.order.model import sheets_of
from airwright.plan.values import Plan

SECONDS: Final = 5.0
"""Time a page may take to prove its orders; what is found by then is shown with its gap."""


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


def buy_for_the_book(context: RequestContext, view: View) -> Bought | None:
    """Orders for all jobs of a view; None without suppliers."""
    found = book_question(context, view.horizon, wished=view.wished)
    if found is None:
        return None
    question = replace(found.question, holding=view.keeping / 100, wishes=view.wishes)
    colours, odd = gather_colours(_colours(list(found.plans), found.table))
    made = _report(question, tuple(sorted(colours.items())), (*found.findings, *odd))
    titles = {row.title for row in found.rows}
    return Bought(
        made,
        tuple(dict.fromkeys(need.job for need in found.question.needs)),
        found.left_out,
        found.house,
        {one.name: one.mail for one in found.table.suppliers},
        {title: tuple(row.id for row in found.rows if row.title == title) for title in titles},
        found.ticked,
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
