"""Quantities and lists as findings, commands and the safety sheet say them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from airwright.language import Text, listing, message
from airwright.units import (
    FOOT3_M3,
    FORCE,
    LENGTH,
    SPEED,
    TEMPERATURE,
    Kind,
    Shown,
    System,
    grams,
    mass_words,
    parse,
    show,
)

MOST_NAMED: Final = 4
"""More names than this in one sentence become "and n more"."""


class Words:
    """Quantities in the reader's own units; with `beside` the other system in brackets too.

    Papers, findings and prices speak one system; calculators, which convert, give both.
    """

    def __init__(self, system: System, *, beside: bool = False) -> None:
        self.system = system
        self.other = System.METRIC if system is System.FEET else System.FEET
        self.beside = beside

    def size(self, metres: float) -> Shown:
        """A length in the reader's units alone."""
        return show(metres, LENGTH, self.system)

    def quantity(self, value: float, kind: Kind, places: int | None = None) -> Shown:
        """Any quantity."""
        return self._pair(
            show(value, kind, self.system, places), show(value, kind, self.other, places)
        )

    def sizes(self, metres: float) -> Shown:
        """A length."""
        return self.quantity(metres, LENGTH)

    def mass(self, kg: float) -> Shown:
        """A mass: pounds or kilograms, below one kilogram ounces or grams."""
        return self._pair(mass_words(kg, self.system), mass_words(kg, self.other))

    def grams(self, kg: float) -> str:
        """A small mass in grams."""
        return grams(kg)

    def speed(self, m_s: float) -> Shown:
        """A wind speed."""
        return self.quantity(m_s, SPEED, 0)

    def limit(self, m_s: float) -> Shown:
        """A wind speed not to be exceeded: rounded down."""
        mph = math.floor(m_s / parse("1 mph", SPEED) + 1e-9)
        return self._of(f"{mph} mph", f"{math.floor(m_s + 1e-9)} m/s")

    def force(self, newton: float) -> Shown:
        """A force."""
        return self.quantity(newton, FORCE, 0 if newton >= 20 else 1)

    def warm(self, celsius: float) -> Shown:
        """A temperature."""
        return self.quantity(celsius, TEMPERATURE)

    def volume(self, m3: float) -> Shown:
        """A volume of gas or room; litres below a tenth of a cubic metre."""
        metric = f"{_few(1000 * m3)} L" if m3 < 0.1 else f"{_few(m3)} m³"
        return self._of(f"{_few(m3 / FOOT3_M3)} ft³", metric)

    def _of(self, feet: str, metric: str) -> Shown:
        """The one that stands first, the other beside it where both are wanted."""
        return self._pair(*((feet, metric) if self.system is System.FEET else (metric, feet)))

    def _pair(self, first: str, second: str) -> Shown:
        return Shown(f"{first} ({second})" if self.beside else first)


def _few(number: float) -> str:
    """Three digits or so: 4,768; 135; 31.8; 4.23."""
    places = 0 if number >= 100 else 1 if number >= 10 else 2
    return f"{number:,.{places}f}"


def listed(parts: Sequence[str]) -> Text:
    """ "coral, sand and teal"; long lists end in "and 7 more"."""
    if len(parts) > MOST_NAMED:
        more = message("{n} more", n=len(parts) - MOST_NAMED + 1)
        parts = [*parts[: MOST_NAMED - 1], more]
    return listing(parts)
