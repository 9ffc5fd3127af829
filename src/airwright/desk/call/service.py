"""From a call to a job file, and what saved designs would come to."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import tomlkit

from airwright.desk.call.forms import Call
from airwright.desk.live.builder import Look, price_band
from airwright.desk.live.document import apply, shades_named
from airwright.desk.live.edits import Add, AnyChange, EditError, Put
from airwright.desk.pages import about
from airwright.store.studio import Designs
from airwright.store.tables import SavedDesign

PAIR_SAVING = Decimal("0.85")
"""A second piece of the same kind shares the drive and the loading (common practice)."""


def keep_piece(designs: Designs, look: Look, index: int) -> SavedDesign:
    """Keep a piece of a planned job, with what it came to alone."""
    plan = look.plan
    piece = next((p for p in plan.pieces if p.place == f"pieces[{index}]"), None) if plan else None
    rows = look.tables.get("pieces")
    if plan is None or piece is None or not isinstance(rows, list):
        raise EditError("This piece cannot be kept yet.", "Mend its errors first.")
    table = {k: v for k, v in rows[index].items() if k not in ("spot", "count")}
    colours = {name: look.tables["shades"][name] for name in shades_named(table)
               if name in look.tables.get("shades", {})}  # fmt: skip
    text = tomlkit.dumps({**table, "shades_used": colours})
    price = piece_price(look, piece.name)
    return designs.keep(
        piece.name,
        piece.spec.kind,
        text,
        plan.money.currency,
        price,
        len(piece.assembly),
        piece.hours,
    )


def piece_price(look: Look, name: str) -> Decimal | None:
    """What one of a piece adds to the price of the option that offers it."""
    plan = look.plan
    for option in plan.options if plan else ():
        for piece, price in zip(option.pieces, option.piece_prices, strict=True):
            if piece.name == name:
                return (price / piece.count).quantize(Decimal("0.01"))
    return None


def band(rows: list[SavedDesign], wanted: dict[str, int]) -> tuple[str, str]:
    """The price band of what is wanted, and how it was reckoned."""
    total, currency, unknown = Decimal(0), "", 0
    for row in rows:
        count = wanted.get(row.id, 0)
        if not count:
            continue
        if row.price is None or currency not in ("", row.currency):
            unknown += 1
            continue
        currency = row.currency
        total += row.price * (1 + (count - 1) * PAIR_SAVING)
    if not total:
        return "", ""
    low, high = price_band(total)
    note = "From your saved designs; firm only once drawn."
    if unknown:
        note = "Some of it has no price yet. " + note
    return f"{about(low, currency)} to {about(high, currency)}", note


def job_text(call: Call, rows: list[SavedDesign], currency: str) -> str:
    """The job file of a call."""
    document: dict[str, Any] = {"format": "airwright-job/1"}
    head: dict[str, Any] = {"title": call.title, "client": call.client}
    if call.contact:
        head["contact"] = call.contact
    if call.date is not None:
        head["date"] = call.date
    head |= {"guests": call.guests, "strike": call.strike, "currency": currency}
    if call.budget is not None:
        head["budget"] = float(call.budget)
    if call.note:
        head["note"] = call.note
    document["job"] = head
    document["venue"] = {"name": call.venue} if call.venue else {}
    if call.guests <= "06:30":
        document["venue"]["access"] = "00:00"
    document["shades"] = {}
    text = tomlkit.dumps(document)
    texts = {row.id: row.text for row in rows}
    changes: list[AnyChange] = []
    for row in rows:
        count = call.wanted.get(row.id, 0)
        if count:
            changes.append(Add(do="add", kind=row.kind, design=row.id))
            if count > 1:
                path: list[str | int] = ["pieces", len([c for c in changes if c.do == "add"]) - 1]
                changes.append(Put(do="put", path=[*path, "count"], value=count))
    return apply(text, changes, texts.__getitem__)[0] if changes else text
