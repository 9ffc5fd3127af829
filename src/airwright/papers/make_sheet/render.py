"""A make sheet as a PDF."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, replace
from typing import Any, Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.parts import long_date
from airwright.papers.common.request import Request
from airwright.papers.common.typeset import as_page, typeset
from airwright.papers.common.words import plural, two_lengths
from airwright.papers.make_sheet.clusters import ClusterCard, Placed, Slot
from airwright.papers.make_sheet.illustrations import (
    PAGE,
    Illustration,
    IllustrationFiles,
    illustrations_of,
    technique_illustrations,
)
from airwright.papers.make_sheet.model import (
    Cut,
    MakeSheet,
    Part,
    PieceSheet,
    SizeRow,
    Strip,
    Work,
    make_sheet_of,
)
from airwright.units import LENGTH, System, show

PATH: Final = "make-sheet.pdf"
MARGIN_MM, TOP_MM, BOTTOM_MM = 15.0, 25.0, 19.0


def make(request: Request) -> tuple[Paper, ...]:
    """make-sheet.pdf for a request."""
    model = make_sheet_of(request.plan, request.today)
    page = replace(request.page, margin_mm=MARGIN_MM, top_mm=TOP_MM, bottom_mm=BOTTOM_MM)
    shelf = IllustrationFiles(request.pictures)
    looks = illustrations_of(request, shelf, page, model.pieces)
    techniques = technique_illustrations(model.techniques, shelf)
    return (render(model, looks, techniques, shelf.files, page, request.system, request.mark),)


def render(
    model: MakeSheet,
    looks: Sequence[Illustration],
    techniques: Sequence[Mapping[str, Any]],
    files: Mapping[str, bytes],
    page: Page,
    system: System,
    mark: PaperMark,
) -> Paper:
    """Typeset a make sheet.

    Args:
        model: what it says.
        looks: one a piece, in the model's order.
        techniques: the hand movements, for the last pages.
        files: the pictures they name.
        page: paper.
        system: the units that stand first.
    """
    marks = [fingerprint({name: fingerprint({"data": data})}) for name, data in files.items()]
    data = {
        **asdict(model.masthead),
        "job": asdict(model.occasion),
        "made": long_date(model.made),
        "option": model.option or "",
        "hands": plural(model.hands, "person", "people"),
        "palette": [swatch.colour for swatch in model.swatches],
        "pieces": [
            _piece(sheet, look, system) for sheet, look in zip(model.pieces, looks, strict=True)
        ],
        "sizes": _size_groups(model.sizes, system),
        "balloons": f"{sum(row.together for row in model.sizes):,}",
        "hours": _time(sum(work.together_h for p in model.pieces for work in p.work)),
        "cautions": [asdict(caution) for caution in model.cautions],
        "techniques": list(techniques),
        "pages": [name for name in files if name.endswith(PAGE)],
        "author": model.masthead.studio,
    }
    return typeset(
        "make_sheet",
        PATH,
        data,
        page=page,
        title=f"Make sheet: {model.occasion.title}",
        fingerprint=fingerprint({"model": fingerprint(model), "pictures": marks}),
        pictures={
            name: as_page(data) if name.endswith(PAGE) else data for name, data in files.items()
        },
        mark=mark,
    )


def _piece(sheet: PieceSheet, look: Illustration, system: System) -> dict[str, Any]:
    return {
        "name": sheet.name,
        "what": sheet.what,
        "count": sheet.count,
        "height": two_lengths(sheet.height_m, system),
        "width": two_lengths(sheet.width_m, system),
        "depth": two_lengths(sheet.depth_m, system),
        "layers": sheet.layers if look.charts else 0,
        "pitch": two_lengths(sheet.pitch_m, system) if look.charts and sheet.pitch_m else "",
        "balloons": f"{sheet.balloons:,}",
        "all_balloons": f"{sheet.balloons * sheet.count:,}",
        "swatches": [asdict(swatch) for swatch in sheet.swatches],
        "sizes": _size_groups(sheet.sizes, system),
        "flat": [_flat(row) for row in sheet.flat],
        "clusters": [
            _cluster(card, look.rings[at] if look.rings else None, system)
            for at, card in enumerate(sheet.clusters)
        ],
        "all_clusters": f"{sum(card.together for card in sheet.clusters):,}",
        "order": [_placed(run, system) for run in look.order],
        "front": look.front,
        "charts": list(look.charts),
        "grids": list(look.grids),
        "steps": [
            {"title": step.title, "text": step.text, **pictures}
            for step, pictures in zip(sheet.steps, look.steps, strict=True)
        ],
        "parts": [_part(part, system) for part in sheet.parts],
        "strips": [_strip(strip, system) for strip in sheet.strips],
        "cuts": [_cut(cut, sheet.count, system) for cut in sheet.cuts],
        "work": [_work(work) for work in sheet.work],
        "one_hours": _time(sum(work.one_h for work in sheet.work)),
        "all_hours": _time(sum(work.together_h for work in sheet.work)),
        "cautions": [asdict(caution) for caution in sheet.cautions],
        "reminders": list(sheet.reminders),
        "recipes": [
            {"recipe": recipe, "one": f"{one:,}", "together": f"{one * sheet.count:,}"}
            for recipe, one in _recipes(sheet.clusters).items()
        ],
    }


def _recipes(cards: Sequence[ClusterCard]) -> dict[str, int]:
    """Clusters for one piece by recipe, whatever their shades."""
    counts: dict[str, int] = {}
    for card in cards:
        counts[card.recipe] = counts.get(card.recipe, 0) + card.one
    return counts


def _size_groups(rows: Sequence[SizeRow], system: System) -> list[dict[str, Any]]:
    """Rows of one size and diameter together: the pump is set once for them."""
    groups: dict[tuple[str, float, bool], list[SizeRow]] = {}
    for row in rows:
        groups.setdefault((row.size, row.inflated_m, row.helium), []).append(row)
    return [
        {
            "size": size,
            "first": "until firm" if same[0].foil else show(inflated, LENGTH, system),
            "second": "" if same[0].foil else show(inflated, LENGTH, _other(system)),
            "helium": helium,
            "one": f"{sum(row.one for row in same):,}",
            "together": f"{sum(row.together for row in same):,}",
            "rows": [
                {
                    **asdict(row.shade),
                    "role": row.role,
                    "one": f"{row.one:,}",
                    "together": f"{row.together:,}",
                }
                for row in same
            ],
        }
        for (size, inflated, helium), same in groups.items()
    ]


def _other(system: System) -> System:
    return System.METRIC if system is System.FEET else System.FEET


def _flat(row: SizeRow) -> dict[str, Any]:
    return {
        "size": row.size,
        **asdict(row.shade),
        "one": f"{row.one:,}",
        "together": f"{row.together:,}",
    }


def _slot(slot: Slot, system: System) -> dict[str, Any]:
    return {
        **asdict(slot.shade),
        "count": slot.count,
        "size": slot.size,
        "across": show(slot.inflated_m, LENGTH, system),
        "second": show(slot.inflated_m, LENGTH, _other(system)),
        "inflated": slot.inflated_m,
    }


def _cluster(card: ClusterCard, ring: dict[str, Any] | None, system: System) -> dict[str, Any]:
    return {
        "recipe": card.recipe,
        "role": card.role,
        "one": f"{card.one:,}",
        "together": f"{card.together:,}",
        "slots": [_slot(slot, system) for slot in card.slots],
        "ring": ring,
    }


def _placed(run: Placed, system: System) -> dict[str, Any]:
    number = f"{run.first}" if run.first == run.last else f"{run.first}–{run.last}"
    return {
        "number": number,
        "slots": [_slot(slot, system) for slot in run.slots],
        "discs": [asdict(disc) for disc in run.discs],
    }


def _part(part: Part, system: System) -> dict[str, str]:
    if part.unit == "m":
        one, together = (two_lengths(value, system) for value in (part.one, part.together))
    else:
        one, together = (f"{value:,g}" for value in (part.one, part.together))
    return {"item": part.item, "one": one, "together": together}


def _strip(strip: Strip, system: System) -> dict[str, Any]:
    return {
        "material": strip.material,
        "shade": asdict(strip.shade),
        "length": two_lengths(strip.length_m, system),
        "drop": two_lengths(strip.drop_m, system),
        "layers": strip.layers,
    }


def _cut(cut: Cut, copies: int, system: System) -> dict[str, str]:
    return {
        "item": cut.item,
        "length": two_lengths(cut.length_m, system),
        "one": f"{cut.count:,}",
        "together": f"{cut.count * copies:,}",
    }


def _work(work: Work) -> dict[str, str]:
    return {
        "operation": work.operation,
        "what": work.what,
        "place": work.place,
        "quantity": f"{work.quantity:,.1f}".removesuffix(".0"),
        "one": _time(work.one_h),
        "together": _time(work.together_h),
    }


def _time(hours: float) -> str:
    """Hands' time to the minute: "1 h 05 min", "12 min"."""
    minutes = max(1, round(hours * 60)) if hours > 0 else 0
    whole, rest = divmod(minutes, 60)
    return f"{whole} h {rest:02d} min" if whole else f"{rest} min"
