"""What needs attention, and how a job looks in the book."""

from __future__ import annotations

import datetime as dt

from airwright.desk.access import Actor
from airwright.desk.book.contexts import Entry
from airwright.desk.pages import money
from airwright.store.jobs import DEPOSIT_DAYS, OPEN_STAGES
from airwright.store.tables import JobRow


def entry(row: JobRow, actor: Actor, today: dt.date) -> Entry:
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
        needs=tuple(_needs(row, actor, today)),
        sample=row.sample,
    )


def _needs(row: JobRow, actor: Actor, today: dt.date) -> list[tuple[str, str]]:
    """(severity, words), worst first; the same order as the book's sorting."""
    if row.stage not in OPEN_STAGES:
        return []
    needs = []
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
        row.stage == "booked"
        and row.deposit_paid is None
        and row.date is not None
        and row.date <= today + dt.timedelta(days=DEPOSIT_DAYS)
    )


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
