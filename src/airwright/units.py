"""The one place where text becomes SI and SI becomes text.

Inside Airwright every number is SI (metres, kilograms, seconds, pascal, newton; temperatures
in °C where the name says so) or a named trade unit in the variable's name. Here a decorator's
own writing ("6 ft 6 in", "9 1/2 in", "66 F", "0 m/s") is read, and numbers are written back in
the units a studio prefers. The factors are exact definitions; `tests/validation/test_units.py`
holds them against the pint library (why pint is not imported here: decision 0004).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from airwright.nearest import nearest

INCH_M: Final = 0.0254
"""Length of one inch [m], exact (international yard and pound agreement, 1959)."""
FOOT_M: Final = 0.3048
"""Length of one foot [m], exact."""
FOOT3_M3: Final = FOOT_M**3
"""Volume of one cubic foot [m³], exact."""
POUND_KG: Final = 0.45359237
"""Mass of one pound avoirdupois [kg], exact."""
ZERO_CELSIUS_K: Final = 273.15
"""Temperature of 0 °C [K], exact."""
GRAVITY_M_S2: Final = 9.80665
"""Standard acceleration of free fall [m/s²], exact (3rd CGPM, 1901)."""

LONGEST_TEXT: Final = 60
"""Longer texts are no quantity, and are not worth searching through."""


class UnitError(ValueError):
    """A text that cannot be read as the quantity asked for.

    Attributes:
        what: what is wrong, as a sentence for the decorator.
        mend: how to put it right.
    """

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


@dataclass(frozen=True, slots=True)
class Unit:
    """One accepted unit: SI value = scale × number + offset."""

    symbol: str
    scale: float
    offset: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class Kind:
    """A kind of quantity: the spellings accepted for its units, and how a decorator writes it.

    Attributes:
        name: "length", "temperature", …
        si: symbol of the unit used inside.
        units: accepted spelling → unit.
        examples: texts that this kind accepts.
        adds_up: whether "6 ft 6 in" is one quantity.
    """

    name: str
    si: str
    units: Mapping[str, Unit]
    examples: tuple[str, ...]
    adds_up: bool = False


def _units(*rows: tuple[str, float] | tuple[str, float, float]) -> dict[str, Unit]:
    """Rows of ("spelling|spelling", scale[, offset]); the first spelling is the symbol."""
    table = {}
    for words, *numbers in rows:
        first, *others = words.split("|")
        for word in (first, *others):
            table[word] = Unit(first, *numbers)
    return table


LENGTH: Final = Kind(
    "length",
    "m",
    _units(
        ('in|inch|inches|"|″|”', INCH_M),
        ("ft|foot|feet|'|′|’", FOOT_M),
        ("yd|yard|yards", 3 * FOOT_M),
        ("m|metre|metres|meter|meters", 1.0),
        ("cm", 0.01),
        ("mm", 0.001),
        ("km", 1000.0),
        ("mi|mile|miles", 5280 * FOOT_M),
    ),
    ("6 ft", "6 ft 6 in", "1.83 m", "24 cm"),
    adds_up=True,
)
TEMPERATURE: Final = Kind(
    "temperature",
    "C",
    _units(
        ("C|°C|degC|celsius", 1.0),
        ("F|°F|degF|fahrenheit", 5 / 9, -32 * 5 / 9),
        ("K|kelvin", 1.0, -ZERO_CELSIUS_K),
    ),
    ("19 C", "66 F"),
)
SPEED: Final = Kind(
    "speed",
    "m/s",
    _units(
        ("m/s", 1.0),
        ("km/h|kmh|kph", 1 / 3.6),
        ("mph", 5280 * FOOT_M / 3600),
        ("kn|knot|knots|kt", 1852 / 3600),
        ("ft/s", FOOT_M),
    ),
    ("8 m/s", "18 mph", "30 km/h"),
)
MASS: Final = Kind(
    "mass",
    "kg",
    _units(
        ("kg", 1.0),
        ("g|gram|grams", 0.001),
        ("lb|lbs|pound|pounds", POUND_KG),
        ("oz|ounce|ounces", POUND_KG / 16),
    ),
    ("12 kg", "26 lb", "2.8 g"),
    adds_up=True,
)
VOLUME: Final = Kind(
    "volume",
    "m3",
    _units(
        ("m3|m³|cubic metres|cubic meters", 1.0),
        ("ft3|ft³|cu ft|cubic feet|cubic foot", FOOT3_M3),
        ("L|l|litre|litres|liter|liters", 0.001),
    ),
    ("30 m3", "290 ft3", "50 L"),
)
PRESSURE: Final = Kind(
    "pressure",
    "Pa",
    _units(
        ("Pa", 1.0),
        ("kPa", 1000.0),
        ("hPa|mbar", 100.0),
        ("bar", 1e5),
        ("psi", POUND_KG * GRAVITY_M_S2 / INCH_M**2),
    ),
    ("200 bar", "2640 psi"),
)
DURATION: Final = Kind(
    "duration",
    "h",
    _units(
        ("h|hr|hrs|hour|hours", 1.0),
        ("min|mins|minute|minutes", 1 / 60),
        ("d|day|days", 24.0),
        ("s|sec|second|seconds", 1 / 3600),
    ),
    ("3 h", "1 h 30 min", "45 min"),
    adds_up=True,
)
FORCE: Final = Kind(
    "force",
    "N",
    _units(("N|newton|newtons", 1.0), ("lbf", POUND_KG * GRAVITY_M_S2)),
    ("20 N", "4 lbf"),
)
KINDS: Final = (LENGTH, TEMPERATURE, SPEED, MASS, VOLUME, PRESSURE, DURATION, FORCE)

_TERM = re.compile(
    r"\s*(?P<number>[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?)"
    r"(?:\s+(?P<over>\d+)\s*/\s*(?P<under>\d+))?"
    r"\s*(?P<unit>[^\d\s.+-](?:[^\d.+-]*[^\d\s.+-])?[3³]?)?\s*"
)


def parse(text: object, kind: Kind) -> float:
    """Read a quantity.

    Args:
        text: what the decorator wrote, e.g. "6 ft 6 in", "9 1/2 in", "66 F".
        kind: what it must be.

    Returns:
        The value in the kind's SI unit (temperature in °C, duration in hours).

    Raises:
        UnitError: no number, a missing or unknown unit, a unit of another kind, not finite.
    """
    mend = f"Write it like {_either(kind.examples)}."
    if isinstance(text, bool) or not isinstance(text, str | int | float):
        raise UnitError(f"This is not a {kind.name}.", mend)
    if not isinstance(text, str):
        raise UnitError(f"{text} has no unit.", mend)
    if len(text) > LONGEST_TEXT or not text.strip():
        raise UnitError(f"This is not a {kind.name}.", mend)
    total, at, terms, sign = 0.0, 0, 0, 1.0
    while at < len(text):
        term = _TERM.match(text, at)
        if term is None:
            raise UnitError(f'"{text}" cannot be read as a {kind.name}.', mend)
        unit = _find_unit(text, term["unit"], kind, mend)
        number = float(term["number"])
        if terms == 0:
            sign = -1.0 if term["number"].startswith("-") else 1.0
        if term["under"] is not None:
            number += math.copysign(_fraction(term["over"], term["under"], text, mend), sign)
        value = unit.scale * number + unit.offset
        total += value if terms == 0 else math.copysign(value, sign)
        at, terms = term.end(), terms + 1
    if terms > 1 and not kind.adds_up:
        raise UnitError(f'"{text}" holds more than one {kind.name}.', mend)
    if not math.isfinite(total):
        raise UnitError(f'"{text}" is no finite {kind.name}.', mend)
    return total


def _fraction(over: str, under: str, text: str, mend: str) -> float:
    if int(under) == 0:
        raise UnitError(f'"{text}" divides by zero.', mend)
    return int(over) / int(under)


def _find_unit(text: str, word: str | None, kind: Kind, mend: str) -> Unit:
    if word is None:
        raise UnitError(f'"{text}" has no unit.', mend)
    found = kind.units.get(word) or kind.units.get(word.lower())
    if found is not None:
        return found
    if word.startswith(","):
        raise UnitError(
            f'"{text}" has a comma in its number.',
            f"Write decimals with a point, thousands with nothing between. {mend}",
        )
    for other in KINDS:
        if word in other.units:
            raise UnitError(f'"{text}" is a {other.name}, not a {kind.name}.', mend)
    near = nearest(word.lower(), kind.units, cutoff=0.6)
    hint = f' Did you mean "{near[0]}"?' if near else ""
    raise UnitError(f'"{word}" is no unit of {kind.name}.{hint}', mend)


def _either(examples: tuple[str, ...]) -> str:
    quoted = [f'"{example}"' for example in examples]
    return quoted[0] if len(quoted) == 1 else ", ".join(quoted[:-1]) + " or " + quoted[-1]


class System(StrEnum):
    """Which units a studio likes to read."""

    FEET = "feet"
    METRIC = "metric"


_SHOWN: Final[dict[System, dict[str, tuple[str, int]]]] = {
    System.FEET: {
        "temperature": ("F", 0),
        "speed": ("mph", 0),
        "mass": ("lb", 1),
        "volume": ("ft3", 1),
        "pressure": ("psi", 2),
        "duration": ("h", 1),
        "force": ("lbf", 1),
    },
    System.METRIC: {
        "temperature": ("C", 0),
        "speed": ("m/s", 1),
        "mass": ("kg", 1),
        "volume": ("m3", 2),
        "pressure": ("kPa", 2),
        "duration": ("h", 1),
        "force": ("N", 0),
    },
}
_PRINTED: Final = {"C": "°C", "F": "°F", "m3": "m³", "ft3": "ft³"}


class Shown(str):
    """A quantity as written here, with a decimal point and comma grouping.

    Whoever says it in another language changes those signs (`airwright.language`).
    """

    __slots__ = ()


def show(
    value: float, kind: Kind, system: System = System.FEET, places: int | None = None
) -> Shown:
    """Write a quantity in the units a studio reads; `parse` reads it back to the printed digits.

    Args:
        value: the quantity in the kind's SI unit.
        kind: what it is.
        system: feet and inches, or metric.
        places: decimals, else what suits the kind.

    Returns:
        For instance "6 ft 6 in", "9.5 in", "24.1 cm", "66 °F".
    """
    if kind is LENGTH:
        return Shown(_show_length(value, system, places))
    symbol, usual = _SHOWN[system][kind.name]
    unit = kind.units[symbol]
    number = (value - unit.offset) / unit.scale
    digits = usual if places is None else places
    return Shown(f"{_trim(number, digits)} {_PRINTED.get(symbol, symbol)}")


def _show_length(metres: float, system: System, places: int | None) -> str:
    digits = 1 if places is None else places
    if system is System.METRIC:
        if abs(metres) < 1.0:
            return f"{_trim(metres * 100, digits)} cm"
        return f"{_trim(metres, max(digits, 2))} m"
    inches = metres / INCH_M
    if abs(inches) < 36:
        return f"{_trim(inches, digits)} in"
    sign = "-" if inches < 0 else ""
    whole = round(abs(inches))
    feet, rest = divmod(whole, 12)
    return f"{sign}{feet:,} ft" + (f" {rest} in" if rest else "")


def _trim(number: float, places: int) -> str:
    text = f"{number:,.{places}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def mass_words(kg: float, system: System) -> Shown:
    """A mass as people say it: pounds or kilograms, below one kilogram ounces or grams.

    Args:
        kg: the mass [kg].
        system: feet and inches (pounds and ounces), or metric.

    Returns:
        For instance "67 lb", "13.7 lb", "4.6 oz", "116 g".
    """
    if abs(kg) >= 1:
        return show(kg, MASS, system, 0 if abs(kg) >= 20 else 1)
    if system is System.METRIC:
        return Shown(grams(kg))
    ounces = kg / MASS.units["oz"].scale
    return Shown(f"{ounces:.1f} oz" if ounces < 16 else f"{ounces / 16:.1f} lb")


def grams(kg: float) -> str:
    """A small mass [kg] in grams: "39.2 g", "170 g"."""
    return f"{1000 * kg:.1f} g" if kg < 0.1 else f"{1000 * kg:.0f} g"


def both_lengths(metres: float) -> Shown:
    """A length in both systems, for sheets that travel: "6 ft 2 in (1.88 m)"."""
    return Shown(f"{show(metres, LENGTH, System.FEET)} ({show(metres, LENGTH, System.METRIC)})")


def inches(metres: float) -> float:
    """Metres as inches."""
    return metres / INCH_M


_WRITTEN: Final = {
    "length": ("ft", "in", "m", "cm", "mm", "km"),
    "temperature": ("C", "F"),
    "speed": ("m/s", "km/h", "mph"),
    "mass": ("kg", "g", "lb"),
    "volume": ("m3", "L", "ft3"),
    "pressure": ("bar", "psi", "kPa", "Pa"),
    "duration": ("h", "min"),
    "force": ("N", "lbf"),
}


def write(value: float, kind: Kind) -> str:
    """Write a quantity so that `parse` returns the very same float, in the shortest usual unit.

    Args:
        value: the quantity in the kind's SI unit.
        kind: what it is.

    Returns:
        For instance "6 ft" for 1.8288 (metres), "19 C" for 19.0.
    """
    symbols = _WRITTEN[kind.name]
    if kind is LENGTH and abs(value) >= 1000:
        symbols = symbols[::-1]
    for symbol in symbols:
        unit = kind.units[symbol]
        text = f"{round((value - unit.offset) / unit.scale, 3):.10g} {symbol}"
        if "e" not in text and parse(text, kind) == value:
            return text
    return f"{value!r} {kind.si}"
