"""Shelves of the stock: rows as they hold, and writing them into the studio file."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from typing import Any, Final

import tomlkit
from pydantic import BaseModel

from airwright import units
from airwright.catalog import Catalog, default_catalog
from airwright.catalog.models import Balloon, Hardware, StockShade
from airwright.desk.catalog.contexts import StockLine
from airwright.desk.catalog.forms import Wrong, fields_of, shown
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.tables import document_of
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import money
from airwright.desk.studio_changes import checked
from airwright.job import Studio
from airwright.job.cluster import Inflated, NotationError
from airwright.job.records import FieldSpec
from airwright.job.studio import CYLINDERS, Cylinder
from airwright.language import file_word, joined, message
from airwright.money.amount import is_currency
from airwright.money.reading import read_amount
from airwright.plan.rates import OLD_PRICE_DAYS

OWN_SOURCE: Final = "entered by the studio"


@dataclass(frozen=True)
class StockKind:
    """One kind of row: how it is called, its table in the studio file, and the row's model."""

    key: str
    title: str
    lede: str
    add: str
    new: str
    lost: str
    table: str
    model: type[BaseModel]

    @cached_property
    def fields(self) -> dict[str, FieldSpec]:
        """The fields of its form; where figures come from need not be said."""
        found = fields_of(self.model)
        if "source" in found:
            found["source"] = replace(found["source"], required=False, default=OWN_SOURCE)
        return found

    @property
    def name_key(self) -> str:
        """The field that names a row."""
        return next(iter(self.fields))


SHELVES: Final = {
    shelf.key: shelf
    for shelf in (
        StockKind("balloons", message("Balloons"),
              message("Sizes you buy, how you fill them, and what a bag costs."),
              message("Add a size"), message("A new size"),
              message("Jobs that name it will ask for another size."), "balloons", Balloon),
        StockKind("shades", message("Shades"),
              message("What hangs in your store, under names of your own."),
              message("Add a shade"), message("A new shade"),
              message("Jobs that name it will ask for another shade."), "shades", StockShade),
        StockKind("hardware", message("Hardware"), message("What you own and buy beside balloons."),
              message("Add a piece of hardware"), message("A new piece of hardware"),
              message("Plans take what is left on the shelf."), "hardware", Hardware),
        StockKind("gas", message("Gas"), message("Cylinders your supplier lends you."),
              message("Add a cylinder"), message("A new cylinder"),
              message("No job will be planned with this cylinder any more."), "cylinders",
              Cylinder),
    )
}  # fmt: skip


_FAMILIES = {"modelling": message("modeling")}
"""Families whose key in files is no American word."""


def rows_of(shelf: StockKind, studio: Studio) -> dict[str, dict[str, Any]]:
    """Every row that holds, by name, as plain values; weighings left aside."""
    if shelf.key == "gas":
        return {row.name: row.model_dump() for row in studio.cylinders}
    own = default_catalog().with_rows(
        balloons=studio.balloons, hardware=studio.hardware, shades=studio.shades
    )
    return {name: row.model_dump() for name, row in _named(shelf, own).items()}


def _named(shelf: StockKind, catalog: Catalog) -> Mapping[str, Any]:
    return {
        "balloons": catalog.balloons,
        "hardware": catalog.hardware,
        "shades": catalog.shades,
    }[shelf.key]


def ours(shelf: StockKind) -> set[str]:
    """Names of the rows that ship with Airwright."""
    if shelf.key == "gas":
        return {row.name for row in CYLINDERS}
    return set(_named(shelf, default_catalog()))


def own_names(shelf: StockKind, studio: Studio) -> set[str]:
    """Names of the rows the studio wrote itself."""
    if shelf.key == "gas":
        return {row.name for row in studio.cylinders} if studio.cylinders != CYLINDERS else set()
    return {getattr(row, shelf.name_key) for row in getattr(studio, shelf.table)}


def lines(shelf: StockKind, studio: Studio, today: dt.date) -> tuple[StockLine, ...]:
    """The list of a shelf; on `today` a price may be too old to trust."""
    own = own_names(shelf, studio)

    def value(row: Mapping[str, Any], key: str) -> str:
        return shown(shelf.fields[key], row[key], studio.studio.units)

    def line(name: str, row: dict[str, Any]) -> StockLine:
        about: str = ""
        currency = row.get("currency") or default_catalog().currency
        facts: list[tuple[str, str]] = []
        if shelf.key == "balloons":
            about = message(
                "{family}, filled to {width}",
                family=_FAMILIES.get(str(row["family"])) or file_word(str(row["family"])),
                width=value(row, "usual_in"),
            )
            facts = [(message("bag of {n}", n=p["count"]) if p["count"] > 1 else message("one"),
                      money(p["price"], currency)) for p in row["packs"]]  # fmt: skip
        elif shelf.key == "hardware":
            about = joined([file_word(str(row["use"])), value(row, "mass_kg")])
            by_length = row["unit"] == "m"
            new = message("new, a meter") if by_length else message("new")
            facts = [(new, money(row["price"], currency))]
            if row["reuses"] > 1:
                facts.append((message("lasts"), message("{n} jobs", n=row["reuses"])))
            if row["owned"] is not None:
                facts.append((message("owned"), value(row, "owned")))
        elif shelf.key == "shades":
            about = file_word(str(row["finish"]))
        else:
            weighs = row["mass"]
            if not isinstance(weighs, str):
                weighs = units.show(float(weighs), units.MASS, studio.studio.units)
            about = message("{water} at {gauge}, {weight} full", water=value(row, "water"),
                            gauge=value(row, "gauge"), weight=weighs)  # fmt: skip
            facts = [(message("a filling"), money(row["price"], currency))]
        priced, old = _priced(row.get("priced_on"), today) if facts else ("", False)
        return StockLine(name, about, tuple(facts), priced, old, row.get("colour", ""), name in own)

    return tuple(line(name, row) for name, row in rows_of(shelf, studio).items())


def _priced(day: dt.date | None, today: dt.date) -> tuple[str, bool]:
    """Of when a price is, in words, and whether that is long ago."""
    if day is None:
        return "", False
    said = shown_day(day)
    if (today - day).days > OLD_PRICE_DAYS:
        return message("as of {day}, more than a year ago", day=said), True
    return message("as of {day}", day=said), False


def dated(
    shelf: StockKind, old: Mapping[str, Any], values: Mapping[str, Any], today: dt.date
) -> dict[str, Any]:
    """A row whose price was changed, and the day beside it not: the price is of today."""
    keys = [key for key in ("packs", "price", "rent", "currency") if key in values]

    def told(row: Mapping[str, Any]) -> list[Any]:
        return [_plainly(row.get(key)) for key in keys]

    left_alone = values.get("priced_on") == old.get("priced_on")
    if keys and left_alone and told(old) != told(values):
        return {**values, "priced_on": today}
    return dict(values)


def _plainly(value: Any) -> Any:
    """A price as it compares, whether it comes from the file or from a form."""
    if isinstance(value, list | tuple):
        return [{key: _plainly(part) for key, part in pack.items()} for pack in value]
    amount = read_amount(value) if isinstance(value, str) else value
    return amount if isinstance(amount, Decimal) else value


def fit_prices(row: Mapping[str, Any], today: dt.date) -> dict[str, Wrong]:
    """What is wrong with the currency of a price or its day, by field."""
    wrong: dict[str, Wrong] = {}
    code, day = row.get("currency"), row.get("priced_on")
    if code and not is_currency(str(code)):
        wrong["currency"] = (
            message('"{code}" is no currency.', code=str(code)[:20]),
            message('Use one like "USD" or "EUR".'),
        )
    if isinstance(day, dt.date) and day > today:
        wrong["priced_on"] = (
            message("This day is still to come."),
            message("Write the day you saw the price."),
        )
    return wrong


def fit_name(shelf: StockKind, name: str, taken: Mapping[str, Any]) -> str:
    """A new row's name as recipes and lists write it. Raises EditError."""
    if shelf.key == "balloons":
        if "@" in name or "+" in name:
            raise EditError(
                message('"{name}" is a recipe, not a size.', name=name),
                message('Write only the size: "14in".'),
            )
        try:
            name = Inflated.parse(name).size
        except NotationError as problem:
            raise EditError(problem.what, message('Write the size like "14in".')) from problem
    if name in taken:
        raise EditError(
            message('"{name}" is there already.', name=name),
            message("Open it in the list and change it there."),
        )
    return name


def fit_balloon(row: Mapping[str, Any]) -> dict[str, Wrong]:
    """What does not fit together in a balloon, by field."""
    wrong: dict[str, Wrong] = {}
    nominal, usual, flat = (row.get(k) for k in ("nominal_in", "usual_in", "flat_width_in"))
    if nominal and usual and usual > 1.05 * nominal:
        wrong["usual_in"] = (
            message(
                "It would be filled wider than the {nominal} in it is sold as.",
                nominal=f"{nominal:g}",
            ),
            message("Fill it to less, or correct the size on the bag."),
        )
    if nominal and flat and flat > 1.05 * nominal:
        wrong["flat_width_in"] = (
            message(
                "Empty it is wider than the {nominal} in it is sold as.", nominal=f"{nominal:g}"
            ),
            message("Measure it laid flat."),
        )
    if row.get("family") == "modelling" and row.get("length_in") is None:
        wrong["length_in"] = (
            message("A modeling balloon needs its length."),
            message('Write it like "60 in".'),
        )
    return wrong


def with_row(text: str, shelf: StockKind, name: str, values: Mapping[str, Any]) -> str:
    """The studio file with a row written into it, its comments and other keys kept.

    Raises:
        EditError: the file as a whole would no longer hold.
    """
    document = document_of(text)
    rows = _rows(document, shelf)
    found = [row for row in rows if row.get(shelf.name_key) == name]
    if found:
        _write(found[-1], values)
    else:
        _append(rows, values)
    return checked(tomlkit.dumps(document))


def without_row(text: str, shelf: StockKind, name: str) -> str:
    """The studio file without a row; where one of ours has its name, ours holds again.

    Raises:
        EditError: there is no such row, or something else in the file needs it.
    """
    document = document_of(text)
    rows = _rows(document, shelf)
    at = [index for index, row in enumerate(rows) if row.get(shelf.name_key) == name]
    if not at:
        raise EditError(
            message("This line is not there any more."), message("Look at the list again.")
        )
    if shelf.key == "gas" and len(at) == len(rows):
        raise EditError(
            message("That is your last cylinder."),
            message("Add another one first, or take ours again."),
        )
    for index in reversed(at):
        del rows[index]
    if len(rows) == 0:
        del document[shelf.table]
    return checked(tomlkit.dumps(document))


def without_own(text: str, shelf: StockKind) -> str:
    """The studio file without any row of its own on this shelf. Raises EditError."""
    document = document_of(text)
    document.pop(shelf.table, None)
    return checked(tomlkit.dumps(document))


def _rows(document: Any, shelf: StockKind) -> Any:
    if shelf.table not in document:
        document[shelf.table] = tomlkit.aot()
        if shelf.key == "gas":  # a list of one's own takes the place of all of ours
            for cylinder in CYLINDERS:
                _append(document[shelf.table], cylinder.model_dump(mode="json"))
    return document[shelf.table]


def _append(rows: Any, values: Mapping[str, Any]) -> None:
    """A new row, written as the others are: under a heading of its own, or in braces."""
    own_heading = isinstance(rows, tomlkit.items.AoT)
    fresh: Any = tomlkit.table() if own_heading else tomlkit.inline_table()
    _write(fresh, values)
    rows.append(fresh)


def _write(row: Any, values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        if value is None:
            if key in row:
                del row[key]
            continue
        old = row.get(key)
        if (old.unwrap() if hasattr(old, "unwrap") else old) == value:
            continue  # what stays keeps its layout and its comment
        if isinstance(value, list):
            array = tomlkit.array()
            for entry in value:
                inner = tomlkit.inline_table()
                inner.update(entry)
                array.append(inner)
            value = array
        row[key] = value


def with_times(text: str, minutes: Mapping[str, float | None]) -> str:
    """The studio file with minutes of labour standards written, or (None) taken out."""
    document = document_of(text)
    if "operations" not in document:
        document["operations"] = tomlkit.aot()
    rows = document["operations"]
    for operation, value in minutes.items():
        standard = default_catalog().operations[operation]
        at = [i for i, row in enumerate(rows) if row.get("operation") == operation]
        if value is None:
            for index in reversed(at):
                del rows[index]
        elif at:
            rows[at[-1]]["minutes"] = value
        else:
            row = standard.model_dump(mode="json")
            _append(rows, {**row, "minutes": value, "source": "timed by the studio"})
    if len(rows) == 0:
        del document["operations"]
    return checked(tomlkit.dumps(document))
