"""Addresses of the call."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByDesigner, RequestContext
from airwright.desk.book_buying import added_by
from airwright.desk.editing.builder import price_band
from airwright.desk.enquiry import service
from airwright.desk.enquiry.contexts import DesignLine, EnquiryPage, OrderPage
from airwright.desk.enquiry.forms import Call, read_call
from airwright.desk.job_changes import start
from airwright.desk.pages import about, render
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import SavedDesign
from airwright.units import System

router = APIRouter()


@router.get("/enquiry")
def blank(context: ByDesigner) -> Response:
    """An empty form."""
    rows, _ = _offered(context)
    return render(context, _page(context, rows, None, ""))


@router.post("/enquiry/band")
def band(context: ByDesigner) -> Response:
    """The price band of what is ticked so far."""
    rows, studio_text = _offered(context)
    call = read_call(context, context.desk.settings.today(), _system(context, studio_text))
    return render(context, _page(context, rows, call, studio_text))


@router.post("/enquiry/order")
def order(context: ByDesigner) -> Response:
    """What the job would add to the orders for all jobs ahead."""
    rows, studio_text = _offered(context)
    call = read_call(context, context.desk.settings.today(), _system(context, studio_text))
    words = ""
    if call.wanted and call.date is not None and context.actor.sees_price:
        plan = service.thought_of(context.desk.builder, rows, call, studio_text)
        found = None if plan is None else added_by(context, plan)
        words = "" if found is None else service.order_words(*found)
    return render(context, OrderPage(words))


@router.post("/enquiry")
def take(context: ByDesigner) -> Response:
    """Write the call into the jobs."""
    rows, studio_text = _offered(context)
    call = read_call(context, context.desk.settings.today(), _system(context, studio_text))
    if call.wrong:
        return render(context, _page(context, rows, call, studio_text), status=422)
    studio = context.desk.builder.studio(studio_text)
    text = service.job_text(call, rows, studio, call.wanted)
    with context.writing() as session:
        row, _ = start(context.desk.builder, Jobs(session), studio_text, text, context.actor.name)
        row.stage = "drawn" if call.wanted else "call"
        job_id = row.id
    return RedirectResponse(f"/jobs/{job_id}?said=started", 303)


def _offered(context: RequestContext) -> tuple[list[SavedDesign], str]:
    with context.reading() as session:
        studio_text = StudioFile(session).get()[0]
        rows = service.offered(Designs(session), context.desk.builder, studio_text)
    return rows, studio_text


def _system(context: RequestContext, studio_text: str) -> System:
    return context.desk.builder.studio(studio_text).studio.units


def _page(
    context: RequestContext, rows: list[SavedDesign], call: Call | None, studio_text: str
) -> EnquiryPage:
    wanted = call.wanted if call else {}
    builder = context.desk.builder
    words, note = service.band(builder, rows, call, studio_text) if call else ("", "")
    return EnquiryPage(
        title=context.text("title"),
        client=context.text("client"),
        contact=context.text("contact"),
        date=context.text("date"),
        guests=context.text("guests"),
        strike=context.text("strike"),
        venue=context.text("venue"),
        drive=context.text("drive"),
        budget=context.text("budget"),
        note=context.text("note"),
        designs=tuple(_line(row, wanted.get(row.id, 0)) for row in rows),
        band=words,
        band_note=note,
        wrong=call.wrong if call else (),
    )


def _line(row: SavedDesign, wanted: int) -> DesignLine:
    low, high = price_band(row.price) if row.price is not None else (None, None)
    return DesignLine(
        row.id,
        row.name,
        row.kind,
        row.balloons,
        about(low, row.currency),
        about(high, row.currency),
        wanted,
    )
