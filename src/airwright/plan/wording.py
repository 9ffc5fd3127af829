"""Quantities and lists as findings, commands and the safety sheet say them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from airwright.units import (
    FOOT3_M3,
    FORCE,
    LENGTH,
    MASS,
    SPEED,
    TEMPERATURE,
    Kind,
    System,
    parse,
    show,
)

MOST_NAMED: Final = 4
"""More names than this in one sentence become "and n more"."""


class Words:
    """Quantities in the studio's own units, the other system in brackets where it helps."""

    def __init__(self, system: System) -> None:
        self.system = system
        self.other = System.METRIC if system is System.FEET else System.FEET

    def size(self, metres: float) -> str:
        """A length in the studio's units."""
        return show(metres, LENGTH, self.system)

    def both(self, value: float, kind: Kind, places: int | None = None) -> str:
        """A quantity in both systems."""
        return f"{show(value, kind, self.system, places)} ({show(value, kind, self.other, places)})"

    def sizes(self, metres: float) -> str:
        """A length in both systems."""
        return self.both(metres, LENGTH)

    def mass(self, kg: float) -> str:
        """A mass in both systems: pounds and kilograms, below one kilogram ounces and grams."""
        if abs(kg) >= 1:
            return self.both(kg, MASS, 0 if abs(kg) >= 20 else 1)
        ounces = kg / MASS.units["oz"].scale
        pair = [f"{ounces:.1f} oz" if ounces < 16 else f"{ounces / 16:.1f} lb", self.grams(kg)]
        first, second = pair if self.system is System.FEET else pair[::-1]
        return f"{first} ({second})"

    def grams(self, kg: float) -> str:
        """A small mass in grams."""
        return f"{1000 * kg:.1f} g" if kg < 0.1 else f"{1000 * kg:.0f} g"

    def speed(self, m_s: float) -> str:
        """A wind speed in both systems."""
        return self.both(m_s, SPEED, 0)

    def limit(self, m_s: float) -> str:
        """A wind speed not to be exceeded: rounded down in both systems."""
        mph = math.floor(m_s / parse("1 mph", SPEED) + 1e-9)
        pair = [f"{mph} mph", f"{math.floor(m_s + 1e-9)} m/s"]
        first, second = pair if self.system is System.FEET else pair[::-1]
        return f"{first} ({second})"

    def force(self, newton: float) -> str:
        """A force in both systems."""
        return self.both(newton, FORCE, 0 if newton >= 20 else 1)

    def warm(self, celsius: float) -> str:
        """A temperature in both systems."""
        return self.both(celsius, TEMPERATURE)

    def volume(self, m3: float) -> str:
        """A volume of gas or room in both systems; litres below a tenth of a cubic metre."""
        metric = f"{_few(1000 * m3)} L" if m3 < 0.1 else f"{_few(m3)} m³"
        pair = [f"{_few(m3 / FOOT3_M3)} ft³", metric]
        first, second = pair if self.system is System.FEET else pair[::-1]
        return f"{first} ({second})"


def _few(number: float) -> str:
    """Three digits or so: 4,768; 135; 31.8; 4.23."""
    places = 0 if number >= 100 else 1 if number >= 10 else 2
    return f"{number:,.{places}f}"


def listed(parts: Sequence[str]) -> str:
    """ "coral, sand and teal"; long lists end in "and 7 more"."""
    if len(parts) > MOST_NAMED:
        parts = [*parts[: MOST_NAMED - 1], f"{len(parts) - MOST_NAMED + 1} more"]
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + " and " + parts[-1]
