"""Addresses of the call."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import Designing, Visit
from airwright.desk.bench.service import start
from airwright.desk.call import service
from airwright.desk.call.contexts import CallPage, DesignLine
from airwright.desk.call.forms import Call, read_call
from airwright.desk.live.builder import price_band
from airwright.desk.pages import about, render
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import SavedDesign

router = APIRouter()


@router.get("/call")
def blank(visit: Designing) -> Response:
    """An empty form."""
    with visit.reading() as session:
        rows = Designs(session).all()
    return render(visit, _page(visit, rows, None, ""))


@router.post("/call/band")
def band(visit: Designing) -> Response:
    """The price band of what is ticked so far."""
    with visit.reading() as session:
        rows = Designs(session).all()
        studio_text = StudioFile(session).get()[0]
    call = read_call(visit, visit.desk.settings.today())
    return render(visit, _page(visit, rows, call, studio_text))


@router.post("/call")
def take(visit: Designing) -> Response:
    """Write the call into the book."""
    call = read_call(visit, visit.desk.settings.today())
    with visit.reading() as session:
        rows = Designs(session).all()
        studio_text = StudioFile(session).get()[0]
    if call.wrong:
        return render(visit, _page(visit, rows, call, studio_text), status=422)
    currency = service.currency_of(rows, call.wanted)
    text = service.job_text(call, rows, currency, call.wanted)
    with visit.writing() as session:
        row, _ = start(visit.desk.builder, Jobs(session), studio_text, text, visit.actor.name)
        row.stage = "drawn" if call.wanted else "call"
        job_id = row.id
    return RedirectResponse(f"/jobs/{job_id}?said=started", 303)


def _page(visit: Visit, rows: list[SavedDesign], call: Call | None, studio_text: str) -> CallPage:
    wanted = call.wanted if call else {}
    builder = visit.desk.builder
    words, note = service.band(builder, rows, call, studio_text) if call else ("", "")
    return CallPage(
        title=visit.text("title"),
        client=visit.text("client"),
        contact=visit.text("contact"),
        date=visit.text("date"),
        guests=visit.text("guests"),
        strike=visit.text("strike"),
        venue=visit.text("venue"),
        drive=visit.text("drive"),
        budget=visit.text("budget"),
        note=visit.text("note"),
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
