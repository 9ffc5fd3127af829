"""Addresses of the shelf."""

from __future__ import annotations

from typing import Annotated
from urllib.parse import quote

from fastapi import APIRouter, Query
from sqlalchemy.orm import Session
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext, SignedIn
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import render
from airwright.desk.stock import service
from airwright.desk.stock.contexts import (
    BackPage,
    CountPage,
    HistoryPage,
    JobsPage,
    StockPage,
)
from airwright.desk.stock.forms import (
    MOVES,
    brought_back,
    day_or_none,
    goods_named,
    kind_named,
    paid_or_none,
    whole,
)
from airwright.desk.stock.helium import router as helium_router
from airwright.desk.stock_entry import AHEAD, needs_by_goods, said
from airwright.desk.stock_entry import reserve as give
from airwright.language import message
from airwright.operations.goods import Goods
from airwright.plan.values import Plan
from airwright.store.jobs import Jobs
from airwright.store.purchases import Purchases, Suppliers
from airwright.store.stock import Said, Stock
from airwright.store.tables import JobRow
from airwright.store.types import new_id

router = APIRouter()
router.include_router(helium_router)

Word = Annotated[str, Query(max_length=120)]


@router.get("/stock")
def shelf(context: SignedIn) -> Response:
    """What is on the shelf, promised, free and on its way."""
    today = context.desk.settings.today()
    with context.reading() as session:
        found = Stock(session).shelf(Purchases(session).expected())
        text, _ = Suppliers(session).get()
    old = [
        (
            message(
                "{n} of {goods} were good until {day}",
                n=count,
                goods=str(lot.goods),
                day=shown_day(lot.good_until),
            )
            if lot.good_until < today
            else message(
                "{n} of {goods} are good until {day}",
                n=count,
                goods=str(lot.goods),
                day=shown_day(lot.good_until),
            )
        )
        for lot, count in found.ageing(today, service.SOON_DAYS)
        if lot.good_until is not None
    ]
    page = StockPage(
        goods=service.goods_lines(found, today),
        value=found.value(today) if context.actor.sees_cost else None,
        currency=_currency(text),
        old=tuple(old),
        key=new_id(),
    )
    return render(context, page)


def _currency(text: str) -> str:
    from airwright.operations.buying.supplier_file import read_suppliers

    table = read_suppliers(text.encode()).table if text else None
    return "USD" if table is None else table.currency


@router.post("/stock/lots")
def add(context: ByDesigner) -> Response:
    """Something came without an order, or lies there already."""
    goods, quantity = goods_named(context), whole(context, "quantity")
    paid = paid_or_none(context)
    with context.writing() as session:
        Stock(session).add_lot(
            goods,
            quantity,
            said(context),
            place=context.text("place", 60),
            each=None if paid is None else paid / quantity,
            keeps_until=day_or_none(context, "good_until"),
            opened=context.text("opened") == "yes",
            condition=context.text("condition", 200),
        )
    return RedirectResponse("/stock?said=saved", 303)


@router.get("/stock/count")
def count_page(context: SignedIn, place: Word = "", code: Word = "") -> Response:
    """Count, shelf by shelf, or what a bar code says."""
    today = context.desk.settings.today()
    code = code.replace("\0", "").strip()
    with context.reading() as session:
        stock = Stock(session)
        found = stock.shelf()
        meaning = stock.meaning(code) if code else None
    goods = None if meaning is None else [Goods.named(meaning.item, meaning.shade)]
    lots = service.lot_lines(found, today, goods)
    places = sorted({lot.place for lot in lots if lot.place})
    if place:
        lots = tuple(lot for lot in lots if lot.place == place)
    known = sorted({(lot.goods.shown_item, lot.goods.shown_shade) for lot in found.lots.values()})
    page = CountPage(
        lots=lots,
        places=tuple(places),
        place=place,
        code=code,
        unknown=bool(code) and meaning is None,
        items=tuple(known),
    )
    return render(context, page)


@router.post("/stock/lots/{lot_id}/count")
def count(lot_id: str, context: SignedIn) -> Response:
    """What was counted of a lot; the difference is saved."""
    seen = whole(context, "seen", 0)
    with context.writing() as session:
        Stock(session).count(lot_id, seen, said(context))
    place = quote(context.text("place", 60))
    return RedirectResponse(f"/stock/count?place={place}&said=saved", 303)


@router.post("/stock/codes")
def tie(context: ByDesigner) -> Response:
    """What a bar code means."""
    code, word = context.text("code", 60), context.text("goods", 200)
    item, _, shade = word.partition("|")
    if not code or not item:
        raise EditError(
            message("Code or goods are missing."), message("Choose what the code stands for.")
        )
    with context.writing() as session:
        Stock(session).tie_code(code, Goods.named(item, shade), 1)
    return RedirectResponse(f"/stock/count?code={quote(code)}&said=saved", 303)


@router.get("/stock/goods")
def history(context: SignedIn, item: Word, shade: Word = "") -> Response:
    """One goods: its lots and all that happened."""
    today = context.desk.settings.today()
    with context.reading() as session:
        stock = Stock(session)
        found = stock.shelf()
        rows = stock.history(item.replace("\0", ""), shade.replace("\0", ""))
    page = HistoryPage(
        item=item,
        shade=shade,
        lots=service.lot_lines(found, today, [Goods.named(item, shade)]),
        happenings=service.happenings(rows),
        kinds=tuple((kind.value, words) for kind, words in MOVES),
    )
    return render(context, page)


@router.post("/stock/lots/{lot_id}/move")
def move(lot_id: str, context: SignedIn) -> Response:
    """Something happened to a lot."""
    kind, quantity = kind_named(context), whole(context, "quantity")
    with context.writing() as session:
        stock = Stock(session)
        row = stock.lot(lot_id)
        stock.move(lot_id, kind, quantity, said(context), note=context.text("note", 200))
        item, shade = row.item, row.shade
    return RedirectResponse(f"/stock/goods?item={quote(item)}&shade={quote(shade)}&said=saved", 303)


@router.post("/stock/lots/{lot_id}/condition")
def condition(lot_id: str, context: SignedIn) -> Response:
    """What is wrong with hardware, or nothing any more."""
    with context.writing() as session:
        stock = Stock(session)
        row = stock.lot(lot_id)
        stock.describe(lot_id, context.text("condition", 200), said(context))
        item, shade = row.item, row.shade
    return RedirectResponse(f"/stock/goods?item={quote(item)}&shade={quote(shade)}&said=saved", 303)


@router.get("/stock/jobs")
def jobs(context: SignedIn, lacking: Annotated[list[str] | None, Query()] = None) -> Response:
    """The shelf for the jobs ahead."""
    today = context.desk.settings.today()
    with context.reading() as session:
        book = Jobs(session)
        rows = [row for stage in AHEAD for row in book.search("", stage, today=today, limit=60)]
        found = Stock(session).shelf()
        planned = [(row, context.evaluate(row, session).plan) for row in rows]
        known = {row.id for row in rows}
        past = [book.get(job) for job in sorted(found.jobs_out() - known) if found.lots_out(job)]
    lines = [service.job_line(row, plan, found) for row, plan in planned if plan is not None]
    lines += [service.job_line(row, None, found) for row in past]
    told = tuple(word.replace("\0", "")[:200] for word in (lacking or [])[:40])
    return render(context, JobsPage(jobs=tuple(lines), lacking=told))


@router.post("/stock/jobs/{job_id}/reserve")
def reserve(job_id: str, context: ByDesigner) -> Response:
    """Promise a job what it needs, as far as it is not promised or taken yet."""
    with context.writing() as session:
        row = Jobs(session).get(job_id, locked=True)
        plan = _planned(context, row, session)
        give(Stock(session), job_id, plan, said(context), firm=row.stage in AHEAD)
    return RedirectResponse("/stock/jobs?said=saved", 303)


@router.post("/stock/jobs/{job_id}/take")
def take(job_id: str, context: SignedIn) -> Response:
    """Take for packing what a job needs, what ages first in front; what lacks is told."""
    lacking = []
    with context.writing() as session:
        row = Jobs(session).get(job_id, locked=True)
        plan = _planned(context, row, session)
        stock = Stock(session)
        found = stock.shelf()
        taken, word = found.taken_by(job_id), said(context)
        for goods, count in needs_by_goods(plan, found).items():
            cause = Said(f"{word.key}:{goods.item}:{goods.shade}"[:100], word.actor, word.day)
            left = stock.take(goods, max(0, count - taken.get(goods, 0)), job_id, cause)
            lacking += [f"{left} of {goods}"] if left else []
    query = "".join(f"&lacking={quote(words)}" for words in lacking[:40])
    return RedirectResponse(f"/stock/jobs?said=saved{query}", 303)


@router.get("/stock/jobs/{job_id}/back")
def back_page(job_id: str, context: SignedIn) -> Response:
    """What a job took, to write down what comes back of it."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        found = Stock(session).shelf()
    page = BackPage(job_id, row.title, service.back_lines(found, job_id), new_id())
    return render(context, page)


@router.post("/stock/jobs/{job_id}/back")
def bring_back(job_id: str, context: SignedIn) -> Response:
    """What came back; a second press of the same page changes nothing."""
    word, counts = said(context), brought_back(context)
    with context.writing() as session:
        Jobs(session).get(job_id, locked=True)
        stock = Stock(session)
        for lot, count in counts.items():
            stock.bring_back(job_id, lot, count, Said(f"{word.key}:{lot}", word.actor, word.day))
    return RedirectResponse("/stock/jobs?said=saved", 303)


def _planned(context: RequestContext, row: JobRow, session: Session) -> Plan:
    plan = context.evaluate(row, session).plan
    if plan is None:
        raise EditError(
            message("This job has errors and cannot be planned."), message("Fix them first.")
        )
    return plan
