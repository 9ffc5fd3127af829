"""A supplier as a form: read off the file's row, and back into it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any, Final

from airwright import units
from airwright.desk.access import RequestContext
from airwright.desk.buying.contexts import OfferLine, SupplierPage
from airwright.job.findings import Finding, error
from airwright.language import message
from airwright.language.figures import locale
from airwright.money.amount import MoneyError
from airwright.money.reading import read_money
from airwright.operations.buying.supplier_file import DAYS, FreightRow, OfferRow, SupplierRow
from airwright.operations.buying.supplier_writing import SupplierEdit

MOST_LINES: Final = 80
"""Longer price lists come as a file; nobody types them."""

BLANK_LINES: Final = 3
TERMS: Final = (
    "name",
    "mail",
    "usual",
    "late",
    "minimum",
    "freight",
    "cutoff",
    "holidays",
    "rush_days",
    "rush_price",
    "priced_on",
)
OFFER_KEYS: Final = ("item", "shade", "pack", "price", "breaks", "available", "colour")
_STEP: Final = re.compile(r"(?:from\s+)?([^:]+?)\s*:\s*(.+)")


def page_of(row: SupplierRow | None, version: int, currency: str, today: dt.date) -> SupplierPage:
    """The form of a supplier as the file has it; an empty one without a row."""
    if row is None:
        values = dict.fromkeys(TERMS, "") | {"usual": "3", "priced_on": today.isoformat()}
        return SupplierPage("", values, day_words(), DAYS[:5], _blank(()), 0, (), version, currency)
    lead, rush = row.lead_days, row.rush
    values = {
        "name": row.name,
        "mail": row.mail,
        "usual": str(lead if isinstance(lead, int) else lead.usual),
        "late": "" if isinstance(lead, int) else str(lead.late),
        "minimum": f"{row.minimum:f}" if row.minimum else "",
        "freight": "\n".join(_freight_line(step) for step in row.freight),
        "cutoff": row.cutoff or "",
        "holidays": row.holidays,
        "rush_days": "" if rush is None else str(rush.lead_days),
        "rush_price": "" if rush is None else f"{rush.price:f}",
        "priced_on": "" if row.priced_on is None else row.priced_on.isoformat(),
    }  # fmt: skip
    long = len(row.offers) > MOST_LINES
    lines = () if long else tuple(_line(at, offer) for at, offer in enumerate(row.offers))
    return SupplierPage(
        row.name, values, day_words(), row.delivers, () if long else _blank(lines),
        len(row.offers) if long else 0, (), version, currency,
    )  # fmt: skip


def day_words() -> tuple[tuple[str, str], ...]:
    """Days of the week by their key, as the reader's language writes them (CLDR)."""
    from babel.dates import get_day_names

    names = get_day_names("abbreviated", locale=locale())
    return tuple((key, names[at]) for at, key in enumerate(DAYS))


def _freight_line(step: FreightRow) -> str:
    """ "120.00: 0.00" by value, "5 kg: 12.00" by weight."""
    if step.from_weight is not None:
        return f"{units.write(step.from_weight, units.MASS)}: {step.price:f}"
    return f"{step.start:f}: {step.price:f}"


def _line(at: int, offer: OfferRow) -> OfferLine:
    values = {
        "item": offer.item,
        "shade": offer.shade or "",
        "pack": str(offer.pack),
        "price": f"{offer.price:f}",
        "breaks": ", ".join(f"{step.packs}: {step.price:f}" for step in offer.breaks),
        "available": "" if offer.available is None else str(offer.available),
        "colour": offer.colour or "",
    }
    return OfferLine(at, str(at), values)


def _blank(lines: tuple[OfferLine, ...]) -> tuple[OfferLine, ...]:
    """The lines with some empty ones behind them."""
    empty = dict.fromkeys(OFFER_KEYS, "")
    more = range(len(lines), len(lines) + BLANK_LINES)
    return (*lines, *(OfferLine(at, "", empty) for at in more))


def sent(context: RequestContext, version: int, currency: str) -> SupplierPage:
    """The form as it was typed, to be shown again."""
    count = context.text("lines", 4)
    lines = []
    for at in range(min(int(count) if count.isdecimal() else 0, MOST_LINES + BLANK_LINES)):
        values = {key: context.text(f"{key}:{at}", 120) for key in OFFER_KEYS}
        lines.append(OfferLine(at, context.text(f"at:{at}", 4), values))
    delivers = tuple(day for day in DAYS if context.text(f"delivers:{day}", 4))
    long = context.text("long", 8)
    return SupplierPage(
        context.text("was", 120), {key: context.text(key, 2000) for key in TERMS}, day_words(),
        delivers, tuple(lines), int(long) if long.isdecimal() else 0, (), version, currency,
    )  # fmt: skip


def edit_of(page: SupplierPage) -> tuple[SupplierEdit | None, tuple[Finding, ...]]:
    """What the form says, or what is wrong with it in words."""
    reading = _Reading(page.currency)
    terms = reading.terms(page)
    offers = None if page.long else reading.offers(page.lines)
    if reading.wrong:
        return None, tuple(reading.wrong)
    return SupplierEdit(terms, offers), ()


class _Reading:
    """Fields read one by one; what is wrong is kept."""

    def __init__(self, currency: str) -> None:
        self.currency = currency
        self.wrong: list[Finding] = []

    def terms(self, page: SupplierPage) -> dict[str, Any]:
        values = page.values
        if not values["name"]:
            self._told(message("The supplier has no name."), message("Write what you call it."))
        usual = self._whole(values["usual"] or "0", message("Working days until it comes"))
        late = self._whole(values["late"], message("Working days nearly every parcel keeps"))
        rush_days = self._whole(values["rush_days"], message("Working days of the quicker way"))
        rush = None
        if rush_days is not None:
            price = self._amount(values["rush_price"] or "0")
            rush = {"lead_days": rush_days, "price": price}
        minimum = self._amount(values["minimum"]) if values["minimum"] else None
        return {
            "name": values["name"],
            "mail": values["mail"] or None,
            "lead_days": usual if late in (None, usual) else {"usual": usual, "late": late},
            "delivers": list(page.delivers) or None,
            "cutoff": values["cutoff"] or None,
            "holidays": values["holidays"] or None,
            "minimum": minimum,
            "freight": self._freight(values["freight"]),
            "rush": rush,
            "priced_on": self._day(values["priced_on"]),
        }

    def offers(self, lines: tuple[OfferLine, ...]) -> list[tuple[int | None, dict[str, Any]]]:
        found = []
        for line in lines:
            values = line.values
            if not any(values.values()):
                continue
            name = values["item"] or message("line {n}", n=line.index + 1)
            if not values["item"]:
                self._told(message("{name} names no item.", name=name),
                           message("Write what it is, or empty the whole line."))  # fmt: skip
            offer = {
                "item": values["item"],
                "shade": values["shade"] or None,
                "pack": self._whole(values["pack"] or "1", name),
                "price": self._amount(values["price"]),
                "breaks": self._steps(values["breaks"], ",", "packs", self._packs) or None,
                "available": self._whole(values["available"], name),
                "colour": values["colour"] or None,
            }
            found.append((int(line.at) if line.at.isdecimal() else None, offer))
        return found

    def _freight(self, text: str) -> list[dict[str, Any]] | None:
        steps = self._steps(text, "\n", "from", self._value_or_weight)
        return [
            {"from_weight": step["from"], "price": step["price"]}
            if re.search("[a-z]", step["from"])
            else step
            for step in steps
        ] or None

    def _value_or_weight(self, text: str) -> str:
        try:
            units.parse(text, units.MASS)
        except units.UnitError:
            return self._amount(text)
        return text

    def _steps(
        self, text: str, between: str, key: str, first: Callable[[str], Any]
    ) -> list[dict[str, Any]]:
        """Steps like "120: 0.00": from what on, and the price."""
        found = []
        for part in text.split(between):
            if not part.strip():
                continue
            match = _STEP.fullmatch(part.strip())
            if match is None:
                self._told(
                    message('"{text}" is no step with its price.', text=part.strip()[:20]),
                    message('Write it like "{example}": from where on, and the price.',
                            example="5: 15.00"),
                )  # fmt: skip
                continue
            found.append({key: first(match[1]), "price": self._amount(match[2])})
        return found

    def _packs(self, text: str) -> int | None:
        return self._whole(text, message("Packs of a lower price"))

    def _amount(self, text: str) -> str:
        try:
            return f"{read_money(text, self.currency).number:f}"
        except MoneyError as problem:
            self._told(problem.what, problem.mend)
            return f"{Decimal(0)}"

    def _whole(self, text: str, what: str) -> int | None:
        if not text:
            return None
        if not text.isdecimal():
            self._told(message('{what}: "{text}" is no whole number.', what=what, text=text[:20]),
                       message("Write a whole number."))  # fmt: skip
            return None
        return int(text)

    def _day(self, text: str) -> dt.date | None:
        try:
            return dt.date.fromisoformat(text) if text else None
        except ValueError:
            self._told(message('"{text}" is no date.', text=text[:20]),
                       message("Write it as 2027-05-22."))  # fmt: skip
            return None

    def _told(self, what: str, mend: str) -> None:
        self.wrong.append(error("supplier", "", what, mend))


def with_findings(page: SupplierPage, findings: tuple[Finding, ...]) -> SupplierPage:
    """The form once more, with what is wrong above it."""
    return replace(page, findings=findings)
