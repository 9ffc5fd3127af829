"""A load list as a PDF."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from airwright.job.findings import Finding, caution
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import at_least_shown, distance, listed, plural, shortened
from airwright.papers.load_list.floor import FloorPicture, picture_of, rows
from airwright.papers.load_list.groups import Group, Item
from airwright.papers.load_list.model import LoadList, load_list_of
from airwright.pictures.drawing.values import MM
from airwright.units import LENGTH, MASS, VOLUME, System, show

PATH: Final = "load-list.pdf"


def make(request: Request) -> tuple[Paper, ...]:
    """load-list.pdf for a request."""
    model = load_list_of(request.plan)
    floor = picture_of(request.plan, request.pictures, request.page)
    paper = render(model, request.page, request.system, request.mark, floor)
    found = (*overload(model, request.system), *paper.findings)
    return (Paper(paper.path, paper.data, paper.fingerprint, found),)


def overload(model: LoadList, system: System) -> tuple[Finding, ...]:
    """A caution when all of it does not go into the van at once."""
    if model.trips == 1:
        return ()
    mass, load = (show(v, MASS, system) for v in (model.mass_kg, model.load_kg))
    bulk, room = (show(v, VOLUME, system) for v in (model.bulk_m3, model.room_m3))
    what = f"The load ({mass}, {bulk}) does not fit the van ({load}, {room}) at once."
    mend = f"Drive {model.trips} times, take a larger van, or inflate on site."
    return (caution("van-too-small", "", what, mend),)


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
        "hands": plural(model.hands, "person", "people"),
        "groups": [_group(group, system) for group in model.groups],
        "mass": show(model.mass_kg, MASS, system),
        "bulk": show(model.bulk_m3, VOLUME, system),
        "load": show(model.load_kg, MASS, system, 0),
        "room": show(model.room_m3, VOLUME, system),
        "mass_share": model.mass_kg / model.load_kg,
        "bulk_share": model.bulk_m3 / model.room_m3,
        "ballast": show(model.ballast_kg, MASS, system, 0) if model.ballast_kg else "",
        "trips": model.trips,
        "overload": [asdict(found) for found in overload(model, system)],
        "author": model.masthead.studio,
        "palette": [swatch.colour for swatch in model.swatches],
        "places": rows(model.places, system),
        "floor": None if floor is None else _floor(floor),
    }
    title = f"Load list: {model.occasion.title}"
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
        "off": listed(floor.off),
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
    if item.ballast:
        detail = "carried, or found and filled in on site"
    kind = {"m": LENGTH, "kg": MASS}.get(item.unit)
    quantity = f"{item.quantity:,.0f}" if kind is None else show(item.quantity, kind, system)
    return {
        "name": item.name,
        "detail": detail,
        "quantity": quantity,
        "mass": at_least_shown(item.mass_kg, MASS, system),
        "bulk": at_least_shown(item.bulk_m3, VOLUME, system),
        "back": item.back,
    }
