"""Addresses of "did it pay?"."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, SignedIn
from airwright.desk.editing.edits import EditError
from airwright.desk.outcome import seasons, service
from airwright.desk.outcome.contexts import Entry, ResultPage, SeasonPage
from airwright.desk.outcome.forms import KIND_WORDS, entry_of, kinds, receipt_of
from airwright.desk.page_heads import job_bar
from airwright.desk.pages import money, render
from airwright.language import message
from airwright.language.figures import said_hours
from airwright.store.actuals import Actuals
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.tables import Actual

router = APIRouter()


@router.get("/jobs/{job_id}/outcome")
def paid(job_id: str, context: ByOwner) -> Response:
    """Planned beside actual."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        evaluation = context.evaluate(row, session)
        rows = Actuals(session).of_job(job_id)
        planned = service.planned_of(session, job_id, evaluation.plan)
        currency = row.currency if planned is None else planned.currency
        taken = service.taken_of(session, job_id, rows, currency)
        agreed = Editions(session).accepted_of(job_id) is not None
    studio = evaluation.studio if evaluation.plan is None else evaluation.plan.studio
    beside, verdict = service.beside(
        planned, taken, studio.pricing.labour_rate, currency, settled=row.stage == "settled"
    )
    return render(
        context,
        ResultPage(
            job=job_bar(row, "outcome"),
            currency=currency,
            entries=tuple(_entry(actual, currency) for actual in rows),
            beside=beside,
            verdict=verdict,
            kinds=tuple(kinds(agreed).items()),
        ),
    )


@router.post("/jobs/{job_id}/outcome/as-planned")
def as_planned(job_id: str, context: ByOwner) -> Response:
    """It went exactly as planned: hours, purchases and spending are written down so."""
    with context.writing() as session:
        row = Jobs(session).get(job_id)
        planned = service.planned_of(session, job_id, context.evaluate(row, session).plan)
        actuals = Actuals(session)
        held = {entry.kind for entry in actuals.of_job(job_id)}
        for kind, amount in service.as_planned(planned) if planned is not None else ():
            if kind not in held and amount > 0:
                actuals.add(job_id, kind, "as planned", amount, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/outcome?said=saved", 303)


@router.post("/jobs/{job_id}/hours")
def worked(job_id: str, context: SignedIn) -> Response:
    """Hours by a tap, on the day: a quarter, a half or a whole hour of whoever taps."""
    amount = {"15": "0.25", "30": "0.5", "60": "1"}.get(context.text("minutes", 4))
    if amount is None:
        raise EditError(
            message("There is no such length of time."), message("Tap one of the buttons.")
        )
    with context.writing() as session:
        Jobs(session).get(job_id)
        who = context.actor.name
        Actuals(session).add(job_id, "hours", who, Decimal(amount), who)
    return RedirectResponse(f"/jobs/{job_id}/day?said=saved", 303)


@router.post("/jobs/{job_id}/bought")
def bought(job_id: str, context: SignedIn) -> Response:
    """Something bought or paid on the day, by whoever has the receipt in hand."""
    with context.writing() as session:
        currency = Jobs(session).get(job_id).currency
        kind, what, amount = receipt_of(context, currency)
        Actuals(session).add(job_id, kind, what, amount, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/day?said=saved", 303)


@router.post("/jobs/{job_id}/entries/{actual_id}/back")
def tapped_wrong(job_id: str, actual_id: str, context: SignedIn) -> Response:
    """Take back what one wrote down oneself."""
    with context.writing() as session:
        Actuals(session).drop(job_id, actual_id, of=context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/day?said=out", 303)


@router.get("/season")
def season(
    context: ByOwner, year: Annotated[int | None, Query(ge=1990, le=2200)] = None
) -> Response:
    """What a season earned by kind of piece, client and month."""
    chosen = year if year is not None else context.desk.settings.today().year
    with context.reading() as session:
        found = seasons.finished_jobs(context, session, chosen)
        years = seasons.years(session)
    shown = tuple(
        (
            code,
            len(jobs),
            money(sum((job.net for job in jobs), Decimal(0)), code),
            money(sum((job.net - job.cost for job in jobs), Decimal(0)), code),
            seasons.season(jobs, code),
        )
        for code, jobs in sorted(found.items())
    )
    return render(context, SeasonPage(chosen, tuple(dict.fromkeys((*years, chosen))), shown))


def _entry(row: Actual, currency: str) -> Entry:
    amount = said_hours(float(row.amount)) if row.kind == "hours" else money(row.amount, currency)
    return Entry(row.id, KIND_WORDS.get(row.kind, row.kind), row.what, amount, row.actor, row.at)


@router.post("/jobs/{job_id}/outcome")
def write_down(job_id: str, context: ByOwner) -> Response:
    """Write one thing down."""
    with context.reading() as session:
        row = Jobs(session).get(job_id)
        agreed = Editions(session).accepted_of(job_id) is not None
    kind, what, amount = entry_of(context, row.currency, agreed)
    with context.writing() as session:
        Actuals(session).add(job_id, kind, what, amount, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/outcome?said=saved", 303)


@router.post("/jobs/{job_id}/outcome/{actual_id}/strike")
def strike_out(job_id: str, actual_id: str, context: ByOwner) -> Response:
    """Strike one thing out."""
    with context.writing() as session:
        Actuals(session).drop(job_id, actual_id)
    return RedirectResponse(f"/jobs/{job_id}/outcome?said=saved", 303)
