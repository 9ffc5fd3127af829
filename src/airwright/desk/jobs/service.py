"""What needs attention, and how a job looks in the book."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.desk.access import Actor
from airwright.desk.jobs.contexts import Entry
from airwright.desk.pages import money
from airwright.store.jobs import DEPOSIT_DAYS, OPEN_STAGES
from airwright.store.tables import ClientLink, JobRow

UNDECIDED = ("call", "drawn", "offered")


def wishes(session: Session, rows: Sequence[JobRow]) -> dict[str, str]:
    """What clients chose on their pages, of jobs that are not booked yet: one query for a page."""
    ids = [row.id for row in rows if row.stage in UNDECIDED]
    query = select(ClientLink.job_id, ClientLink.choice).where(
        ClientLink.job_id.in_(ids), ClientLink.choice.is_not(None), ClientLink.withdrawn.is_(None)
    )
    found = session.execute(query.order_by(ClientLink.chosen)).all() if ids else ()
    return {job_id: choice for job_id, choice in found if choice}


def entry(
    row: JobRow, actor: Actor, today: dt.date, wished: Mapping[str, str] | None = None
) -> Entry:
    """A job's tag in the book."""
    shades = (row.swatches or {}).get("shades", [])
    return Entry(
        id=row.id,
        title=row.title,
        client=row.client,
        venue=row.venue,
        date=row.date,
        days=None if row.date is None else (row.date - today).days,
        stage=row.stage,
        balloons=row.balloons,
        hours=row.hours,
        price=money(row.price, row.currency) if actor.sees_price and row.price else "",
        swatches=tuple((str(colour), int(count)) for colour, count in shades),
        needs=tuple(_needs(row, actor, today, (wished or {}).get(row.id, ""))),
        sample=row.sample,
    )


def _needs(row: JobRow, actor: Actor, today: dt.date, wished: str) -> list[tuple[str, str]]:
    """(severity, words): the client's answer, then worst first as the book is sorted."""
    if row.stage not in OPEN_STAGES:
        return []
    needs = [("hint", f"the client chose {wished}")] if wished and actor.designs else []
    if row.errors:
        needs.append(("error", _count(row.errors, "error")))
    if row.stage != "built" and row.date is not None and row.date < today:
        needs.append(("error", "its date is past"))
    if _deposit_due(row, today) and actor.sees_price:
        amount = f" of {money(row.deposit, row.currency)}" if row.deposit else ""
        needs.append(("caution", f"deposit{amount} is due"))
    if row.cautions:
        needs.append(("caution", _count(row.cautions, "caution")))
    if row.date is None:
        needs.append(("hint", "no date yet"))
    return needs


def _deposit_due(row: JobRow, today: dt.date) -> bool:
    return (
        row.stage in ("accepted", "booked")
        and row.deposit_paid is None
        and row.date is not None
        and row.date <= today + dt.timedelta(days=DEPOSIT_DAYS)
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
