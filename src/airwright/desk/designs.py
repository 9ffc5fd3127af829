"""Pieces to begin with: ours, of every way of making decor, and those the studio kept."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

import tomlkit

from airwright import units
from airwright.decor.assembly import Assembly
from airwright.desk.editing.builder import Builder, Evaluation
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Add, EditError
from airwright.desk.editing.shade_names import shades_named, with_parts
from airwright.desk.editing.tables import tables_of
from airwright.desk.state import Desk
from airwright.job.examples import example_text
from airwright.language import message
from airwright.plan.values import PiecePlan
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import SavedDesign

OURS = "ours-"
"""Keys of our own pieces begin so; those of kept designs are ids."""

_EMPTY_JOB = """format = "airwright-job/1"
[job]
title = "One piece"
date = 2099-06-01  # the price does not hang on it
guests = "12:00"
strike = "18:00"
currency = "{currency}"
"""


@dataclass(frozen=True, slots=True)
class Start:
    """A piece to begin with.

    Attributes:
        key: for `Add.design`.
        name, kind: of the piece.
        text: its table as TOML, with the colours of the shades it names.
    """

    key: str
    name: str
    kind: str
    text: str


@cache
def starts() -> tuple[Start, ...]:
    """Our own pieces, most wanted first."""
    tables = tables_of(example_text("starts"))
    shades = tables["shades"]
    found = []
    for at, table in enumerate(tables["pieces"]):
        colours = {
            name: shades[name]
            for name in sorted(with_parts(shades_named(table), shades))
            if name in shades
        }
        text = tomlkit.dumps({**table, "shades_used": colours})
        found.append(Start(f"{OURS}{at}", str(table["name"]), str(table["kind"]), text))
    return tuple(found)


def design_text(designs: Designs, key: str) -> str:
    """The table of one of our pieces or of a kept design. Raises Missing or KeyError."""
    if not key.startswith(OURS):
        return designs.get(key).text
    return {start.key: start.text for start in starts()}[key]


_FEET = re.compile(r"-?\d+(\.\d+)? ?ft( \d+(\.\d+)?( \d+/\d+)? ?in)?")
_INCHES = re.compile(r"-?\d+(\.\d+)? in")
"""Lengths in feet and inches; balloons, which the whole world sells in inches, are written
without a space ("11in")."""
ROUND_M = 0.05
SMALL_CM = 10.0


def in_units(text: str, system: units.System) -> str:
    """A design's table with its lengths as a metric studio writes them: metres to the next 5 cm,
    what is told in inches to the next centimetre."""
    if system is not units.System.METRIC:
        return text
    document = tomlkit.parse(text)

    def told(value: Any) -> None:
        for key, inner in list(value.items() if isinstance(value, dict) else enumerate(value)):
            if isinstance(inner, dict | list):
                told(inner)
            elif isinstance(inner, str) and _FEET.fullmatch(inner):
                metres = round(units.parse(inner, units.LENGTH) / ROUND_M) * ROUND_M
                value[key] = f"{metres:.4g} m"
            elif isinstance(inner, str) and _INCHES.fullmatch(inner):
                centimetres = units.parse(inner, units.LENGTH) * 100
                value[key] = f"{round(centimetres, 0 if abs(centimetres) >= SMALL_CM else 1):g} cm"

    told(document)
    return tomlkit.dumps(document)


def built_alone(builder: Builder, kind: str, text: str, studio_text: str) -> Assembly | None:
    """A design built on its own, for its picture; None where it has errors."""
    pieces = builder.evaluate(_job_of_one(kind, text), studio_text).pieces
    return pieces[0].assembly if pieces else None


NOT_KEPT = ("spot", "count", "price", "price_reason")
"""Keys of a piece that belong to its job."""


def keep_piece(designs: Designs, evaluation: Evaluation, index: int) -> SavedDesign:
    """Keep a piece of a planned job, with what one of it would come to alone."""
    plan = evaluation.shown
    piece = next((p for p in plan.pieces if p.place == f"pieces[{index}]"), None) if plan else None
    rows = evaluation.tables.get("pieces")
    if plan is None or piece is None or not isinstance(rows, list):
        raise EditError(message("This piece cannot be kept yet."), message("Fix its errors first."))
    table = {k: v for k, v in rows[index].items() if k not in NOT_KEPT}
    shades = evaluation.tables.get("shades", {})
    named = with_parts(shades_named(table), shades)
    colours = {name: shades[name] for name in named if name in shades}
    text = tomlkit.dumps({**table, "shades_used": colours})
    return designs.keep(
        piece.name,
        piece.spec.kind,
        text,
        plan.money.currency,
        price_alone(piece),
        len(piece.assembly),
        piece.hours,
    )


def price_alone(piece: PiecePlan) -> Decimal:
    """What one of a piece is sold for, by the studio's rules: the same in every job."""
    assert piece.price is not None
    return piece.price.by_rule


def reprice(desk: Desk) -> None:
    """Kept designs at the prices of the settings as they are now; run after these changed."""
    with desk.database.reading() as session:
        studio_text = StudioFile(session).get()[0]
        rows = Designs(session).all()
    currency = desk.builder.studio(studio_text).pricing.currency
    now = {row.id: _price_now(desk.builder, row, studio_text, currency) for row in rows}
    with desk.database.writing() as session:
        if StudioFile(session).get()[0] != studio_text:
            return  # changed again meanwhile: that change reckons with what holds now
        for row in Designs(session).all():
            price = now.get(row.id)
            if price is not None:
                row.price, row.currency = price, currency


def _price_now(
    builder: Builder, row: SavedDesign, studio_text: str, currency: str
) -> Decimal | None:
    try:
        text = _job_of_one(row.kind, row.text, currency)
    except EditError:
        return None  # kept by an older version; it says so when it is used
    plan = builder.evaluate(text, studio_text).plan
    return None if plan is None else price_alone(plan.pieces[0])


def _job_of_one(kind: str, text: str, currency: str = "USD") -> str:
    empty = _EMPTY_JOB.format(currency=currency)
    return apply(empty, [Add(do="add", kind=kind, design="alone")], lambda _: text)[0]
