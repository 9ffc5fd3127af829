"""The job as calendar entries, read back with another iCalendar reader's rules."""

from __future__ import annotations

import datetime as dt

import icalendar

from airwright.language import speaking
from airwright.papers.calendar import appointments_of, make
from airwright.papers.common.request import request_for
from airwright.plan.values import Plan
from tests.papers.plans import CJK, LONG, TODAY, example_plan, plan_with


def entries(plan: Plan) -> list[icalendar.Event]:
    (paper,) = make(request_for(plan, TODAY))
    return list(icalendar.Calendar.from_ical(paper.data).walk("VEVENT"))


def test_build_guests_and_take_down() -> None:
    build, guests, strike = entries(example_plan())
    assert build.start == dt.datetime.fromisoformat("2027-05-22T06:30")
    assert build.end == guests.start == dt.datetime.fromisoformat("2027-05-22T10:00")
    assert guests.end == strike.start == dt.datetime.fromisoformat("2027-05-22T18:00")
    assert strike.end > strike.start
    assert "Ferry terminal reopening" in str(build["SUMMARY"])
    assert str(build["LOCATION"]) == "Pier hall"


def test_times_float() -> None:
    """The job file gives the clock at the venue; no zone is invented (RFC 5545 §3.3.5, form 1)."""
    for entry in entries(example_plan()):
        assert entry.start.tzinfo is None


def test_a_party_past_midnight_ends_the_next_day() -> None:
    plan = plan_with(head={"guests": "20:00", "strike": "01:30"}, venue={"access": "14:00"})
    _, guests, strike = appointments_of(plan, TODAY)
    assert guests.ends == strike.starts == dt.datetime.fromisoformat("2027-05-23T01:30")


def test_planning_again_moves_an_entry_instead_of_doubling_it() -> None:
    first = [str(entry["UID"]) for entry in entries(example_plan())]
    later = plan_with(
        head={"strike": "19:00"},
    )
    assert first == [str(entry["UID"]) for entry in entries(later)]
    assert len(set(first)) == 3


def test_odd_names_survive() -> None:
    for title in (LONG, CJK, "a, b; c\\ d\nBEGIN:VEVENT"):
        found = entries(plan_with(head={"title": title}))
        assert len(found) == 3
        assert str(found[0]["SUMMARY"]) == f"Build: {title}"


def test_the_day_speaks_the_language_of_its_reader() -> None:
    with speaking("de"):
        found = appointments_of(example_plan(), TODAY)
    title = example_plan().job.job.title
    assert [one.what for one in found] == [
        f"Aufbau: {title}", f"Gäste: {title}", f"Abbau: {title}"
    ]  # fmt: skip
