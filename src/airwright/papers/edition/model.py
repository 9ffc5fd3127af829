"""What an edition of an offer says. Its canonical bytes are kept; page and PDF show them for ever.

Nothing of the studio's cost stands in here: the bytes go to the client.
"""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from typing import Literal

from pydantic import BaseModel, ConfigDict

from airwright.money.lines import Line, LineKind
from airwright.money.tax import Tax, TaxBasis, TaxCategory
from airwright.money.totals import Totals, totals_as_told

FORMAT: Literal["airwright-offer/1"] = "airwright-offer/1"


class Part(BaseModel):
    """A part of an edition; keys that a later version adds are passed over."""

    model_config = ConfigDict(frozen=True, extra="ignore")


class OfferedLine(Part):
    """One line of an option's price, as told to the client."""

    kind: str
    what: str
    quantity: Decimal
    unit_price: Decimal
    price: Decimal
    piece: str | None = None
    tax_rate: Decimal = Decimal(0)
    tax_category: str = TaxCategory.OUTSIDE.value
    tax_name: str = ""
    tax_reason: str = ""

    def as_line(self) -> Line:
        """The line as money reckons with it."""
        tax = Tax(self.tax_rate, TaxCategory(self.tax_category), self.tax_name, self.tax_reason)
        return Line(
            LineKind(self.kind), self.what, self.quantity, self.unit_price, self.price, self.piece,
            tax,
        )  # fmt: skip


class OfferedShade(Part):
    """A shade by name and colour."""

    name: str
    colour: str


class OfferedPiece(Part):
    """One kind of piece in an option; sizes are of one [m]."""

    name: str
    kind: str
    count: int
    height_m: float
    width_m: float
    depth_m: float
    contents: tuple[str, ...] = ()
    shades: tuple[OfferedShade, ...] = ()


class OfferedDue(Part):
    """A payment to come: days are counted from acceptance, or from the event."""

    what: str
    amount: Decimal
    anchor: str
    days: int


class OfferedOption(Part):
    """One way of filling the brief.

    Attributes:
        price: the sum of the lines, as told; total holds all tax.
        look, scale: names of its pictures: the one that shows it, and the drawing beside a person.
        scale_m: width that the drawing to scale shows [m].
    """

    name: str
    note: str = ""
    pieces: tuple[OfferedPiece, ...]
    lines: tuple[OfferedLine, ...]
    balloons: int
    site_hours: float
    strike_hours: float
    price: Decimal
    tax: Decimal
    total: Decimal
    dues: tuple[OfferedDue, ...]
    look: str = ""
    scale: str = ""
    scale_m: float = 0.0

    @property
    def deposit(self) -> Decimal:
        """What books the date; zero where nothing is due before the event."""
        first = self.dues[0] if self.dues else None
        return first.amount if first is not None and first.anchor == "acceptance" else Decimal(0)


class Edition(Part):
    """A whole offer as sent.

    Attributes:
        number, made: which edition, and the day it was made.
        basis: whether prices are told before tax ("on top") or with it ("included").
        files: SHA-256 of each picture by its name.
    """

    format: Literal["airwright-offer/1"] = FORMAT
    number: int
    made: dt.date
    valid_until: dt.date
    language: str
    units: str
    currency: str
    basis: str
    tax_name: str
    studio: str
    address: str = ""
    contact: str = ""
    title: str
    client: str = ""
    date: dt.date | None = None
    guests: str = ""
    strike: str = ""
    venue: str = ""
    options: tuple[OfferedOption, ...]
    shades: tuple[OfferedShade, ...] = ()
    cautions: tuple[tuple[str, str], ...] = ()
    terms: tuple[str, ...] = ()
    invented: bool = False
    files: dict[str, str] = {}

    def content(self) -> bytes:
        """Canonical bytes: the same edition gives the same."""
        plain = self.model_dump(mode="json")
        text = json.dumps(plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return text.encode("utf-8")

    def option(self, name: str) -> OfferedOption | None:
        """The option of that name."""
        return next((option for option in self.options if option.name == name), None)

    def totals(self, option: OfferedOption) -> Totals:
        """Sums of an option, reckoned anew from its lines."""
        lines = [one.as_line() for one in option.lines]
        return totals_as_told(self.currency, lines, TaxBasis(self.basis))


def read(content: bytes) -> Edition:
    """An edition from its bytes. Raises ValueError for bytes that are none."""
    return Edition.model_validate_json(content)
