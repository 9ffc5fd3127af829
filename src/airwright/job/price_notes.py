"""Price rules that a studio writes as short lines of text: bands, steps, rates, instalments."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal

from airwright import units
from airwright.job.cluster import NotationError, Written

_NUMBER: Final = r"\d{1,12}(?:[.,]\d{1,10})?"


def _amount(text: str) -> Decimal:
    return Decimal(text.replace(",", "."))


def _line(text: object, mend: str) -> str:
    if not isinstance(text, str) or not text.strip() or len(text) > units.LONGEST_TEXT:
        raise NotationError("This line says nothing.", mend)
    return " ".join(text.split())


@dataclass(frozen=True)
class DistanceBand(Written):
    """What a trip costs the client up to a distance, written `30 km: 45.00`.

    Attributes:
        up_to_m: one way [m].
        price: of one trip there and back.
    """

    up_to_m: float
    price: Decimal

    @classmethod
    def parse(cls, text: object) -> DistanceBand:
        """Read `30 km: 45.00`. Raises NotationError."""
        mend = 'Write it like "30 km: 45.00": the distance one way, and the price of a trip.'
        said = _line(text, mend)
        match = re.fullmatch(rf"(?:up to )?(.+?)\s*:\s*({_NUMBER})", said)
        if match is None:
            raise NotationError(f'"{said}" is no distance with its price.', mend)
        try:
            metres = units.parse(match[1], units.LENGTH)
        except units.UnitError as problem:
            raise NotationError(problem.what, mend) from None
        if not 0.0 < metres <= 5e6:
            raise NotationError(f"Nobody drives {match[1]}.", mend)
        return cls(metres, _amount(match[2]))

    def __str__(self) -> str:
        return f"{units.write(self.up_to_m, units.LENGTH)}: {self.price}"


@dataclass(frozen=True)
class QuantityStep(Written):
    """What comes off equal pieces from a number on, written `5: 10 %`."""

    least: int
    off: Decimal

    @classmethod
    def parse(cls, text: object) -> QuantityStep:
        """Read `5: 10 %`. Raises NotationError."""
        mend = 'Write it like "5: 10 %": from five equal pieces on, ten percent off.'
        said = _line(text, mend)
        match = re.fullmatch(rf"(?:from )?(\d{{1,4}})\s*:\s*({_NUMBER})\s*%", said)
        if match is None or int(match[1]) < 2 or not 0 < _amount(match[2]) <= 90:
            raise NotationError(f'"{said}" is no quantity price.', mend)
        return cls(int(match[1]), _amount(match[2]) / 100)

    def __str__(self) -> str:
        return f"{self.least}: {(self.off * 100).normalize():f} %"


@dataclass(frozen=True)
class DatedRate(Written):
    """A rate between two currencies, written `1 EUR = 1.08 USD on 2027-01-04`."""

    base: str
    rate: Decimal
    quote: str
    date: dt.date

    @classmethod
    def parse(cls, text: object) -> DatedRate:
        """Read `1 EUR = 1.08 USD on 2027-01-04`. Raises NotationError."""
        mend = 'Write it like "1 EUR = 1.08 USD on 2027-01-04".'
        said = _line(text, mend)
        match = re.fullmatch(
            rf"1 ([A-Z]{{3}}) ?= ?({_NUMBER}) ([A-Z]{{3}}) on (\d{{4}}-\d{{2}}-\d{{2}})", said
        )
        if match is None or match[1] == match[3] or not _amount(match[2]) > 0:
            raise NotationError(f'"{said}" is no rate with its date.', mend)
        try:
            date = dt.date.fromisoformat(match[4])
        except ValueError:
            raise NotationError(f"{match[4]} is no date.", mend) from None
        return cls(match[1], _amount(match[2]), match[3], date)

    def __str__(self) -> str:
        return f"1 {self.base} = {self.rate} {self.quote} on {self.date.isoformat()}"


@dataclass(frozen=True)
class Instalment(Written):
    """A part of the total with its day, written `25 %, 60 days before the event`.

    Attributes:
        share: of the total, or None.
        amount: in the studio's currency, or None.
        days: after the anchor; negative before it.
    """

    share: Decimal | None
    amount: Decimal | None
    anchor: Literal["acceptance", "event"]
    days: int

    @classmethod
    def parse(cls, text: object) -> Instalment:
        """Read `25 %, 60 days before the event`. Raises NotationError."""
        mend = (
            'Write it like "25 %, 60 days before the event" or "200.00, 14 days after acceptance".'
        )
        said = _line(text, mend)
        match = re.fullmatch(
            rf"({_NUMBER}) ?(%?),? (\d{{1,3}}) days? (before|after) (?:the )?(event|acceptance)",
            said,
        )
        if match is None or not _amount(match[1]) > 0:
            raise NotationError(f'"{said}" is no instalment.', mend)
        number = _amount(match[1])
        if match[2] and number > 100:
            raise NotationError(f"{match[1]} % is more than the whole.", mend)
        days = int(match[3]) * (-1 if match[4] == "before" else 1)
        anchor: Literal["acceptance", "event"] = "event" if match[5] == "event" else "acceptance"
        if match[2]:
            return cls(number / 100, None, anchor, days)
        return cls(None, number, anchor, days)

    def __str__(self) -> str:
        part = f"{self.amount}" if self.share is None else f"{(self.share * 100).normalize():f} %"
        word = "before" if self.days < 0 else "after"
        day = "the event" if self.anchor == "event" else "acceptance"
        return f"{part}, {abs(self.days)} days {word} {day}"
