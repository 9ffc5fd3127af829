"""Addresses of the stock: a page a shelf, a form a row, and one for how long work takes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import replace
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter
from starlette.exceptions import HTTPException
from starlette.responses import Response

from airwright.catalog import Operation, default_catalog
from airwright.desk.access import ByOwner, RequestContext
from airwright.desk.catalog import service
from airwright.desk.catalog.contexts import (
    PackField,
    StockField,
    StockPage,
    StockRowPage,
    TimeField,
    TimesPage,
)
from airwright.desk.catalog.forms import (
    MOST_PACKS,
    Wrong,
    amiss,
    choices_of,
    fields_of,
    hint_of,
    read,
    read_packs,
    shown,
    widget_of,
)
from airwright.desk.catalog.service import SHELVES, StockKind
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import render
from airwright.desk.studio_changes import change, done
from airwright.job import Studio
from airwright.job.records import FieldSpec
from airwright.language import file_word, message
from airwright.plan.labour import PLACE_WORDS
from airwright.store.studio import StudioFile
from airwright.units import System

router = APIRouter(prefix="/studio")
SPARE_PACKS = 2


@router.get("/catalog/{shelf_key}")
def show_shelf(shelf_key: str, context: ByOwner) -> Response:
    """All rows of one kind."""
    shelf = _shelf(shelf_key)
    studio, version = _studio(context)
    rows = service.lines(shelf, studio, context.desk.settings.today())
    page = StockPage(
        shelf.key, shelf.key, shelf.title, shelf.lede, shelf.add, rows, version,
        not any(row.own for row in rows),
        shown_day(default_catalog().priced_on) if shelf.key != "shades" else "",
    )  # fmt: skip
    return render(context, page)


@router.get("/catalog/{shelf_key}/row")
def show_row(shelf_key: str, context: ByOwner, name: str = "") -> Response:
    """One row's form; an empty one without a name."""
    shelf = _shelf(shelf_key)
    studio, version = _studio(context)
    rows = service.rows_of(shelf, studio)
    if name and name not in rows:
        raise HTTPException(404)
    row = rows.get(name, {})
    typed = {key: shown(spec, row.get(key), studio.studio.units)
             for key, spec in shelf.fields.items()}  # fmt: skip
    if "currency" in typed and not typed["currency"]:
        typed["currency"] = default_catalog().currency if name else studio.pricing.currency
    packs = [(str(pack["count"]), str(pack["price"])) for pack in row.get("packs", ())]
    return render(context, _form(shelf, studio, version, name, typed, packs, {}))


@router.post("/catalog/{shelf_key}/row")
def save_row(shelf_key: str, context: ByOwner) -> Response:
    """Write a row down, or ask again with what is wrong beside its field."""
    shelf = _shelf(shelf_key)
    studio, version = _studio(context)
    name = context.text("was", 120)
    typed = {key: context.text(key, 400) for key in shelf.fields}
    packs = [
        (context.text(f"pack_count:{at}", 40), context.text(f"pack_price:{at}", 40))
        for at in range(MOST_PACKS)
    ]
    values, wrong = _read(shelf, studio, name, typed, packs)
    wrong |= service.fit_prices(values, context.desk.settings.today())
    if not wrong:
        saved = str(values[shelf.name_key])
        old = service.rows_of(shelf, studio).get(name, {})
        values = service.dated(shelf, old, values, context.desk.settings.today())
        try:
            change(context, lambda text: service.with_row(text, shelf, saved, values))
        except EditError as problem:
            wrong = {"": (problem.what, problem.mend)}
        else:
            return done(context, f"/studio/catalog/{shelf.key}?said=saved#{quote(saved)}")
    page = _form(shelf, studio, version, name, typed, packs, wrong)
    return render(context, page, status=422)


@router.post("/catalog/{shelf_key}/remove")
def remove_row(shelf_key: str, context: ByOwner) -> Response:
    """Take a row of the studio's own out; where it stood in for one of ours, ours is back."""
    shelf, name = _shelf(shelf_key), context.text("name", 120)
    change(context, lambda text: service.without_row(text, shelf, name))
    said = "ours" if name in service.ours(shelf) else "out"
    return done(context, f"/studio/catalog/{shelf.key}?said={said}")


@router.post("/catalog/{shelf_key}/ours")
def all_ours(shelf_key: str, context: ByOwner) -> Response:
    """The whole shelf as it ships."""
    shelf = _shelf(shelf_key)
    change(context, lambda text: service.without_own(text, shelf))
    return done(context, f"/studio/catalog/{shelf.key}?said=ours")


@router.get("/times")
def show_times(context: ByOwner) -> Response:
    """How long work takes."""
    studio, version = _studio(context)
    return render(context, _times(studio, version, {}, {}))


@router.post("/times")
def save_times(context: ByOwner) -> Response:
    """Minutes of the studio's own; an empty field puts ours back."""
    studio, version = _studio(context)
    own = {row.operation: row.minutes for row in studio.operations}
    known = default_catalog().operations
    typed = {key: context.text(f"t:{key}", 40) for key in known if f"t:{key}" in context.form}
    minutes: dict[str, float | None] = {}
    minutes_field = replace(fields_of(Operation)["minutes"], required=False)
    wrong: dict[str, Wrong] = {}
    for key, words in typed.items():
        try:
            value = read(minutes_field, words.removesuffix("min"))
        except EditError as problem:
            wrong[key] = (problem.what, problem.mend)
            continue
        if found := amiss(Operation, {"minutes": value}):
            wrong[key] = found["minutes"]
        elif value != own.get(key):
            minutes[key] = value
    if wrong:
        return render(context, _times(studio, version, typed, wrong), status=422)
    if minutes:
        change(context, lambda text: service.with_times(text, minutes))
    return done(context, "/studio/times?said=saved")


def _shelf(key: str) -> StockKind:
    if key not in SHELVES:
        raise HTTPException(404)
    return SHELVES[key]


def _studio(context: RequestContext) -> tuple[Studio, int]:
    with context.reading() as session:
        text, version = StudioFile(session).get()
    return context.desk.builder.studio(text), version


def _read(
    shelf: StockKind,
    studio: Studio,
    name: str,
    typed: Mapping[str, str],
    packs: list[tuple[str, str]],
) -> tuple[dict[str, Any], dict[str, Wrong]]:
    """The row's values, and what is wrong by field."""
    rows, system = service.rows_of(shelf, studio), studio.studio.units
    old = rows.get(name, {})
    values: dict[str, Any] = {}
    wrong: dict[str, Wrong] = {}
    for key, spec in shelf.fields.items():
        words = typed[key]
        try:
            if key == shelf.name_key:
                values[key] = name or service.fit_name(shelf, read(spec, words), rows)
            elif old and words == shown(spec, old.get(key), system):
                values[key] = _stored(spec, old.get(key))
            else:
                values[key] = read(spec, words)
        except EditError as problem:
            wrong[key] = (problem.what, problem.mend)
    if old and old.get("currency") is None and values.get("currency") == default_catalog().currency:
        values["currency"] = None  # left as it was
    if "source" in values and values["source"] is None:
        values["source"] = service.OWN_SOURCE
    if name and not old:
        wrong[""] = (
            message("This line is not there any more."),
            message("Look at the list again."),
        )
    if shelf.key == "balloons":
        values["packs"], bags = read_packs(packs)
        wrong |= {f"pack:{at}": told for at, told in bags.items()}
        wrong |= service.fit_balloon(values)
    found = amiss(shelf.model, values)
    return values, {key: told for key, told in found.items() if key != "packs"} | wrong


def _stored(spec: FieldSpec, value: Any) -> Any:
    """A value that was left as it was, as the studio file writes it."""
    if value is None or isinstance(value, bool | int | float | dt.date):
        if spec.kind is not None and not spec.per and value is not None:
            return shown(spec, value, System.METRIC)
        return value
    return str(value)


def _form(
    shelf: StockKind,
    studio: Studio,
    version: int,
    name: str,
    typed: Mapping[str, str],
    packs: list[tuple[str, str]],
    wrong: Mapping[str, Wrong],
) -> StockRowPage:
    while packs and packs[-1] == ("", ""):
        packs = packs[:-1]
    room = min(MOST_PACKS, max(3, len(packs) + SPARE_PACKS))
    packs = packs + [("", "")] * (room - len(packs))
    weighed = [row for row in studio.weighed if row.size == name] if name else []
    note = ""
    if shelf.key == "balloons" and weighed:
        grams = weighed[-1].mass * 1000 / weighed[-1].count
        note = message(
            "Your own scale says {grams} g; that goes before the weight below.",
            grams=f"{grams:.3g}",
        )
    return StockRowPage(
        settings_tab=shelf.key,
        shelf=shelf.key,
        shelf_title=shelf.title,
        new=shelf.new,
        lost=shelf.lost,
        name=name,
        fields=tuple(
            StockField(
                key, spec.label or file_word(key.capitalize()), spec.help, widget_of(spec),
                typed[key],
                hint_of(spec), choices_of(spec), spec.required or spec.type == "yes or no",
               spec.rare, wrong.get(key, ()),
            )
            for key, spec in shelf.fields.items()
            if not (name and key == shelf.name_key)
        ),
        packs=tuple(
            PackField(at, count, price, wrong.get(f"pack:{at}", ()))
            for at, (count, price) in enumerate(packs)
        ) if shelf.key == "balloons" else (),
        version=version,
        own=name in service.own_names(shelf, studio),
        ours=name in service.ours(shelf),
        note=note,
        wrong=wrong.get("", ()),
    )  # fmt: skip


def _per(unit: str) -> str:
    word = f"an {unit}" if unit[0] in "aeiou" else f"a {unit}"
    word = word.replace("metre", "meter")  # the key in files is British, our words American
    return message("min {unit}", unit=file_word(word))


def _times(
    studio: Studio, version: int, typed: Mapping[str, str], wrong: Mapping[str, Wrong]
) -> TimesPage:
    own = {row.operation: row.minutes for row in studio.operations}

    def field(row: Operation) -> TimeField:
        mine = own.get(row.operation)
        words = typed.get(row.operation, "" if mine is None else f"{mine:g}")
        return TimeField(
            row.operation, file_word(row.what[0].upper() + row.what[1:]), _per(row.per),
            PLACE_WORDS[row.place], words,
            f"{row.minutes:g}", wrong.get(row.operation, ()),
        )  # fmt: skip

    catalog = default_catalog()
    return TimesPage(
        settings_tab="times",
        times=tuple(field(row) for row in catalog.operations.values()),
        version=version,
        allowance=f"{catalog.allowance:.0%}",
        any_wrong=bool(wrong),
    )
