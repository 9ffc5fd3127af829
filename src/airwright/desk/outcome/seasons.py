"""What a season earned: accepted jobs of a year by kind of piece, client and month."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.desk.outcome.contexts import SeasonGroup, SeasonRow
from airwright.desk.outcome.service import planned_of, taken_of
from airwright.desk.pages import money
from airwright.language import message
from airwright.language.figures import said_hours
from airwright.money.amount import ZERO
from airwright.money.outcome import Earned, Finished, by_client, by_kind, by_month, outcome
from airwright.papers.edition import Edition, read
from airwright.store.actuals import Actuals
from airwright.store.offer_tables import Acceptance, EditionRow
from airwright.store.tables import JobRow


def finished_jobs(
    context: RequestContext, session: Session, year: int
) -> dict[str, list[Finished]]:
    """Jobs of a year whose offer was accepted, by currency."""
    query = (
        select(JobRow, EditionRow, Acceptance)
        .join(EditionRow, EditionRow.job_id == JobRow.id)
        .join(Acceptance, Acceptance.edition_id == EditionRow.id)
        .order_by(JobRow.date, EditionRow.number)
    )
    newest = {job.id: (job, row, yes) for job, row, yes in session.execute(query)}
    found: dict[str, list[Finished]] = {}
    for job, row, yes in newest.values():
        edition = read(row.content)
        day = job.date or edition.date or row.made.date()
        if day.year != year:
            continue
        evaluation = context.evaluate(job, session)
        planned = planned_of(session, job.id, evaluation.plan)
        if planned is None:
            continue
        rows = Actuals(session).of_job(job.id)
        taken = taken_of(session, job.id, rows, planned.currency)
        result = outcome(planned, taken, evaluation.studio.pricing.labour_rate)
        found.setdefault(planned.currency, []).append(
            Finished(
                job.id, job.client, day, kinds_of(edition, yes.option), planned.net, result.cost,
                planned.hours if taken.hours is None else taken.hours,
            )
        )  # fmt: skip
    return found


def season(jobs: Sequence[Finished], currency: str) -> tuple[SeasonGroup, ...]:
    """A season by kind, client and month, each with its picture's widths."""
    return (
        _group(message("By kind of piece"), by_kind(jobs), currency),
        _group(message("By client"), by_client(jobs), currency),
        _group(message("By month"), by_month(jobs), currency),
    )


def _group(title: str, rows: Sequence[Earned], currency: str) -> SeasonGroup:
    most = max((max(row.net, row.cost) for row in rows), default=Decimal(1)) or Decimal(1)
    cent = Decimal("0.01")
    return SeasonGroup(
        title,
        tuple(
            SeasonRow(
                name=row.name.replace("_", " "),
                jobs=row.jobs,
                net=money(row.net.quantize(cent), currency),
                cost=money(row.cost.quantize(cent), currency),
                margin=money(row.margin.quantize(cent), currency),
                hours=said_hours(float(row.hours)),
                net_width=round(300 * row.net / most),
                cost_width=round(300 * row.cost / most),
                lost=row.margin < 0,
            )
            for row in rows
        ),
    )


def years(session: Session) -> tuple[int, ...]:
    """Years that have accepted jobs, newest first."""
    query = select(JobRow.date).join(EditionRow, EditionRow.job_id == JobRow.id)
    query = query.join(Acceptance, Acceptance.edition_id == EditionRow.id)
    return tuple(sorted({day.year for day in session.scalars(query) if day}, reverse=True))


def kinds_of(edition: Edition, name: str) -> tuple[tuple[str, Decimal], ...]:
    """Each kind of piece in an option and its share of the pieces' price; they add up to 1."""
    option = edition.option(name)
    if option is None:
        return (("other", Decimal(1)),)
    kind_of = {piece.name: piece.kind for piece in option.pieces}
    sums: dict[str, Decimal] = {}
    for line in option.lines:
        if line.piece in kind_of:
            kind = kind_of[line.piece]
            sums[kind] = sums.get(kind, ZERO) + line.price
    whole = sum(sums.values(), ZERO)
    if whole <= 0:
        return (("other", Decimal(1)),)
    shares = [(kind, price / whole) for kind, price in sums.items()]
    last = Decimal(1) - sum((share for _, share in shares[:-1]), ZERO)
    return (*shares[:-1], (shares[-1][0], last))
