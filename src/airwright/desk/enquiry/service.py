"""From a call to a job file, and what kept designs would come to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import tomlkit

from airwright import units
from airwright.desk.designs import in_units, price_alone, starts
from airwright.desk.editing.builder import Builder, price_band
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Add, AnyChange, Put
from airwright.desk.enquiry.forms import SOME_DAY, Call
from airwright.desk.pages import about, money
from airwright.job.examples import example_text
from airwright.job.studio import Studio
from airwright.language import counted, message, sentences
from airwright.operations.buying.what_if import Added
from airwright.plan.values import Plan
from airwright.store.studio import Designs
from airwright.store.tables import SavedDesign


def offered(designs: Designs, builder: Builder, studio_text: str) -> list[SavedDesign]:
    """What can be offered on the telephone: kept designs, then our own pieces to begin with."""
    kept = designs.all()
    names = {row.name for row in kept}
    currency = builder.studio(studio_text).pricing.currency
    text = example_text("starts").replace("[job]", f'[job]\ncurrency = "{currency}"', 1)
    plan = builder.evaluate(text, studio_text).plan
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


def band(
    builder: Builder, rows: list[SavedDesign], call: Call, studio_text: str
) -> tuple[str, str]:
    """The price band of a call, and how it was reckoned.

    The job that the call would become is built and priced as a whole: loading, the drive and the
    hands' time on site come once, however many pieces there are.
    """
    if not call.wanted:
        return "", ""
    currency = builder.studio(studio_text).pricing.currency
    plan = thought_of(builder, rows, call, studio_text)
    if plan is None:
        return "", message(
            "One of these has errors; the price comes once they are fixed under Design."
        )
    low, high = price_band(plan.money.price)
    notes = [message("From your kept designs; firm only once drawn.")]
    if not call.drive_m:
        notes.append(message("The drive is not in it yet."))
    if plan.money.total != plan.money.price:
        notes.append(message("{tax_name} comes on top.", tax_name=plan.studio.pricing.tax_name))
    if call.budget is not None:
        said = about(call.budget, currency)
        fits = high <= call.budget
        over = low > call.budget
        if fits:
            near = message("Within the {amount} they have.", amount=said)
        elif over:
            near = message("More than the {amount} they have.", amount=said)
        else:
            near = message("About the {amount} they have.", amount=said)
        notes.insert(0, near)
    band = message("{low} to {high}", low=about(low, currency), high=about(high, currency))
    return band, sentences(*notes)


def thought_of(
    builder: Builder, rows: list[SavedDesign], call: Call, studio_text: str
) -> Plan | None:
    """The plan of the job that a call would become; None where a kept design has errors."""
    studio = builder.studio(studio_text)
    dated = call if call.date is not None else replace(call, date=SOME_DAY)
    return builder.evaluate(job_text(dated, rows, studio, call.wanted), studio_text).plan


def order_words(added: Added, currency: str) -> str:
    """What a call's job adds to the orders ahead, in a sentence or two."""
    found = []
    if added.short > 0:
        found.append(
            counted(
                "{n} piece could not be here in time.",
                "{n} pieces could not be here in time.",
                added.short,
            )
        )
    if added.cost <= 0:
        found.append(
            message("What it takes is on the shelf or in packs you order anyway.")
            if added.cost == 0
            else message(
                "It makes your orders {less} cheaper: a lower price or free freight is reached.",
                less=money(-added.cost, currency),
            )
        )
    elif added.cost < added.alone:
        found.append(
            message(
                "Adds {cost} to your orders; bought alone it would take {alone}.",
                cost=money(added.cost, currency),
                alone=money(added.alone, currency),
            )
        )
    else:
        found.append(message("Adds {cost} to your orders.", cost=money(added.cost, currency)))
    if not added.exact:
        found.append(message("Not proven to the cent."))
    return sentences(*found)


def job_text(call: Call, rows: list[SavedDesign], studio: Studio, wanted: Mapping[str, int]) -> str:
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
    head |= {"guests": call.guests, "strike": call.strike, "currency": studio.pricing.currency}
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
    texts = {row.id: in_units(row.text, studio.studio.units) for row in rows if wanted.get(row.id)}
    changes: list[AnyChange] = []
    for row in rows:
        count = wanted.get(row.id, 0)
        if count:
            changes.append(Add(do="add", kind=row.kind, design=row.id))
            if count > 1:
                path: list[str | int] = ["pieces", len([c for c in changes if c.do == "add"]) - 1]
                changes.append(Put(do="put", path=[*path, "count"], value=count))
    return apply(text, changes, texts.__getitem__)[0] if changes else text
