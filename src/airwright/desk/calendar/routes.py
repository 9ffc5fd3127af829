"""Addresses of the calendar."""

from __future__ import annotations

import calendar
import datetime as dt
from typing import Annotated

from fastapi import APIRouter, Query
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse, Response

from airwright.desk.access import ByOwner, RequestContext, SignedIn, Stranger
from airwright.desk.calendar import service
from airwright.desk.calendar.contexts import CalendarPage, FeedLine
from airwright.desk.calendar.forms import month_of, moved
from airwright.desk.pages import render
from airwright.store.feeds import Feeds
from airwright.store.jobs import Jobs
from airwright.store.studio import StudioFile
from airwright.store.types import now
from airwright.units import System

router = APIRouter()
SUNDAY, MONDAY = 6, 0


@router.get("/calendar")
def show(context: SignedIn, month: Annotated[str, Query(max_length=10)] = "") -> Response:
    """A month with its jobs, and what comes."""
    return render(context, _page(context, month, ""))


@router.post("/calendar/feeds")
def make_feed(context: ByOwner) -> Response:
    """A secret address for a telephone's calendar, shown this once."""
    with context.writing() as session:
        _, token = Feeds(session).make(context.text("name", 120))
    host = context.request.headers.get("host", "")
    scheme = context.request.url.scheme
    return render(context, _page(context, "", f"{scheme}://{host}/feed/{token}.ics"))


@router.post("/calendar/feeds/{feed_id}/withdraw")
def withdraw(feed_id: str, context: ByOwner) -> Response:
    """End a feed at once."""
    with context.writing() as session:
        Feeds(session).withdraw(feed_id)
    return RedirectResponse("/calendar?said=withdrawn", 303)


@router.get("/feed/{feed_token}.ics")
def feed(feed_token: str, context: Stranger) -> Response:
    """The calendar, for whoever has the address."""
    today = context.desk.settings.today()
    with context.writing() as session:
        found = Feeds(session).open_with(feed_token)
        if found is None:
            raise HTTPException(404)
        found.read = now()
        rows = Jobs(session).between(
            today - dt.timedelta(days=service.FEED_BACK_DAYS),
            today + dt.timedelta(days=service.FEED_AHEAD_DAYS),
            texts=True,
        )
        body = service.feed(found.name, rows)
    return Response(body, media_type="text/calendar; charset=utf-8")


def _page(context: RequestContext, month: str, new_feed: str) -> CalendarPage:
    today = context.desk.settings.today()
    first = month_of(month, today)
    week = dt.timedelta(days=7)
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
        jobs = Jobs(session)
        rows = jobs.between(first - week, first + 6 * week)
        coming = jobs.between(today, today + dt.timedelta(days=service.AGENDA_DAYS))
        feeds = Feeds(session).all() if context.actor.owns else []
    begins = SUNDAY if studio.studio.units is System.FEET else MONDAY
    return CalendarPage(
        month=first,
        before=moved(first, -1),
        after=moved(first, 1),
        week_days=tuple(calendar.day_abbr[(begins + at) % 7] for at in range(7)),
        weeks=service.weeks_of(first, today, rows, begins),
        agenda=tuple(service.booking(row) for row in coming),
        feeds=tuple(FeedLine(f.id, f.name, f.made, f.read) for f in feeds),
        new_feed=new_feed,
    )
