"""What needs attention, what comes next, and how a job looks in the list."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.desk.access import Actor
from airwright.desk.editing.differences import readable
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import AnyChange, Clear, Put
from airwright.desk.jobs.contexts import Entry
from airwright.desk.pages import money
from airwright.desk.stages import STAGE_WORDS
from airwright.language import counted, message
from airwright.store.jobs import DEPOSIT_DAYS, OPEN_STAGES, UNDECIDED
from airwright.store.tables import ClientLink, JobRow


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
    """A job's card in the list."""
    chosen = (wished or {}).get(row.id, "")
    step, at = next_step(row, today, chosen)
    return Entry(
        id=row.id,
        title=row.title,
        client=row.client,
        venue=row.venue,
        date=row.date,
        days=None if row.date is None else (row.date - today).days,
        stage=STAGE_WORDS.get(row.stage, row.stage),
        balloons=row.balloons,
        hours=row.hours,
        price=money(row.price, row.currency) if actor.sees_price and row.price else "",
        needs=tuple(_needs(row, actor, today, chosen)),
        next_step=step if actor.designs else "",
        next_at=at,
        money=_money_state(row) if actor.sees_price else "",
        version=row.version,
        sample=row.sample,
    )


def _needs(row: JobRow, actor: Actor, today: dt.date, wished: str) -> list[tuple[str, str]]:
    """(severity, words): the client's answer first, then what is wrong.

    Cautions are left out: every job has some, and its own pages tell them.
    """
    if row.stage not in OPEN_STAGES:
        return []
    needs: list[tuple[str, str]] = []
    if wished and actor.designs:
        needs.append(("wish", message("the client chose {wished}", wished=wished)))
    if row.errors:
        needs.append(("error", counted("{n} error", "{n} errors", row.errors)))
    if row.stage != "built" and row.date is not None and row.date < today:
        needs.append(("error", message("its date is past")))
    if _deposit_due(row, today) and actor.sees_price:
        amount = money(row.deposit, row.currency)
        due = message("deposit of {amount} is due", amount=amount)
        needs.append(("caution", due if row.deposit else message("deposit is due")))
    if row.date is None:
        needs.append(("hint", message("no date yet")))
    return needs


def next_step(row: JobRow, today: dt.date, wished: str) -> tuple[str, str]:
    """What to do next with a job, and on which of its pages."""
    if row.archived is not None or row.stage == "settled":
        return "", ""
    if row.errors:
        return message("Fix what is marked"), ""
    if row.stage in UNDECIDED and wished:
        return message("Confirm {wished}", wished=wished), "/offer"
    if row.stage == "call" or not row.balloons:
        return message("Design the decor"), ""
    if row.stage == "drawn":
        return message("Send the offer"), "/offer"
    if row.stage == "offered":
        return message("Wait for the answer"), "/offer"
    if row.stage == "accepted":
        return message("Ask for the deposit"), "/offer"
    if row.stage == "booked":
        return _before_the_day(row, today)
    return message("Enter what it took"), "/outcome"


PAPERS_DAYS = 10
"""A booked job this near wants its papers."""


def _before_the_day(row: JobRow, today: dt.date) -> tuple[str, str]:
    days = None if row.date is None else (row.date - today).days
    if row.deposit_paid is None:
        return message("Ask for the deposit"), "/offer"
    if days is None:
        return message("Agree a date"), ""
    if days <= 1:
        return message("Open the day's lists"), "/day"
    return (
        (message("Make the papers"), "/papers")
        if days <= PAPERS_DAYS
        else (message("Order what is missing"), "/papers")
    )


def _money_state(row: JobRow) -> str:
    if row.stage not in ("accepted", "booked", "built"):
        return ""
    return message("deposit paid") if row.deposit_paid else message("deposit open")


def _deposit_due(row: JobRow, today: dt.date) -> bool:
    return (
        row.stage in ("accepted", "booked")
        and row.deposit_paid is None
        and row.date is not None
        and row.date <= today + dt.timedelta(days=DEPOSIT_DAYS)
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"


def on_another_day(text: str, date: dt.date | None) -> str:
    """A job file for another day: without the option taken, and without a date if None."""
    changes: list[AnyChange] = []
    head = (readable(text) or {}).get("job", {})
    if date is not None:
        changes.append(Put(do="put", path=["job", "date"], value=date.isoformat()))
    elif "date" in head:
        changes.append(Clear(do="clear", path=["job", "date"]))
    if "chosen" in head:
        changes.append(Clear(do="clear", path=["job", "chosen"]))
    return apply(text, changes)[0] if changes else text
