"""The day of the job as appointments."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from airwright.language import message, say
from airwright.papers.common.words import listed, plural
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


def appointments_of(plan: Plan) -> tuple[Appointment, ...]:
    """Build, guests, take-down, in order, in the language being spoken.

    Times after midnight fall on the next day.
    """
    head, venue = plan.job.job, plan.job.venue
    access = _at(head.date, venue.access)
    guests = _after(access, head.date, head.guests)
    strike = _after(guests, head.date, head.strike)
    length = dt.timedelta(hours=max(0.25, plan.crew.strike_h))
    where = ", ".join(part for part in (venue.name, venue.address) if part)
    pieces = [f"{piece.count} × {piece.name}" for piece in plan.in_scope]
    crew = plural(plan.crew.hands, "person", "people")
    details = say(message("{pieces}. Crew: {crew}.", pieces=listed(pieces), crew=crew))
    if head.contact:
        details += " " + say(message("Contact: {contact}", contact=head.contact))
    title = head.title
    return (
        Appointment(
            "build", access, guests, say(message("Build: {title}", title=title)), where, details
        ),
        Appointment(
            "guests", guests, strike, say(message("Guests: {title}", title=title)), where, details
        ),
        Appointment(
            "strike",
            strike,
            strike + length,
            say(message("Take-down: {title}", title=title)),
            where,
            details,
        ),
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
