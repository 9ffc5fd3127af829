"""Addresses of "did it pay?"."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner
from airwright.desk.design import views
from airwright.desk.outcome import service
from airwright.desk.outcome.contexts import Entry, PaidPage
from airwright.desk.outcome.forms import KIND_WORDS, entry_of
from airwright.desk.pages import hours, money, render
from airwright.store.actuals import Actuals
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
    studio = evaluation.studio if evaluation.plan is None else evaluation.plan.studio
    beside, verdict = service.beside(planned, taken, studio.pricing.labour_rate, currency)
    return render(
        context,
        PaidPage(
            job=views.job_bar(row, "outcome"),
            currency=currency,
            entries=tuple(_entry(actual, currency) for actual in rows),
            beside=beside,
            verdict=verdict,
            kinds=tuple(KIND_WORDS.items()),
        ),
    )


def _entry(row: Actual, currency: str) -> Entry:
    amount = hours(float(row.amount)) if row.kind == "hours" else money(row.amount, currency)
    return Entry(row.id, KIND_WORDS.get(row.kind, row.kind), row.what, amount, row.actor, row.at)


@router.post("/jobs/{job_id}/outcome")
def write_down(job_id: str, context: ByOwner) -> Response:
    """Write one thing down."""
    kind, what, amount = entry_of(context)
    with context.writing() as session:
        Jobs(session).get(job_id)
        Actuals(session).add(job_id, kind, what, amount, context.actor.name)
    return RedirectResponse(f"/jobs/{job_id}/outcome?said=saved", 303)


@router.post("/jobs/{job_id}/outcome/{actual_id}/strike")
def strike_out(job_id: str, actual_id: str, context: ByOwner) -> Response:
    """Strike one thing out."""
    with context.writing() as session:
        Actuals(session).drop(job_id, actual_id)
    return RedirectResponse(f"/jobs/{job_id}/outcome?said=saved", 303)
