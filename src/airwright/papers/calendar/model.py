"""The day of the job as appointments."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from airwright.language import listing, message, say, sentences
from airwright.papers.common.mark import mark_line, paper_mark
from airwright.papers.common.trade_words import people
from airwright.plan.values import Plan

A_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, slots=True)
class Appointment:
    """One entry.

    Attributes:
        key: stable within the job: "build", "guests", "strike".
        starts, ends: local to the venue, without a zone (RFC 5545 "floating" time): the job
            file says what the clock at the venue shows, and a calendar shows just that.
        what, where, details: texts.
    """

    key: str
    starts: dt.datetime
    ends: dt.datetime
    what: str
    where: str
    details: str


def appointments_of(plan: Plan, today: dt.date) -> tuple[Appointment, ...]:
    """Build, guests, take-down, in order, in the language being spoken.

    Times after midnight fall on the next day.

    Args:
        plan: the whole job, planned.
        today: the day the papers are made.
    """
    head, venue = plan.job.job, plan.job.venue
    access = _at(head.date, venue.access)
    guests = _after(access, head.date, head.guests)
    strike = _after(guests, head.date, head.strike)
    length = dt.timedelta(hours=max(0.25, plan.crew.strike_h))
    where = ", ".join(part for part in (venue.name, venue.address) if part)
    pieces = [f"{piece.count} × {piece.name}" for piece in plan.in_scope]
    told = sentences(
        message("{pieces}.", pieces=listing(pieces)),
        message("Crew: {people}.", people=people(plan.crew.hands)),
        message("Contact: {contact}.", contact=head.contact) if head.contact else "",
        message("{mark}.", mark=mark_line(paper_mark(plan, today))),
    )
    details = say(told)
    what = {
        "build": say(message("Build: {title}", title=head.title)),
        "guests": say(message("Guests: {title}", title=head.title)),
        "strike": say(message("Take-down: {title}", title=head.title)),
    }
    return (
        Appointment("build", access, guests, what["build"], where, details),
        Appointment("guests", guests, strike, what["guests"], where, details),
        Appointment("strike", strike, strike + length, what["strike"], where, details),
    )


def _at(day: dt.date, clock: str) -> dt.datetime:
    hour, minute = clock.split(":")
    # Without a zone on purpose: see Appointment.
    return dt.datetime(day.year, day.month, day.day, int(hour), int(minute))  # noqa: DTZ001


def _after(earlier: dt.datetime, day: dt.date, clock: str) -> dt.datetime:
    moment = _at(day, clock)
    while moment < earlier:
        moment += A_DAY
    return moment
