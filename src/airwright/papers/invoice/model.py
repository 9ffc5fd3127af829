"""What an invoice or credit note says, as plain values that are kept for ever.

Its canonical bytes are what the database keeps; PDF and XML are made from them alone, so that a
file made years later is that of the day.
"""

from __future__ import annotations

import datetime as dt
import json
from decimal import Decimal
from typing import Literal

from pydantic import BaseModel, ConfigDict

from airwright.money.totals import Totals

FORMAT: Literal["airwright-invoice/1"] = "airwright-invoice/1"
Kind = Literal["deposit", "instalment", "final", "credit note"]


class Frozen(BaseModel):
    """A part of the document; keys that a later version adds are passed over."""

    model_config = ConfigDict(frozen=True, extra="ignore")


class Party(Frozen):
    """Seller or buyer."""

    name: str
    street: str = ""
    postcode: str = ""
    city: str = ""
    country: str = ""
    vat_number: str = ""
    tax_number: str = ""
    phone: str = ""
    mail: str = ""


class TaxWords(Frozen):
    """A tax on a line: its category is one of UNCL 5305, its rate a share of the net amount."""

    rate: Decimal
    category: str
    name: str
    reason: str = ""


class InvoiceLine(Frozen):
    """One line before tax; `unit_price` is not rounded where prices were told with tax."""

    what: str
    quantity: Decimal
    unit_price: Decimal
    price: Decimal
    tax: TaxWords


class OnTheWhole(Frozen):
    """Something on the whole document before tax: below zero taken off, above it added."""

    what: str
    amount: Decimal
    tax: TaxWords


class EarlierInvoice(Frozen):
    """An invoice that this one deducts or corrects."""

    number: str
    issued: dt.date
    gross: Decimal


class GroupSum(Frozen):
    """All lines of one tax: their net total and the tax on it."""

    tax: TaxWords
    base: Decimal
    amount: Decimal


class Sums(Frozen):
    """BT-106 to BT-115 of EN 16931."""

    lines: Decimal
    taken_off: Decimal
    added: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    prepaid: Decimal
    rounding: Decimal
    due: Decimal
    groups: tuple[GroupSum, ...]


class Invoice(Frozen):
    """A whole invoice or credit note.

    Attributes:
        title, event: the job and its day.
        agreed: what it rests on: "Edition 2 of 3 March 2027, accepted by …"; "" if none.
        units: which paper: "A4" or "Letter".
    """

    format: Literal["airwright-invoice/1"] = FORMAT
    kind: Kind
    number: str
    issued: dt.date
    due: dt.date
    currency: str
    language: str
    paper: str
    seller: Party
    buyer: Party
    reference: str = ""
    title: str
    event: dt.date | None = None
    agreed: str = ""
    fingerprint: str = ""
    lines: tuple[InvoiceLine, ...]
    on_the_whole: tuple[OnTheWhole, ...] = ()
    earlier: tuple[EarlierInvoice, ...] = ()
    corrects: EarlierInvoice | None = None
    reason: str = ""
    sums: Sums
    iban: str = ""
    bic: str = ""
    how_to_pay: str = ""
    footer: str = ""
    invented: bool = False

    def content(self) -> bytes:
        """Canonical bytes: the same invoice gives the same."""
        plain = self.model_dump(mode="json")
        text = json.dumps(plain, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
        return text.encode("utf-8")

    @property
    def is_credit(self) -> bool:
        """Whether it gives back instead of asking."""
        return self.kind == "credit note"


def read(content: bytes) -> Invoice:
    """An invoice from its bytes. Raises ValueError for bytes that are none."""
    return Invoice.model_validate_json(content)


def sums_of(found: Totals) -> Sums:
    """A document's sums as plain values."""
    groups = tuple(
        GroupSum(
            tax=TaxWords(
                rate=g.tax.rate, category=g.tax.category.value, name=g.tax.name, reason=g.tax.reason
            ),
            base=g.base,
            amount=g.amount,
        )
        for g in found.groups
    )
    names = ("lines", "taken_off", "added", "net", "tax", "gross", "prepaid", "rounding", "due")
    return Sums(**{name: getattr(found, name) for name in names}, groups=groups)
