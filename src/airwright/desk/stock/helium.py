"""Addresses of helium: cylinders here, their dials, and what they cost while they stand."""

from __future__ import annotations

from decimal import Decimal

from fastapi import APIRouter
from starlette.responses import RedirectResponse, Response

from airwright import units
from airwright.desk.access import ByDesigner, RequestContext, SignedIn
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import day as shown_day
from airwright.desk.pages import money, render
from airwright.desk.stock.contexts import CylinderLine, HeliumPage
from airwright.desk.stock.forms import day_or_none, paid_or_none
from airwright.desk.stock_entry import said
from airwright.job.studio import Studio
from airwright.language import message
from airwright.operations.stock.helium import usable_litres
from airwright.physics.gas import DELIVERY_C
from airwright.store.cylinders import Cylinders, KeptCylinder
from airwright.store.studio import StudioFile
from airwright.store.types import new_id

router = APIRouter()

SMALLEST_M3, LARGEST_M3 = 0.5e-3, 0.15
HIGHEST_PA = 300e5
UNIT_PA = {"bar": 1e5, "psi": units.parse("1 psi", units.PRESSURE)}


@router.get("/stock/helium")
def helium(context: SignedIn) -> Response:
    """Cylinders, with their gas and rent so far."""
    today = context.desk.settings.today()
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
        kept = Cylinders(session).all()
    whole = usable_litres(tuple(one.cylinder for one in kept), today)
    page = HeliumPage(
        cylinders=tuple(_line(context, one, studio) for one in kept),
        gas=str(units.show(whole / 1000, units.VOLUME, studio.studio.units)),
        kinds=tuple(dict.fromkeys(kind.name for kind in studio.cylinders)),
        dial=_dial(studio),
        currency=studio.pricing.currency,
        key=new_id(),
    )
    return render(context, page)


def _line(context: RequestContext, one: KeptCylinder, studio: Studio) -> CylinderLine:
    today, system = context.desk.settings.today(), studio.studio.units
    cylinder, code = one.cylinder, studio.pricing.currency
    rent = cylinder.rent(today, code) if context.actor.sees_cost and cylinder.rent_a_day else None
    return CylinderLine(
        id=one.id,
        name=cylinder.name,
        size=f"{1000 * cylinder.water_m3:.4g} L",
        gas=str(units.show(cylinder.usable_litres / 1000, units.VOLUME, system)),
        gauge=f"{cylinder.gauge_pa / UNIT_PA[_dial(studio)]:,.0f} {_dial(studio)}",
        read=f"{shown_day(one.read_on)}, {one.read_by}",
        since=shown_day(cylinder.since),
        rent="" if rent is None else money(rent, code),
        place=one.place,
        key=new_id(),
    )


@router.post("/stock/helium")
def add(context: ByDesigner) -> Response:
    """A cylinder came."""
    name = context.text("name", 80)
    if not name:
        raise EditError(
            message("The cylinder has no name."), message('Write what stands on it, like "No. 7".')
        )
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    water = _water(context, studio)
    gauge = _gauge(context, studio)
    word = said(context)
    with context.writing() as session:
        Cylinders(session).add(
            name,
            water,
            gauge,
            word,
            since=day_or_none(context, "since") or word.day,
            rent_a_day=paid_or_none(context) or Decimal(0),
            place=context.text("place", 60),
        )
    return RedirectResponse("/stock/helium?said=saved", 303)


@router.post("/stock/helium/{cylinder_id}/reading")
def read(cylinder_id: str, context: SignedIn) -> Response:
    """What its dial shows now."""
    with context.reading() as session:
        studio = context.desk.builder.studio(StudioFile(session).get()[0])
    gauge = _gauge(context, studio)
    with context.writing() as session:
        Cylinders(session).read(cylinder_id, gauge, DELIVERY_C, said(context))
    return RedirectResponse("/stock/helium?said=saved", 303)


@router.post("/stock/helium/{cylinder_id}/returned")
def give_back(cylinder_id: str, context: ByDesigner) -> Response:
    """It went back; its rent ends today."""
    with context.writing() as session:
        Cylinders(session).give_back(cylinder_id, context.desk.settings.today())
    return RedirectResponse("/stock/helium?said=saved", 303)


def _dial(studio: Studio) -> str:
    """The unit that dials are read in here; a bare number means it."""
    return "psi" if studio.studio.units is units.System.FEET else "bar"


def _gauge(context: RequestContext, studio: Studio) -> float:
    text = context.text("gauge", 24)
    found = _quantity(text, units.PRESSURE, _dial(studio))
    if not 0 <= found <= HIGHEST_PA:
        raise EditError(
            message('"{text}" is no reading of a dial.', text=text),
            message("Write 0 to 300 bar (4350 psi)."),
        )
    return found


def _water(context: RequestContext, studio: Studio) -> float:
    """Water volume: of a kind the studio rents, or as stamped on the shoulder."""
    text = context.text("size", 80)
    known = next((kind.water for kind in studio.cylinders if kind.name == text), None)
    found = _quantity(text, units.VOLUME, "L") if known is None else known
    if not SMALLEST_M3 <= found <= LARGEST_M3:
        raise EditError(
            message('"{text}" is no size of a cylinder.', text=text),
            message("Write 0.5 to 150 L of water."),
        )
    return found


def _quantity(text: str, kind: units.Kind, unit: str) -> float:
    bare = text.replace(",", ".").replace(".", "", 1).isdecimal()
    try:
        return units.parse(f"{text} {unit}" if bare else text, kind)
    except units.UnitError as problem:
        raise EditError(problem.what, problem.mend) from problem
