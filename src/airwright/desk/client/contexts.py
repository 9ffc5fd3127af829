"""What the client's templates are given: the edition as sent, nothing of cost or other jobs."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class ClientPiece:
    """A kind of piece in an option."""

    name: str
    count: int
    size: str
    contents: tuple[str, ...]
    shades: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """An option as it was offered; `scale_px` is the width of its drawing to the common scale.

    `solid` is the address of its 3D files, without their endings.
    """

    name: str
    note: str
    look: str
    scale: str
    scale_px: int
    pieces: tuple[ClientPiece, ...]
    lines: tuple[tuple[str, str, str], ...]
    balloons: int
    price: str
    tax: str
    total: str
    dues: tuple[tuple[str, str, str], ...]
    solid: str


@dataclass(frozen=True, slots=True)
class Agreed:
    """The client's yes."""

    option: str
    name: str
    at: dt.datetime


@dataclass(frozen=True)
class ClientPage(Page):
    """What a client sees: an edition, for ever the same."""

    template: ClassVar[str] = "client/offer.html"
    language: str
    studio: str
    contact: str
    terms: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    title: str
    client: str
    when: str
    venue: str
    times: tuple[str, str]
    options: tuple[Choice, ...]
    number: int
    made: str
    valid: str
    state: str
    agreed: Agreed | None
    logo: str
    action: str
    fingerprint: str
    invented: bool
    typed: dict[str, str]
    wrong: tuple[str, str] | None
    thanks: str


@dataclass(frozen=True)
class EndedPage(Page):
    """A link that does not open anything (any more), and why."""

    template: ClassVar[str] = "client/ended.html"
    what: str
    mend: str
