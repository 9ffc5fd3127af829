"""A sizing card as a PDF whose geometry is true: print at 100 %, measure the bar, cut."""

from __future__ import annotations

import datetime as dt
from dataclasses import asdict, replace
from typing import Any, Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import plural, shortened
from airwright.papers.sizing_card.layout import (
    FLAP_MM,
    LABEL_MM,
    Area,
    Sheet,
    Tile,
    lay_out,
    name_of,
)
from airwright.papers.sizing_card.model import Ring, SizingCard, sizing_card_of
from airwright.units import LENGTH, System, inches, show

PATH: Final = "sizing-card.pdf"
SIDE_MM, TOP_MM, BOTTOM_MM = 9.0, 9.0, 15.0
"""Margins: what common printers leave blank, and the line at the foot."""
HEADING_MM: Final = 82.0
"""Height of the heading with its check bars, on the first sheet."""
MM: Final = 1000.0


def make(request: Request) -> tuple[Paper, ...]:
    """sizing-card.pdf for a request."""
    model = sizing_card_of(request.plan)
    return (render(model, request.page, request.system, request.today),)


def card_page(page: Page) -> Page:
    """The studio's paper with the narrow margins of a card."""
    return replace(page, margin_mm=SIDE_MM, top_mm=TOP_MM, bottom_mm=BOTTOM_MM)


def render(model: SizingCard, page: Page, system: System, day: dt.date | None = None) -> Paper:
    """Typeset a sizing card."""
    narrow = card_page(page)
    area = Area(narrow.body_width_mm, narrow.body_height_mm, HEADING_MM)
    sheets = lay_out([ring.diameter_m * MM for ring in model.rings], area)
    data = {
        "studio": model.studio,
        "job": model.title,
        "short": shortened(model.title, 26),
        "palette": list(model.palette),
        "rings": [_ring(ring, system) for ring in model.rings],
        "foils": list(model.foils),
        "area": {"width": area.width, "height": area.height, "heading": HEADING_MM},
        "flap": FLAP_MM,
        "label": list(LABEL_MM),
        "sheets": [_sheet(sheet) for sheet in sheets],
        "author": model.studio,
    }
    return typeset(
        "sizing_card",
        PATH,
        data,
        page=narrow,
        title=f"Sizing card: {model.title}",
        fingerprint=fingerprint(model),
        day=day,
    )


def _ring(ring: Ring, system: System) -> dict[str, Any]:
    other = System.METRIC if system is System.FEET else System.FEET
    return {
        "diameter": ring.diameter_m * MM,
        "across": _across(ring.diameter_m, system),
        "other": _across(ring.diameter_m, other),
        "sizes": " and ".join(ring.sizes),
        "count": plural(ring.count, "balloon"),
        "helium": ring.helium,
        "shades": [asdict(shade) for shade in ring.shades],
    }


def _across(metres: float, system: System) -> str:
    """A diameter as it is measured on the table: inches or centimetres, never feet."""
    if system is System.METRIC:
        return f"{metres * 100:.1f} cm".replace(".0 cm", " cm")
    return show(metres, LENGTH, System.FEET) if metres < 0.9 else f"{inches(metres):g} in"


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "rings": [asdict(placed) for placed in sheet.rings],
        "tile": None if sheet.tile is None else _tile(sheet.tile),
    }


def _tile(tile: Tile) -> dict[str, Any]:
    neighbours = {
        "left": (tile.column - 1, tile.row),
        "right": (tile.column + 1, tile.row),
        "above": (tile.column, tile.row - 1),
        "below": (tile.column, tile.row + 1),
    }
    return {
        "name": tile.name,
        "column": tile.column,
        "row": tile.row,
        "columns": tile.columns,
        "rows": tile.rows,
        "printed": [list(place) for place in tile.printed],
        "label": None if tile.label is None else list(tile.label),
        **{
            side: name_of(*place) if place in tile.printed else ""
            for side, place in neighbours.items()
        },
    }
