"""From a call to a job file, and what kept designs would come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

import tomlkit

from airwright import units
from airwright.desk.editing.builder import Builder, Evaluation, price_band
from airwright.desk.editing.document import apply, shades_named
from airwright.desk.editing.edits import Add, AnyChange, EditError, Put
from airwright.desk.enquiry.forms import NOTHING_SAID, SOME_DAY, Call
from airwright.desk.pages import about
from airwright.desk.starts import starts
from airwright.desk.state import Desk
from airwright.job.examples import example_text
from airwright.plan.values import PiecePlan
from airwright.store.studio import Designs, StudioFile
from airwright.store.tables import SavedDesign

NOT_KEPT = ("spot", "count", "price", "price_reason")
"""Keys of a piece that belong to its job."""


def keep_piece(designs: Designs, evaluation: Evaluation, index: int) -> SavedDesign:
    """Keep a piece of a planned job, with what one of it would come to alone."""
    plan = evaluation.shown
    piece = next((p for p in plan.pieces if p.place == f"pieces[{index}]"), None) if plan else None
    rows = evaluation.tables.get("pieces")
    if plan is None or piece is None or not isinstance(rows, list):
        raise EditError("This piece cannot be kept yet.", "Fix its errors first.")
    table = {k: v for k, v in rows[index].items() if k not in NOT_KEPT}
    colours = {name: evaluation.tables["shades"][name] for name in shades_named(table)
               if name in evaluation.tables.get("shades", {})}  # fmt: skip
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


def offered(designs: Designs, builder: Builder, studio_text: str) -> list[SavedDesign]:
    """What can be offered on the telephone: kept designs, then our own pieces to begin with."""
    kept = designs.all()
    names = {row.name for row in kept}
    plan = builder.evaluate(example_text("starts"), studio_text).plan
    if plan is None:
        return kept
    ours = [
        SavedDesign(
            id=begin.key,
            name=begin.name,
            kind=begin.kind,
            text=begin.text,
            currency=plan.money.currency,
            price=price_alone(piece),
            balloons=len(piece.assembly),
            hours=piece.hours,
        )
        for begin, piece in zip(starts(), plan.pieces, strict=True)
        if begin.name not in names
    ]
    return [*kept, *ours]


def reprice(desk: Desk) -> None:
    """Kept designs at the prices of the settings as they are now; run after these changed."""
    with desk.database.reading() as session:
        studio_text = StudioFile(session).get()[0]
        rows = Designs(session).all()
    now = {row.id: _price_now(desk.builder, row, studio_text) for row in rows}
    with desk.database.writing() as session:
        if StudioFile(session).get()[0] != studio_text:
            return  # changed again meanwhile: that change reckons with what holds now
        for row in Designs(session).all():
            price = now.get(row.id)
            if price is not None:
                row.price = price


def _price_now(builder: Builder, row: SavedDesign, studio_text: str) -> Decimal | None:
    try:
        text = job_text(NOTHING_SAID, [row], row.currency, {row.id: 1})
    except EditError:
        return None  # kept by an older version; it says so when it is used
    plan = builder.evaluate(text, studio_text).plan
    return None if plan is None else price_alone(plan.pieces[0])


def band(
    builder: Builder, rows: list[SavedDesign], call: Call, studio_text: str
) -> tuple[str, str]:
    """The price band of a call, and how it was reckoned.

    The job that the call would become is built and priced as a whole: loading, the drive and the
    hands' time on site come once, however many pieces there are.
    """
    if not call.wanted:
        return "", ""
    currency = currency_of(rows, call.wanted)
    dated = call if call.date is not None else replace(call, date=SOME_DAY)
    plan = builder.evaluate(job_text(dated, rows, currency, call.wanted), studio_text).plan
    if plan is None:
        return "", "One of these has errors; the price comes once they are fixed under Design."
    low, high = price_band(plan.money.price)
    notes = ["From your kept designs; firm only once drawn."]
    if not call.drive_m:
        notes.append("The drive is not in it yet.")
    if plan.money.total != plan.money.price:
        notes.append(f"{plan.studio.pricing.tax_name} comes on top.")
    if call.budget is not None:
        said = about(call.budget, currency)
        fits = high <= call.budget
        over = low > call.budget
        words = "Within" if fits else "More than" if over else "About"
        notes.insert(0, f"{words} the {said} they have.")
    return f"{about(low, currency)} to {about(high, currency)}", " ".join(notes)


def currency_of(rows: list[SavedDesign], wanted: Mapping[str, int]) -> str:
    """The currency of what is wanted; dollars where nothing says."""
    return next((row.currency for row in rows if wanted.get(row.id)), "USD")


def job_text(call: Call, rows: list[SavedDesign], currency: str, wanted: Mapping[str, int]) -> str:
    """The job file of a call with some of each kept design in it.

    Raises:
        EditError: a kept design that can no longer be read.
    """
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
    if call.drive_m:
        document["venue"]["drive"] = units.write(call.drive_m, units.LENGTH)
    if call.guests <= "06:30":
        document["venue"]["access"] = "00:00"
    document["shades"] = {}
    text = tomlkit.dumps(document)
    texts = {row.id: row.text for row in rows}
    changes: list[AnyChange] = []
    for row in rows:
        count = wanted.get(row.id, 0)
        if count:
            changes.append(Add(do="add", kind=row.kind, design=row.id))
            if count > 1:
                path: list[str | int] = ["pieces", len([c for c in changes if c.do == "add"]) - 1]
                changes.append(Put(do="put", path=[*path, "count"], value=count))
    return apply(text, changes, texts.__getitem__)[0] if changes else text
