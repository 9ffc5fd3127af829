"""A make sheet as a PDF: an overview, one page of dangers, a spread a piece, the techniques."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any, Final

from airwright.catalog.size_words import size_word
from airwright.language import Language, Text, counted, joined, message
from airwright.language.figures import said_hours
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.trade_words import balloons, item_word, number, people
from airwright.papers.common.typeset import as_page, typeset
from airwright.papers.make_sheet.clusters import ClusterCard, Placed, Slot
from airwright.papers.make_sheet.illustrations import (
    PAGE,
    Illustration,
    IllustrationFiles,
    illustrations_of,
    technique_illustrations,
)
from airwright.papers.make_sheet.model import (
    MakeSheet,
    Part,
    PieceSheet,
    SizeRow,
    make_sheet_of,
)
from airwright.plan.wording import Words
from airwright.units import LENGTH, System, show

PATH: Final = "make-sheet.pdf"
MARGIN_MM, TOP_MM, BOTTOM_MM = 15.0, 22.0, 17.0


def sheet_page(page: Page) -> Page:
    """The studio's paper with the margins of a make sheet."""
    return replace(page, margin_mm=MARGIN_MM, top_mm=TOP_MM, bottom_mm=BOTTOM_MM)


def make(request: Request) -> tuple[Paper, ...]:
    """make-sheet.pdf for a request."""
    model = make_sheet_of(request.plan, request.today)
    page = sheet_page(request.page)
    shelf = IllustrationFiles(request.pictures)
    looks = illustrations_of(request, shelf, page, model.pieces)
    techniques = technique_illustrations(model.techniques, shelf)
    drawn = (looks, techniques, shelf.files)
    return (render(model, drawn, page, request.system, request.mark, request.second_language),)


def render(
    model: MakeSheet,
    drawn: tuple[Sequence[Illustration], Sequence[Mapping[str, Any]], Mapping[str, bytes]],
    page: Page,
    system: System,
    mark: PaperMark,
    beside: Language | None = None,
) -> Paper:
    """Typeset a make sheet.

    Args:
        model: what it says.
        drawn: pictures of each piece in the model's order, the hand movements, and their files.
        page: paper.
        system: units of all quantities.
        mark: number and day of the job's papers.
        beside: a second language, side by side with the first.
    """
    looks, techniques, files = drawn
    marks = [fingerprint({name: fingerprint({"data": data})}) for name, data in files.items()]
    data = {
        **asdict(model.masthead),
        "job": asdict(model.occasion),
        "option": model.option or "",
        "hands": people(model.hands),
        "palette": [swatch.colour for swatch in model.swatches],
        "pieces": [
            _piece(sheet, look, model.hands, system)
            for sheet, look in zip(model.pieces, looks, strict=True)
        ],
        "sizes": _size_groups(model.sizes, system),
        "balloons": balloons(sum(row.together for row in model.sizes)),
        "time": _time(model.crew_hours, model.hands),
        "warnings": [asdict(warned) for warned in model.warnings],
        "techniques": list(techniques),
        "pages": [name for name in files if name.endswith(PAGE)],
        "author": model.masthead.studio,
    }
    return typeset(
        "make_sheet",
        PATH,
        data,
        page=page,
        title=message("Make sheet: {title}", title=model.occasion.title),
        fingerprint=fingerprint({"model": fingerprint(model), "pictures": marks}),
        pictures={
            name: as_page(data) if name.endswith(PAGE) else data for name, data in files.items()
        },
        mark=mark,
        beside=beside,
    )


def _time(hours: float, hands: int) -> str:
    return message("about {time} with {people}", time=said_hours(hours, 5), people=people(hands))


def _layers(sheet: PieceSheet) -> str:
    """ "9 (8 to 10 …)" while nobody has measured how tightly this studio packs."""
    low, high = sheet.layers_range or (sheet.layers, sheet.layers)
    if low == high:
        return str(sheet.layers)
    return message(
        "{layers} ({low} to {high}, by how tightly you pack)",
        layers=sheet.layers,
        low=low,
        high=high,
    )


def _piece(sheet: PieceSheet, look: Illustration, hands: int, system: System) -> dict[str, Any]:
    return {
        "name": sheet.name,
        "what": sheet.what,
        "count": sheet.count,
        "height": show(sheet.height_m, LENGTH, system),
        "width": show(sheet.width_m, LENGTH, system),
        "depth": show(sheet.depth_m, LENGTH, system),
        "top": "" if sheet.top_m is None else show(sheet.top_m, LENGTH, system),
        "layers": _layers(sheet) if look.charts and sheet.layers else "",
        "pitch": show(sheet.pitch_m, LENGTH, system) if look.charts and sheet.pitch_m else "",
        "time": _time(sheet.crew_hours, hands),
        "balloons": number(sheet.balloons),
        "all_balloons": number(sheet.balloons * sheet.count),
        "swatches": [asdict(swatch) for swatch in sheet.swatches],
        "sizes": _size_groups(sheet.sizes, system),
        "clusters": [
            _cluster(card, look.rings[at] if look.rings else None, system)
            for at, card in enumerate(sheet.clusters)
        ],
        "order": [_placed(run, system) for run in look.order],
        "front": look.front,
        "charts": list(look.charts),
        "grids": list(look.grids),
        "plan": look.plan_page,
        "steps": [
            {"title": step.title, "text": step.text, **pictures}
            for step, pictures in zip(sheet.steps, look.steps, strict=True)
        ],
        "parts": [_part(part, system) for part in sheet.parts],
        "notes": list(sheet.notes),
        "recipes": [
            {"words": _clusters_of(recipe, one * sheet.count, alone), "one": number(one)}
            for (alone, recipe), one in _recipes(sheet.clusters, system).items()
        ],
    }


def _recipes(cards: Sequence[ClusterCard], system: System) -> dict[tuple[bool, Text], int]:
    """Clusters for one piece by recipe, whatever their shades; whether it is a balloon alone."""
    counts: dict[tuple[bool, Text], int] = {}
    for card in cards:
        sums: dict[tuple[str, float], int] = {}
        for slot in card.slots:
            key = (slot.size, slot.inflated_m)
            sums[key] = sums.get(key, 0) + slot.count
        each = [
            message("{n} × {size} ({across})", n=n, size=size, across=show(across, LENGTH, system))
            for (size, across), n in sums.items()
        ]
        words = (sum(sums.values()) == 1, joined(each, " + "))
        counts[words] = counts.get(words, 0) + card.one
    return counts


def _clusters_of(recipe: Text, count: int, alone: bool) -> Text:
    """ "8 clusters of 4 × 11in (10 in)"."""
    if alone:
        return counted(
            "{n} single balloon, {recipe}",
            "{n} single balloons, each {recipe}",
            count,
            recipe=recipe,
        )
    return counted("{n} cluster of {recipe}", "{n} clusters of {recipe}", count, recipe=recipe)


def _size_groups(rows: Sequence[SizeRow], system: System) -> list[dict[str, Any]]:
    """Rows of one size and diameter together: the pump is set once for them."""
    groups: dict[tuple[str, float, bool], list[SizeRow]] = {}
    for row in rows:
        groups.setdefault((row.size, row.inflated_m, row.helium), []).append(row)
    return [
        {
            "size": size_word(size),
            "across": message("until firm") if same[0].foil else show(inflated, LENGTH, system),
            "helium": helium,
            "rows": [
                {
                    **asdict(row.shade),
                    "role": row.role,
                    "one": number(row.one),
                    "together": number(row.together),
                }
                for row in sorted(same, key=lambda row: row.role != "")
            ],
        }
        for (size, inflated, helium), same in groups.items()
    ]


def _slot(slot: Slot, system: System) -> dict[str, Any]:
    return {
        **asdict(slot.shade),
        "count": slot.count,
        "size": slot.size,
        "across": show(slot.inflated_m, LENGTH, system),
    }


def _cluster(card: ClusterCard, ring: dict[str, Any] | None, system: System) -> dict[str, Any]:
    return {
        "role": card.role,
        "one": number(card.one),
        "together": number(card.together),
        "slots": [_slot(slot, system) for slot in card.slots],
        "ring": ring,
    }


def _placed(run: Placed, system: System) -> dict[str, Any]:
    at = f"{run.first}" if run.first == run.last else f"{run.first}–{run.last}"
    return {
        "number": at,
        "slots": [_slot(slot, system) for slot in run.slots],
        "discs": [asdict(disc) for disc in run.discs],
    }


def _part(part: Part, system: System) -> dict[str, Any]:
    say = {"m": Words(system).size, "kg": Words(system).mass}.get(part.unit, number)
    one, together = (say(value) for value in (part.one, part.together))
    item = item_word(part.item)
    if part.depth_m:
        item = message(
            "{item}, {long} long and {deep} deep",
            item=item,
            long=show(part.cut_m, LENGTH, system),
            deep=show(part.depth_m, LENGTH, system),
        )
    elif part.cut_m:
        item = message("{item}, cut to {long}", item=item, long=show(part.cut_m, LENGTH, system))
    shade = None if part.shade is None else asdict(part.shade)
    return {"item": item, "one": one, "together": together, "shade": shade}
