"""What the client's templates are given: nothing of cost, findings or other jobs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class Choice:
    """An option as a client sees it."""

    name: str
    note: str
    picture: str
    pieces: tuple[tuple[str, int], ...]
    balloons: int
    price: str
    total: str
    tax: str


@dataclass(frozen=True)
class ClientPage(Page):
    """What a client sees."""

    template: ClassVar[str] = "client/offer.html"
    studio: str
    contact: str
    terms: str
    title: str
    when: str
    venue: str
    options: tuple[Choice, ...]
    choice: str
    ends: dt.datetime
    logo: bool
    action: str


@dataclass(frozen=True)
class EndedPage(Page):
    """A link that does not hold, whatever the reason."""

    template: ClassVar[str] = "client/ended.html"
