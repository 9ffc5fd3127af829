"""A sizing card as a PDF whose geometry is true: print at 100 %, measure the bar, use it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import asdict, replace
from typing import Any, Final

from airwright.catalog.size_words import size_word
from airwright.language import Text, listing, message
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.trade_words import balloons
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.sizing_card.layout import MARK_ROWS, Area, Layout, lay_out, strings_beside
from airwright.papers.sizing_card.model import Ring, SizingCard, sizing_card_of
from airwright.units import Shown, System, inches

PATH: Final = "sizing-card.pdf"
SIDE_MM, TOP_MM, BOTTOM_MM = 9.0, 9.0, 15.0
"""Margins: what common printers leave blank, and the line at the foot."""
MM: Final = 1000.0


def make(request: Request) -> tuple[Paper, ...]:
    """sizing-card.pdf for a request."""
    model = sizing_card_of(request.plan)
    return (render(model, request.page, request.system, request.mark),)


def card_page(page: Page) -> Page:
    """The studio's paper on its long side, with the narrow margins of a card."""
    return replace(
        page,
        width_mm=page.height_mm,
        height_mm=page.width_mm,
        margin_mm=SIDE_MM,
        top_mm=TOP_MM,
        bottom_mm=BOTTOM_MM,
    )


def card_layout(model: SizingCard, page: Page) -> Layout:
    """What the card shows where."""
    narrow = card_page(page)
    area = Area(narrow.body_width_mm, narrow.body_height_mm)
    return lay_out([ring.diameter_m * MM for ring in model.rings], area)


def render(model: SizingCard, page: Page, system: System, mark: PaperMark) -> Paper:
    """Typeset a sizing card."""
    narrow = card_page(page)
    layout = card_layout(model, page)
    on_ring = {line.ring: n for n, sheet in enumerate(layout.ring_sheets) for line in sheet}
    on_strip = {spot.ring: n for n, sheet in enumerate(layout.strip_sheets) for spot in sheet}
    first_strip = 2 + len(layout.ring_sheets)
    rings = []
    for at, ring in enumerate(model.rings):
        pages = []
        if at in on_ring:
            pages.append(message("ring, page {page}", page=2 + on_ring[at]))
        if at in on_strip:
            pages.append(message("strips, page {page}", page=first_strip + on_strip[at]))
        rings.append({**_ring(ring, system), "how": _ways(pages)})
    data = {
        "studio": model.studio,
        "job": model.title,
        "short": shortened(model.title, 40),
        "palette": list(model.palette),
        "rings": rings,
        "foils": [size_word(size) for size in model.foils],
        "area": {"width": narrow.body_width_mm, "height": narrow.body_height_mm},
        "rows": MARK_ROWS,
        "ring_sheets": [[asdict(line) for line in sheet] for sheet in layout.ring_sheets],
        "strip_sheets": [[asdict(spot) for spot in sheet] for sheet in layout.strip_sheets],
        "strings": list(layout.strings),
        "strings_below": strings_beside(layout.strip_sheets, layout.strings),
        "author": model.studio,
    }
    return typeset(
        "sizing_card",
        PATH,
        data,
        page=narrow,
        title=message("Sizing card: {title}", title=model.title),
        fingerprint=fingerprint(model),
        mark=mark,
    )


def _ring(ring: Ring, system: System) -> dict[str, Any]:
    return {
        "diameter": ring.diameter_m * MM,
        "across": across(ring.diameter_m, system),
        "string": across(math.pi * ring.diameter_m, system, 1),
        "sizes": listing(ring.sizes),
        "count": _count(ring),
        "shades": [asdict(shade) for shade in ring.shades],
    }


def _count(ring: Ring) -> Text:
    """ "89 balloons", and of them those with helium."""
    if not ring.helium:
        return balloons(ring.count)
    if ring.helium == ring.count:
        return message("{balloons}, helium", balloons=balloons(ring.count))
    return message(
        "{helium} with helium, {air} with air", helium=ring.helium, air=ring.count - ring.helium
    )


def _ways(pages: Sequence[Text]) -> Text:
    """Where a size is measured: a ring, a strip, either of both, or a string."""
    if len(pages) > 1:
        return message("{first} or {second}", first=pages[0], second=pages[1])
    return pages[0] if pages else message("string")


def across(metres: float, system: System, places: int = 2) -> str:
    """A diameter as it is measured on the table: inches or centimetres, never feet."""
    if system is System.METRIC:
        return Shown(f"{metres * 100:,.1f}".removesuffix(".0") + " cm")
    return Shown(f"{inches(metres):,.{places}f}".rstrip("0").rstrip(".") + " in")
