"""A load list as a PDF."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from airwright.language import listing, message
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.parts import Caution
from airwright.papers.common.request import Request
from airwright.papers.common.trade_words import item_word, people
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import at_least_shown, distance, shortened
from airwright.papers.load_list.floor import FloorPicture, picture_of, rows
from airwright.papers.load_list.model import LoadList, load_list_of
from airwright.pictures.drawing.values import MM
from airwright.plan.load import Group, Item, about_van
from airwright.plan.wording import Words
from airwright.units import LENGTH, MASS, VOLUME, System, show

PATH: Final = "load-list.pdf"


def make(request: Request) -> tuple[Paper, ...]:
    """load-list.pdf for a request."""
    model = load_list_of(request.plan, request.shelf)
    floor = picture_of(request.plan, request.pictures, request.page)
    paper = render(model, request.page, request.system, request.mark, floor)
    return (paper,)


def render(
    model: LoadList,
    page: Page,
    system: System,
    mark: PaperMark,
    floor: FloorPicture | None = None,
) -> Paper:
    """Typeset a load list, with the floor plan if there is one."""
    print_of = fingerprint(model)
    data = {
        **asdict(model.masthead),
        "short": shortened(model.occasion.title),
        "job": asdict(model.occasion),
        "pieces": list(model.pieces),
        "timetable": [asdict(moment) for moment in model.timetable],
        "drive": distance(model.drive_m, system) if model.drive_m else "",
        "hands": people(model.hands),
        "setting": model.settings,
        "groups": [_group(group, system) for group in model.groups],
        "mass": show(model.load.mass_kg, MASS, system, 0),
        "bulk": show(model.load.bulk_m3, VOLUME, system),
        "load": show(model.load.load_kg, MASS, system, 0),
        "room": show(model.load.room_m3, VOLUME, system),
        "mass_share": model.load.mass_kg / model.load.load_kg,
        "bulk_share": model.load.bulk_m3 / model.load.room_m3,
        "ballast": show(model.ballast_kg, MASS, system, 0) if model.ballast_kg else "",
        "trips": model.load.trips,
        "overload": [
            asdict(Caution(found.what, found.mend))
            for found in about_van(model.load, Words(system))
        ],
        "author": model.masthead.studio,
        "palette": [swatch.colour for swatch in model.swatches],
        "places": rows(model.places, system),
        "floor": None if floor is None else _floor(floor),
    }
    title = message("Load list: {title}", title=model.occasion.title)
    pictures = {} if floor is None else {floor.picture.file: floor.picture.data}
    return typeset(
        "load_list",
        PATH,
        data,
        page=page,
        title=title,
        fingerprint=print_of,
        pictures=pictures,
        mark=mark,
    )


def _floor(floor: FloorPicture) -> dict[str, Any]:
    return {
        "file": floor.picture.file,
        "scale": f"1:{floor.scale}",
        "width": floor.picture.width_m * MM,
        "off": listing(floor.off),
    }


def _group(group: Group, system: System) -> dict[str, Any]:
    return {
        "title": group.title,
        "items": [_item(item, system) for item in group.items],
        "mass": at_least_shown(sum(item.mass_kg for item in group.items), MASS, system),
        "bulk": at_least_shown(sum(item.bulk_m3 for item in group.items), VOLUME, system),
    }


def _item(item: Item, system: System) -> dict[str, Any]:
    detail = item.detail
    if item.depth_m is not None:
        depth = show(item.depth_m, LENGTH, system)
        detail = message("{shade}, {depth} deep", shade=item.detail, depth=depth)
    kind = {"m": LENGTH, "kg": MASS}.get(item.unit)
    quantity = (
        f"{item.quantity:,.0f} ×" if kind is None else at_least_shown(item.quantity, kind, system)
    )
    return {
        "name": item_word(item.name),
        "detail": detail,
        "quantity": quantity,
        "mass": at_least_shown(item.mass_kg, MASS, system),
        "bulk": at_least_shown(item.bulk_m3, VOLUME, system),
        "back": item.back,
    }
