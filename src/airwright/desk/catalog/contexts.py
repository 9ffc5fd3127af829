"""What the templates of the stock are given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import SettingsPart


@dataclass(frozen=True, slots=True)
class StockLine:
    """One row as the list shows it: `facts` are pairs of a word and a figure.

    `priced` says of when its prices are; `old` that they want another look.
    """

    name: str
    about: str
    facts: tuple[tuple[str, str], ...]
    priced: str
    old: bool
    colour: str
    own: bool


@dataclass(frozen=True)
class StockPage(SettingsPart):
    """A shelf: all rows of one kind."""

    template: ClassVar[str] = "catalog/catalog.html"
    shelf: str
    title: str
    lede: str
    add: str
    rows: tuple[StockLine, ...]
    version: int
    all_ours: bool
    starting_prices: str


@dataclass(frozen=True, slots=True)
class StockField:
    """A field of a row's form; `wrong` is (what, cure), empty where all is well."""

    key: str
    label: str
    help: str
    widget: str
    value: str
    hint: str
    choices: tuple[tuple[str, str], ...]
    required: bool
    rare: bool
    wrong: tuple[str, str] | tuple[()]


@dataclass(frozen=True, slots=True)
class PackField:
    """One kind of bag: how many in it, and its price."""

    index: int
    count: str
    price: str
    wrong: tuple[str, str] | tuple[()]


@dataclass(frozen=True)
class StockRowPage(SettingsPart):
    """One row, to change, add or take out."""

    template: ClassVar[str] = "catalog/row.html"
    shelf: str
    shelf_title: str
    new: str
    lost: str
    name: str
    fields: tuple[StockField, ...]
    packs: tuple[PackField, ...]
    version: int
    own: bool
    ours: bool
    note: str
    wrong: tuple[str, str] | tuple[()]


@dataclass(frozen=True, slots=True)
class TimeField:
    """A labour standard: minutes as the studio has them, "" where ours hold."""

    operation: str
    what: str
    per: str
    place: str
    minutes: str
    usual: str
    wrong: tuple[str, str] | tuple[()]


@dataclass(frozen=True)
class TimesPage(SettingsPart):
    """All labour standards."""

    template: ClassVar[str] = "catalog/times.html"
    times: tuple[TimeField, ...]
    version: int
    allowance: str
    any_wrong: bool
