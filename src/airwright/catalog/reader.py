"""Reads the catalogue's data files and answers look-ups by name."""

from __future__ import annotations

import datetime as dt
import re
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Any, Final, TypeVar

from airwright.catalog.models import Balloon, Hardware, HardwareUse, Operation, StockShade
from airwright.nearest import nearest
from airwright.units import INCH_M

_Found = TypeVar("_Found")

ANY_FIGURE: Final = "figure"
"""Outline of a row that stands for all letters and figures of a size."""


class UnknownName(KeyError):
    """A name the catalogue does not hold.

    Attributes:
        name: what was asked for.
        near: the nearest known names, best first.
    """

    def __init__(self, what: str, name: str, known: Iterable[str]) -> None:
        super().__init__(name)
        self.what = what
        self.name = name
        self.known = tuple(known)
        alike = nearest(name, self.known, most=3)
        self.near = tuple(dict.fromkeys([*_in_inches(name, self.known), *alike]))

    def __str__(self) -> str:
        hint = f' Did you mean "{self.near[0]}"?' if self.near else ""
        return f'The catalogue has no {self.what} "{self.name}".{hint}'


def _in_inches(name: str, known: tuple[str, ...]) -> list[str]:
    """The size sold in inches that is nearest to one given in centimetres, if one is near."""
    asked = re.fullmatch(r"\s*(\d+(?:\.\d+)?)\s*cm\s*", name, re.IGNORECASE)
    if asked is None:
        return []
    wanted = float(asked[1]) / 100 / INCH_M
    sizes = {one: float(one[:-2]) for one in known if re.fullmatch(r"\d+(\.\d+)?in", one)}
    near = sorted(sizes, key=lambda one: abs(sizes[one] - wanted))
    return [one for one in near[:1] if abs(sizes[one] - wanted) <= 0.06 * wanted]


@dataclass(frozen=True, slots=True, eq=False)
class Catalog:
    """Balloons, hardware, shades and labour standards by name.

    Attributes:
        currency: ISO 4217 code of all prices in it whose row names no other.
        priced_on: the day the prices that ship with it are from.
        balloons: by size ("11in").
        hardware: by item.
        operations: labour standards by operation.
        shades: held in stock, by name.
        allowance: share of basic time added for rest and interruptions.
        figures: foil letters and figures that are sold, and the mass of each over the mean.
    """

    currency: str
    balloons: Mapping[str, Balloon]
    hardware: Mapping[str, Hardware]
    operations: Mapping[str, Operation]
    shades: Mapping[str, StockShade]
    allowance: float
    figures: Mapping[str, float] = field(default_factory=dict)
    priced_on: dt.date | None = None

    def balloon(self, size: str) -> Balloon:
        """The balloon of a size, "34in foil 7" by "34in foil figure". Raises UnknownName."""
        if size not in self.balloons and size[-1:] in self.figures:
            row = self.balloons.get(f"{size[:-1]}figure")
            if row is not None and row.outline == ANY_FIGURE:
                return _figure(row, size, self.figures[size[-1]])
        return _look_up("balloon size", size, self.balloons)

    def balloon_listed(self, item: str) -> Balloon:
        """The balloon that lists call so, "11in round balloon". Raises UnknownName."""
        listed = {row.item: row for row in self.balloons.values()}
        return listed[item] if item in listed else self.balloon(item)

    def item(self, item: str) -> Hardware:
        """A piece of hardware by name. Raises UnknownName."""
        return _look_up("hardware", item, self.hardware)

    def operation(self, operation: str) -> Operation:
        """A labour standard by name. Raises UnknownName."""
        return _look_up("labour standard", operation, self.operations)

    def of_use(self, use: HardwareUse) -> tuple[Hardware, ...]:
        """All hardware of one use, in catalogue order."""
        return tuple(item for item in self.hardware.values() if item.use == use)

    def with_rows(
        self,
        *,
        balloons: Iterable[Balloon] = (),
        hardware: Iterable[Hardware] = (),
        operations: Iterable[Operation] = (),
        shades: Iterable[StockShade] = (),
        allowance: float | None = None,
    ) -> Catalog:
        """This catalogue with a studio's own rows added or put in place of ours."""
        return replace(
            self,
            balloons={**self.balloons, **{row.size: row for row in balloons}},
            hardware={**self.hardware, **{row.item: row for row in hardware}},
            operations={**self.operations, **{row.operation: row for row in operations}},
            shades={**self.shades, **{row.name: row for row in shades}},
            allowance=self.allowance if allowance is None else allowance,
        )


@cache
def _figure(row: Balloon, size: str, share: float) -> Balloon:
    """One letter or figure of a size of foil."""
    return row.model_copy(update={"size": size, "outline": size[-1], "mass_g": row.mass_g * share})


def _look_up(what: str, name: str, table: Mapping[str, _Found]) -> _Found:
    try:
        return table[name]
    except KeyError:
        raise UnknownName(what, name, table) from None


def _read(name: str) -> dict[str, Any]:
    text = files("airwright.catalog").joinpath("data", name).read_text(encoding="utf-8")
    return tomllib.loads(text, parse_float=Decimal)


@cache
def default_catalog() -> Catalog:
    """The catalogue that ships with Airwright: starting values, each marked with its source."""
    balloons = _read("balloons.toml")
    labour = _read("labour.toml")
    return Catalog(
        currency=balloons["currency"],
        balloons={row["size"]: Balloon(**row) for row in balloons["balloons"]},
        hardware={row["item"]: Hardware(**row) for row in _read("hardware.toml")["hardware"]},
        operations={row["operation"]: Operation(**row) for row in labour["operations"]},
        shades={row["name"]: StockShade(**row) for row in _read("shades.toml")["shades"]},
        allowance=float(labour["allowance"]),
        figures={sign: float(share) for sign, share in balloons["figures"].items()},
        priced_on=balloons["priced_on"],
    )


@dataclass(frozen=True, slots=True)
class StartingRate:
    """What one `base` was in `quote` on a day: for figures before a studio has set its own."""

    base: str
    quote: str
    rate: Decimal
    date: dt.date


@cache
def starting_rates() -> tuple[StartingRate, ...]:
    """Rates that ship with Airwright, from memory and marked so."""
    told = _read("rates.toml")
    return tuple(
        StartingRate(told["base"], quote, Decimal(rate), told["date"])
        for quote, rate in told["rates"].items()
    )
