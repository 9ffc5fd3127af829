"""Answers of the JSON API that are not a job."""

from __future__ import annotations

import datetime as dt

from pydantic import BaseModel


class TickOut(BaseModel):
    """One line of the day's lists."""

    item: str
    ticked: bool
    at: dt.datetime
    actor: str


class TicksOut(BaseModel):
    """All lines that were ever ticked."""

    ticks: list[TickOut]


class Alive(BaseModel):
    """The desk is there."""

    alive: bool = True


class NewsCount(BaseModel):
    """How many news a process of the desk has told since it started."""

    process: str
    count: int
