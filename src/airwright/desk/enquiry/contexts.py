"""What the call's templates are given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class DesignLine:
    """A saved design to offer on the telephone."""

    id: str
    name: str
    kind: str
    balloons: int
    low: str
    high: str
    wanted: int


@dataclass(frozen=True)
class EnquiryPage(Page):
    """New enquiry."""

    template: ClassVar[str] = "enquiry/enquiry.html"
    part: ClassVar[str | None] = "enquiry/band.html"
    title: str
    client: str
    contact: str
    date: str
    guests: str
    strike: str
    venue: str
    drive: str
    budget: str
    note: str
    designs: tuple[DesignLine, ...]
    band: str
    band_note: str
    wrong: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class OrderPage(Page):
    """What the enquiry would add to the orders for all jobs ahead; "" where that is not known."""

    template: ClassVar[str] = "enquiry/order.html"
    words: str
