"""Numbers the job uses, each with its range and its guard; and spoiling them on purpose.

A guard is an effect: something the job shows that is known from outside. It is worked out anew
with the number set to another value, everywhere the program holds it, so that a guard that
looks elsewhere is found out.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from decimal import Decimal
from importlib import import_module
from types import FunctionType
from typing import Any

from airwright.catalog import Balloon, Pack
from airwright.job.studio import Studio
from airwright.physics.errors import PhysicsError

Effect = Callable[[Studio], float]


@dataclass(frozen=True)
class Guard:
    """What the job shows, and what it must be by outside knowledge.

    Attributes:
        what: the effect in words.
        effect: works it out, with a studio's settings.
        low, high: band it must lie in.
        unit: of the effect.
        source: where the band comes from.
        origin: marker of the band, as in tests/validation.
    """

    what: str
    effect: Effect
    low: float
    high: float
    unit: str
    source: str
    origin: str

    def holds(self, studio: Studio) -> bool:
        """Whether the effect lies in its band; what cannot be worked out does not."""
        try:
            return self.low <= self.effect(studio) <= self.high
        except (ValueError, ArithmeticError, AssertionError, PhysicsError):
            return False


def practice(what: str, effect: Effect, low: float, high: float, unit: str) -> Guard:
    """A band of common practice."""
    source = "common practice, no source"
    return Guard(what, effect, low, high, unit, source, "common_practice")


def remembered(
    what: str, effect: Effect, low: float, high: float, unit: str, source: str = "from memory"
) -> Guard:
    """A band from memory."""
    return Guard(what, effect, low, high, unit, source, "from_memory")


@dataclass(frozen=True)
class Constant:
    """A number the job uses.

    Attributes:
        at: "physics.drag.SAFE_SPHERE" in the package; "care.friction" of the studio's settings
            with "settings:" before it; "balloons:11in.mass_g",
            "operations:drive.minutes"; "balloons:11in.packs" stands for the price of one.
        what: in words.
        low, high: the range outside which its guard must fail.
        unit: its unit.
        guard: the effect that guards it.
        spoilt: values beyond the range that were once not noticed.
    """

    at: str
    what: str
    low: float
    high: float
    unit: str
    guard: Guard
    spoilt: tuple[float, ...] = ()

    def value(self, studio: Studio) -> float:
        """The number as the job uses it now."""
        kind, _, path = self.at.rpartition(":")
        if kind == "settings":
            table, key = path.split(".")
            return float(getattr(getattr(studio, table), key))
        if kind:
            name, _, key = path.rpartition(".")
            row = getattr(studio.catalog(), kind)[name]
            return unit_price(row.packs) if key == "packs" else float(getattr(row, key))
        return float(_found(path))


def unit_price(packs: Sequence[Pack]) -> float:
    """What one balloon costs out of the largest bag."""
    largest = max(packs, key=lambda pack: pack.count)
    return float(largest.price) / largest.count


@contextmanager
def spoiled(constant: Constant, value: float, studio: Studio) -> Iterator[Studio]:
    """The studio and the program with that number set to another value."""
    kind, _, path = constant.at.rpartition(":")
    if kind == "settings":
        table, key = path.split(".")
        old = getattr(getattr(studio, table), key)
        new = Decimal(str(value)) if isinstance(old, Decimal) else value
        part = getattr(studio, table).model_copy(update={key: new})
        yield studio.model_copy(update={table: part})
    elif kind:
        name, _, key = path.rpartition(".")
        row = getattr(studio.catalog(), kind)[name]
        row = row.model_copy(update={key: _dearer(row, value) if key == "packs" else value})
        yield studio.model_copy(update={kind: (row,)})
    else:
        old = _found(path)
        places, defaults = list(_everywhere(path)), list(_defaults(old))
        try:
            for module, name in places:
                setattr(module, name, value)
            for function, values in defaults:
                function.__defaults__ = tuple(value if v is old else v for v in values)
            _forget()
            yield studio
        finally:
            for module, name in places:
                setattr(module, name, old)
            for function, values in defaults:
                function.__defaults__ = values
            _forget()


def _dearer(row: Balloon, value: float) -> list[Pack]:
    """Bags of which the largest costs that much a balloon, the others in proportion."""
    factor = Decimal(str(value / unit_price(row.packs)))
    return [p.model_copy(update={"price": round(p.price * factor, 2)}) for p in row.packs]


def _found(path: str) -> Any:
    module, _, name = path.rpartition(".")
    return getattr(import_module(f"airwright.{module}"), name)


def _everywhere(path: str) -> Iterator[tuple[Any, str]]:
    """The constant where it is defined, and wherever it was imported under its name."""
    old = _found(path)
    name = path.rpartition(".")[2]
    for label, module in list(sys.modules.items()):
        if label.startswith("airwright.") and getattr(module, name, None) is old:
            yield module, name


def _defaults(old: Any) -> Iterator[tuple[FunctionType, tuple[Any, ...]]]:
    """Functions that took the constant as a default when they were defined."""
    for label, module in list(sys.modules.items()):
        if not label.startswith("airwright."):
            continue
        for thing in vars(module).values():
            function = getattr(thing, "__wrapped__", thing)
            if not isinstance(function, FunctionType) or not function.__defaults__:
                continue
            if function.__module__ == label and any(v is old for v in function.__defaults__):
                yield function, function.__defaults__


def _forget() -> None:
    """Nothing worked out with other numbers is remembered."""
    for label, module in list(sys.modules.items()):
        if not label.startswith("airwright."):
            continue
        for thing in list(vars(module).values()):
            clear = getattr(thing, "cache_clear", None)
            if callable(clear) and getattr(thing, "__module__", "").startswith("airwright."):
                clear()
