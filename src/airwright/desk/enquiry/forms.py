"""The call's form: few fields, each forgiving; what cannot be read is asked again."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass, field
from decimal import Decimal

from airwright import units
from airwright.desk.access import RequestContext
from airwright.desk.editing.writing import decimal_points
from airwright.language import message
from airwright.money.reading import read_sum

_CLOCK = re.compile(
    r"([01]?\d|2[0-3])(?:[:.h]?([0-5]\d))?\s*(?:([ap])\.?m\.?|o'clock|uhr|h)?", re.IGNORECASE
)
MOST_OF_ONE = 500
FARTHEST_M = 2_000_000.0
USUAL_H = 6
"""How long an event lasts where nobody has said it [h]."""


@dataclass(frozen=True, slots=True)
class Call:
    """A call as taken down. `wrong` holds (field, what, cure)."""

    title: str
    client: str
    contact: str
    date: dt.date | None
    guests: str
    strike: str
    venue: str
    drive_m: float | None
    budget: Decimal | None
    note: str
    wanted: dict[str, int]
    wrong: tuple[tuple[str, str, str], ...] = field(default=())


def read_call(context: RequestContext, today: dt.date, system: units.System) -> Call:
    """The form of a call; a bare number for the drive counts miles or kilometres."""
    wrong: list[tuple[str, str, str]] = []
    client, title = context.text("client", 200), context.text("title", 200)
    if not client and not title:
        wrong.append(
            ("client", message("Nobody is named."), message("Write who calls, or what it is for."))
        )
    date = _date(context.text("date"), today, wrong)
    guests = _clock("guests", context.text("guests"), "12:00", wrong)
    strike = _clock("strike", context.text("strike"), "", wrong)
    if not strike:
        strike = f"{(int(guests[:2]) + USUAL_H) % 24:02d}:{guests[3:]}"
    return Call(
        title=title or message("Decor for {client}", client=client),
        client=client,
        contact=context.text("contact", 200),
        date=date,
        guests=guests,
        strike=strike,
        venue=context.text("venue", 200),
        drive_m=_drive(context.text("drive", 40), system, wrong),
        budget=_budget(context.text("budget"), wrong),
        note=context.text("note"),
        wanted=_wanted(context),
        wrong=tuple(wrong),
    )


SOME_DAY = dt.date(2099, 6, 1)
"""Stands in for a day nobody has named yet: a price does not hang on it."""


def _drive(text: str, system: units.System, wrong: list[tuple[str, str, str]]) -> float | None:
    if not text:
        return None
    far = decimal_points(text)
    if re.fullmatch(r"\d+(\.\d+)?", far):
        far += " km" if system is units.System.METRIC else " mi"
    try:
        metres = units.parse(far, units.LENGTH)
    except units.UnitError:
        metres = -1.0
    if not 0 <= metres <= FARTHEST_M:
        wrong.append(
            (
                "drive",
                message('"{text}" is no distance.', text=text[:20]),
                message('Write it like "15 km" or "9 mi".'),
            )
        )
        return None
    return metres


def _wanted(context: RequestContext) -> dict[str, int]:
    wanted = {}
    for name, value in context.form.multi_items():
        if name.startswith("design:") and isinstance(value, str) and value.isdecimal():
            number = min(int(value[:6]), MOST_OF_ONE)
            if number:
                wanted[name[len("design:") :][:16]] = number
    return wanted


def _date(text: str, today: dt.date, wrong: list[tuple[str, str, str]]) -> dt.date | None:
    if not text:
        return None
    try:
        date = dt.date.fromisoformat(text)
    except ValueError:
        wrong.append(
            (
                "date",
                message('"{text}" is no date.', text=text[:20]),
                message("Write it like 2027-05-22."),
            )
        )
        return None
    if date < today:
        wrong.append(("date", message("That day is past."), message("Pick a day to come.")))
    return date


def _clock(name: str, text: str, usual: str, wrong: list[tuple[str, str, str]]) -> str:
    if not text:
        return usual
    match = _CLOCK.fullmatch(text)
    half = (match[3] or "").lower() if match else ""
    if match is None or (half and not 1 <= int(match[1]) <= 12):
        wrong.append(
            (
                name,
                message('"{text}" is no time.', text=text[:20]),
                message('Write it like "14:30".'),
            )
        )
        return usual or "12:00"
    hour = int(match[1]) % 12 + (12 if half == "p" else 0) if half else int(match[1])
    return f"{hour:02d}:{match[2] or '00'}"


def _budget(text: str, wrong: list[tuple[str, str, str]]) -> Decimal | None:
    if not text:
        return None
    amount = read_sum(text)
    if amount is None:  # "about 800, if that"
        found = re.search(r"\d[\d.,]*", text)
        amount = read_sum(found[0].rstrip(".,")) if found and "-" not in text else None
    if amount is None or amount > 10_000_000:
        wrong.append(
            (
                "budget",
                message('"{text}" is no amount.', text=text[:20]),
                message('Write it like "800".'),
            )
        )
        return None
    return amount
