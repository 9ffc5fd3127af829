"""What the offer's templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page
from airwright.job.findings import Finding


@dataclass(frozen=True, slots=True)
class CostLine:
    """One part of the cost, and its share of it in percent."""

    what: str
    amount: str
    share: int


@dataclass(frozen=True, slots=True)
class OptionTerms:
    """How many of each piece, and what was set by hand, as the form shows it."""

    counts: tuple[tuple[str, int], ...]
    package_price: str
    discount: str
    reason: str


@dataclass(frozen=True, slots=True)
class OptionCard:
    """An option; cost and margin only for the owner.

    `lines` hold what, price, and whether it is of the whole option rather than of a piece.
    """

    index: int
    name: str
    note: str
    pieces: tuple[tuple[str, int], ...]
    picture: str
    balloons: int
    hours: float
    site_hours: float
    price: str
    total: str
    tax: bool
    cost: str
    margin: str
    margin_share: int
    raw_price: str
    raw_net: str
    raw_cost: str
    floor: str
    terms: OptionTerms
    lines: tuple[tuple[str, str, bool], ...]
    driven_by: tuple[CostLine, ...]
    chosen: bool


@dataclass(frozen=True, slots=True)
class PiecePriceLine:
    """What one piece is sold for; only for the owner.

    Attributes:
        place: its index in the job.
        unit_price, by_rule, margin: in words.
        margin_share: percent.
        by_hand: the price set by hand, as the form shows it; "" where the rules hold.
        raw_price, raw_net, raw_cost: for the margin that moves while one types.
    """

    place: int
    name: str
    unit_price: str
    by_rule: str
    cost: str
    margin: str
    margin_share: int
    low: bool
    by_hand: str
    reason: str
    raw_price: str
    raw_net: str
    raw_cost: str


@dataclass(frozen=True, slots=True)
class LinkLine:
    """A client link, as far as it may be shown."""

    id: str
    made: dt.datetime
    ends: dt.datetime
    state: str
    choice: str
    note: str
    edition: int
    recipient: str
    opened: tuple[dt.datetime, ...]


@dataclass(frozen=True, slots=True)
class EditionLine:
    """An offer as sent."""

    id: str
    number: int
    made: dt.datetime
    by: str
    valid: dt.date
    state: str
    totals: tuple[tuple[str, str], ...]
    fingerprint: str
    accepted: str
    accepted_at: dt.datetime | None


@dataclass(frozen=True, slots=True)
class AgreementMail:
    """The letter with what was agreed: where it went, and what became of it in words."""

    id: str
    recipient: str
    state: str


@dataclass(frozen=True, slots=True)
class RemarkLine:
    """What a client wrote."""

    edition: int
    name: str
    text: str
    at: dt.datetime


@dataclass(frozen=True)
class OfferPage(Page):
    """Options side by side."""

    template: ClassVar[str] = "offer/offer.html"
    job: JobBar
    version: int
    currency: str
    options: tuple[OptionCard, ...]
    has_options: bool
    pieces: tuple[str, ...]
    piece_prices: tuple[PiecePriceLine, ...]
    floor: str
    links: tuple[LinkLine, ...]
    editions: tuple[EditionLine, ...]
    agreement_mail: AgreementMail | None
    changed: tuple[str, ...]
    last: int
    remarks: tuple[RemarkLine, ...]
    new_link: str
    reachable: bool
    stages: tuple[tuple[str, str], ...]
    deposit: str
    deposit_paid: dt.datetime | None
    budget: str
    findings: tuple[Finding, ...]
