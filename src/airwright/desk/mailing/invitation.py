"""The day as an invitation: iCalendar (RFC 5545) with the method REQUEST (RFC 5546)."""

from __future__ import annotations

import datetime as dt

from airwright.job.models import Job
from airwright.papers.calendar.model import Appointment


def invitation(
    entries: tuple[Appointment, ...],
    job: Job,
    job_id: str,
    *,
    organizer: str,
    organizer_name: str,
    guest: str,
    sequence: int,
    at: dt.datetime,
) -> bytes:
    """One event from the guests' coming to take-down, for the client's calendar.

    Args:
        entries: the day's appointments.
        job, job_id: what it is; the identifier stays when it is sent again.
        organizer, organizer_name, guest: mail addresses.
        sequence: 0 first, higher with each newer one: calendars then move what they hold.
        at: when it is sent.
    """
    from icalendar import Calendar, Event, vCalAddress, vText

    day = next(entry for entry in entries if entry.key == "guests")
    calendar = Calendar()
    calendar.add("prodid", "-//Airwright//Invitation//EN")
    calendar.add("version", "2.0")
    calendar.add("method", "REQUEST")
    event = Event()
    event.add("uid", f"{job_id}@airwright.invalid")
    event.add("dtstamp", at)
    event.add("sequence", sequence)
    event.add("dtstart", day.starts)
    event.add("dtend", day.ends)
    event.add("summary", job.job.title)
    where = ", ".join(part for part in (job.venue.name, job.venue.address) if part)
    if where:
        event.add("location", where)
    event.add("status", "CONFIRMED")
    sender = vCalAddress(f"mailto:{organizer}")
    sender.params["cn"] = vText(organizer_name)
    event["organizer"] = sender
    attendee = vCalAddress(f"mailto:{guest}")
    attendee.params["rsvp"] = vText("TRUE")
    attendee.params["partstat"] = vText("NEEDS-ACTION")
    event.add("attendee", attendee, encode=False)
    calendar.add_component(event)
    data = calendar.to_ical()
    assert isinstance(data, bytes)
    return data
