"""Addresses of buying."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from urllib.parse import urlencode

from fastapi import APIRouter
from markupsafe import Markup
from sqlalchemy.orm import Session
from starlette.concurrency import run_in_threadpool
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext, SignedIn
from airwright.desk.buying import price_lists, service
from airwright.desk.buying.contexts import (
    BuyingPage,
    OrderCard,
    ParcelLine,
    PurchaseLine,
    PurchasePage,
    ShortLine,
    SubstituteLine,
    TickedLine,
)
from airwright.desk.buying.forms import (
    STATE_WORDS,
    WISH_WORDS,
    Asked,
    View,
    packs_by_line,
    paid_by_line,
    state_named,
    view_sent,
)
from airwright.desk.buying.suppliers import router as suppliers_router
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import money, render
from airwright.desk.stock_entry import said
from airwright.language import joined, message
from airwright.operations.buying.price_list import PaidLine, with_price
from airwright.operations.buying.substitutes import Substitute
from airwright.operations.goods import Goods
from airwright.papers.order.charts import saving_chart, stock_chart
from airwright.store.purchases import OPEN, Purchases, Suppliers
from airwright.store.purchases import PurchaseLine as KeptLine
from airwright.store.shade_swaps import ShadeSwaps
from airwright.store.stock_tables import PurchaseRow
from airwright.store.types import new_id

router = APIRouter()
router.include_router(suppliers_router)

TYPES = {
    "pdf": "application/pdf",
    "eml": "message/rfc822",
    "csv": "text/csv; charset=utf-8",
}


@router.get("/buying")
def buying(context: ByDesigner, view: Asked) -> Response:
    """What to order for the jobs ahead, and what was ordered."""
    bought = service.buy_for_the_book(context, view)
    with context.reading() as session:
        purchases = tuple(_purchase(context, row) for row in Purchases(session).all())
    return render(context, _page(bought, purchases, view))


def _page(
    bought: service.Bought | None, purchases: tuple[PurchaseLine, ...], view: View
) -> BuyingPage:
    zero = Decimal(0)
    wishes = tuple((wish.value, word, wish in view.wishes) for wish, word in WISH_WORDS.items())
    planned_with = joined([word for _, word, ticked in wishes if ticked])
    if bought is None:
        return BuyingPage(
            ready=False, view=view.fields, kept_for=zero,
            wishes=wishes, planned_with=planned_with, currency="USD",
            jobs=(), left_out=(), orders=(), cost=zero, proven=True, gap=0.0,
            habit=None, parcels=0, saving=zero,
            left_over=(), substitutes=(), ticked=(), short=(), findings=(), stock_chart=Markup(),
            saving_chart=Markup(), purchases=purchases,
        )  # fmt: skip
    made = bought.report
    answer, habit = made.answer, made.habit
    whole = habit is not None and bool(habit.cost) and not habit.short and not answer.short
    needed = bool(made.question.needs)
    return BuyingPage(
        ready=True,
        view=view.fields,
        kept_for=answer.holding,
        wishes=wishes,
        planned_with=planned_with,
        currency=answer.currency,
        jobs=bought.jobs,
        left_out=bought.left_out,
        orders=tuple(OrderCard(order, service.mark_of(order)) for order in answer.orders),
        cost=answer.cost,
        proven=answer.proven,
        gap=100 * answer.gap,
        habit=habit.cost if habit is not None and whole else None,
        parcels=habit.parcels if habit is not None else 0,
        saving=habit.cost - answer.cost if habit is not None else zero,
        left_over=answer.left_over,
        substitutes=tuple(_substitute(bought, one) for one in made.substitutes),
        ticked=tuple(
            TickedLine(one.id, one.job, str(one.goods), one.instead.shown_shade, one.by)
            for one in bought.ticked
        ),
        short=tuple(ShortLine(one, made.remedies.get(one, ())) for one in answer.short),
        findings=tuple(one for one in made.findings if one.code != "short"),
        stock_chart=Markup(stock_chart(made)) if needed else Markup(),
        saving_chart=Markup(saving_chart(made)) if needed and whole else Markup(),
        purchases=purchases,
    )


def _substitute(bought: service.Bought, one: Substitute) -> SubstituteLine:
    done = {(tick.job, tick.goods, tick.instead) for tick in bought.ticked}
    open_jobs = [job for job in one.jobs if (job, one.goods, one.instead) not in done]
    jobs = tuple((key, job) for job in open_jobs for key in bought.job_ids.get(job, ()))
    return SubstituteLine(one, jobs)


@router.post("/buying/substitutes")
def tick(context: ByDesigner) -> Response:
    """The client agreed: a near shade may stand in for another in one job."""
    item, shade = context.text("item", 120), context.text("shade", 60)
    instead = context.text("instead", 60)
    if not (item and shade and instead) or shade == instead:
        raise EditError("It is not said which shade stands in for which.", "Load the page again.")
    with context.writing() as session:
        ShadeSwaps(session).tick(context.text("job", 16), item, shade, instead, context.actor.name)
    return RedirectResponse(f"/buying?said=saved{_same_view(context)}", 303)


@router.post("/buying/substitutes/{swap_id}/undo")
def untick(swap_id: str, context: ByDesigner) -> Response:
    """It may not after all."""
    with context.writing() as session:
        ShadeSwaps(session).untick(swap_id)
    return RedirectResponse(f"/buying?said=out{_same_view(context)}", 303)


def _same_view(context: RequestContext) -> str:
    return f"&{urlencode(view_sent(context).fields)}"


def _purchase(context: RequestContext, row: PurchaseRow) -> PurchaseLine:
    today = context.desk.settings.today()
    return PurchaseLine(
        row.id,
        row.supplier,
        shown_day(row.order_on),
        shown_day(row.arrives_on),
        STATE_WORDS.get(row.state, row.state),  # type: ignore[call-overload]
        row.state in OPEN and row.arrives_on < today,
    )


@router.post("/buying/orders")
def send(context: ByDesigner) -> Response:
    """An order was sent; it is on its way from now on."""
    bought = service.buy_for_the_book(context, view_sent(context))
    order = service.order_marked(bought, context.text("mark", 40))
    assert bought is not None
    today = context.desk.settings.today()
    with context.writing() as session:
        Purchases(session).place(
            order,
            bought.report.answer.currency,
            service.purchase_key(order, today),
            context.actor.name,
            sent_on=today,
        )
    return RedirectResponse(f"/buying?said=saved{_same_view(context)}", 303)


@router.get("/buying/orders/{mark}.{kind}")
def paper(mark: str, kind: str, context: ByDesigner, view: Asked) -> Response:
    """An order as PDF, mail or CSV."""
    bought = service.buy_for_the_book(context, view)
    order = service.order_marked(bought, mark)
    assert bought is not None
    for made in service.papers_for(bought, order):
        if made.path.endswith(f".{kind}") and kind in TYPES:
            head = {"content-disposition": f'attachment; filename="{made.path}"'}
            return Response(made.data, media_type=TYPES[kind], headers=head)
    raise EditError(message("There is no such paper."), message("Choose PDF, mail or CSV."))


@router.post("/buying/price-list")
async def price_list(context: ByDesigner) -> Response:
    """A supplier's own price list takes the place of the one before."""
    sent = context.file("file")
    data = b"" if sent is None else await sent.read(price_lists.LARGEST + 1)
    return await run_in_threadpool(price_lists.take_in, context, data)


@router.get("/buying/purchases/{purchase_id}")
def purchase(purchase_id: str, context: SignedIn) -> Response:
    """An order that was sent, and what came of it."""
    with context.reading() as session:
        purchases = Purchases(session)
        row = purchases.get(purchase_id)
        lines = purchases.lines(purchase_id)
        cost = purchases.cost(purchase_id)
    page = PurchasePage(
        purchase=_purchase(context, row),
        lines=tuple(
            ParcelLine(
                line.row.id, line.row.item, line.row.shade, line.row.pack, line.row.packs,
                line.received, line.open, money(line.row.price / line.row.packs, row.currency),
            )
            for line in lines
        ),
        cost=cost,
        currency=row.currency,
        is_open=row.state in OPEN,
        can_cancel=row.state in ("sent", "confirmed"),
        key=new_id(),
    )  # fmt: skip
    return render(context, page)


@router.post("/buying/purchases/{purchase_id}/receive")
def receive(purchase_id: str, context: SignedIn) -> Response:
    """A parcel came; a second press of the same page changes nothing."""
    packs = packs_by_line(context)
    with context.writing() as session:
        purchases = Purchases(session)
        row = purchases.get(purchase_id)
        paid = paid_by_line(context, row.currency)
        lines = purchases.lines(purchase_id)
        purchases.receive(purchase_id, packs, said(context), context.text("place", 60), paid)
        _learn(session, row, [line for line in lines if line.row.id in paid], paid)
    return RedirectResponse(f"/buying/purchases/{purchase_id}?said=saved", 303)


def _learn(
    session: Session,
    row: PurchaseRow,
    lines: Iterable[KeptLine],
    paid: Mapping[str, Decimal],
) -> None:
    """Put prices of a delivery note into the suppliers' file, where the old ones still stand."""
    text, version = Suppliers(session).get()
    learnt = text
    for line in lines:
        own = line.row
        goods = Goods.named(own.item, own.shade)
        note = PaidLine(goods, own.pack, own.price / own.packs, paid[own.id])
        learnt = with_price(learnt, row.supplier, note)
    if learnt != text:
        Suppliers(session).put(learnt, version)


@router.post("/buying/purchases/{purchase_id}/state")
def state(purchase_id: str, context: ByDesigner) -> Response:
    """Confirmed by the supplier, or cancelled."""
    with context.writing() as session:
        Purchases(session).change_state(purchase_id, state_named(context.text("state", 12)))
    return RedirectResponse(f"/buying/purchases/{purchase_id}?said=saved", 303)
