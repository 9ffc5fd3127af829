"""What goes into the van, in the order it is loaded: heavy first, balloons last."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

import numpy as np

from airwright.catalog import Catalog, Family
from airwright.decor.assembly import Assembly
from airwright.papers.common.words import plural
from airwright.physics.loose_packing import LOOSEST
from airwright.plan.values import Need, PiecePlan, Plan

REACH_M: Final = 2.0
"""Above this height a ladder goes along."""
HEAVY_USES: Final = (
    "base",
    "weight",
    "cylinder",
    "stand",
    "pole",
    "frame",
    "panel",
    "net",
    "anchor",
    "ballast",
)
"""Hardware by its use; gas is not listed, it comes in its cylinders."""
SMALL_USES: Final = ("line", "ribbon", "band", "fringe", "fabric")
ALWAYS_TOOLS: Final = ("tool case", "electric inflator", "sizing template")


@dataclass(frozen=True, slots=True)
class Item:
    """One line with its boxes to tick.

    Attributes:
        name: what to put in.
        detail: how it comes.
        quantity: how many or how much, in `unit` ("each", "m" or "kg").
        mass_kg, bulk_m3: of all of it [kg], [m³].
        ballast: whether it is filling that may be found on site instead of carried.
        back: whether it comes back to the workshop.
    """

    name: str
    detail: str
    quantity: float
    mass_kg: float
    bulk_m3: float
    ballast: bool = False
    back: bool = True
    unit: str = "each"


ALWAYS: Final = (
    Item("first-aid kit", "", 1, 0.0, 0.0),
    Item("roll of rubbish bags", "", 1, 0.0, 0.0),
    Item("papers", "make sheets, sizing card, safety sheet, this list", 1, 0.0, 0.0),
)
"""What goes along on every job, weighing next to nothing (common practice)."""


@dataclass(frozen=True, slots=True)
class Group:
    """Things that lie together in the van."""

    title: str
    items: tuple[Item, ...]


def groups_of(plan: Plan) -> tuple[Group, ...]:
    """All groups that are not empty."""
    catalog = plan.context.catalog
    known = set(HEAVY_USES) | set(SMALL_USES)
    rest = {need.kind for need in plan.needs if need.kind not in known | {"balloon", "tool", "gas"}}
    groups = (
        Group("Stands, poles, weights", _hardware(plan.needs, HEAVY_USES)),
        Group("Tools", _tools(plan, catalog)),
        Group("Line, ribbon, strips, bands", _hardware(plan.needs, SMALL_USES)),
        Group("Other", _hardware(plan.needs, tuple(sorted(rest)))),
        Group("Spare balloons, in their bags", _spares(plan.needs)),
        Group("Decor, tied in the workshop", tuple(_decor(p, catalog) for p in plan.in_scope)),
    )
    return tuple(group for group in groups if group.items)


def _hardware(needs: Iterable[Need], uses: tuple[str, ...]) -> tuple[Item, ...]:
    chosen = sorted((need for need in needs if need.kind in uses), key=lambda n: uses.index(n.kind))
    return tuple(_item(need) for need in chosen)


def _item(need: Need) -> Item:
    return Item(
        name=need.item,
        detail="",
        quantity=math.ceil(need.total) if need.unit == "each" else need.total,
        mass_kg=need.mass_kg,
        bulk_m3=need.bulk_m3,
        ballast=need.kind == "ballast",
        # Cylinders are hired: a job pays for each anew, and yet they come home.
        back=need.reuses > 1 or need.kind == "cylinder",
        unit=need.unit,
    )


def _tools(plan: Plan, catalog: Catalog) -> tuple[Item, ...]:
    tall = any(piece.assembly.height_m > REACH_M for piece in plan.in_scope)
    names = [*ALWAYS_TOOLS, *(["step ladder"] if tall else [])]
    listed = {need.item for need in plan.needs}
    rows = [_tool(name, catalog) for name in names if name not in listed and _has(catalog, name)]
    rows += [_item(need) for need in plan.needs if need.kind == "tool"]
    return (*rows, *ALWAYS)


def _has(catalog: Catalog, name: str) -> bool:
    return name in catalog.hardware


def _tool(name: str, catalog: Catalog) -> Item:
    row = catalog.item(name)
    return Item(name, "", 1, row.mass_kg, row.bulk_m3)


def _spares(needs: Iterable[Need]) -> tuple[Item, ...]:
    by_item: dict[str, list[Need]] = {}
    for need in needs:
        if need.kind == "balloon" and need.spare > 0:
            by_item.setdefault(need.item, []).append(need)
    return tuple(
        Item(
            name=item,
            detail=", ".join(f"{need.spare:g} {need.shade}" for need in rows),
            quantity=sum(need.spare for need in rows),
            mass_kg=sum(need.mass_kg * need.spare / need.total for need in rows),
            bulk_m3=0.0,
        )
        for item, rows in by_item.items()
    )


def _decor(piece: PiecePlan, catalog: Catalog) -> Item:
    assembly = piece.assembly
    tied = len(assembly.clusters)
    loose = int(np.sum(assembly.cluster < 0))
    parts = ([plural(tied, "cluster")] if tied else []) + ([f"{loose} single"] if loose else [])
    each = " each" if piece.count > 1 else ""
    return Item(
        name=piece.name,
        detail=" and ".join(parts) + each if parts else "",
        quantity=piece.count,
        mass_kg=rubber_kg(assembly, catalog) * piece.count,
        bulk_m3=bagged_m3(assembly) * piece.count,
        back=False,
    )


def rubber_kg(assembly: Assembly, catalog: Catalog) -> float:
    """Balloons of one piece, air and helium left out [kg]."""
    grams = np.array([catalog.balloon(stock.size).mass_g for stock in assembly.stocks])
    return float(grams[assembly.stock].sum()) / 1000 if len(assembly) else 0.0


def bagged_m3(assembly: Assembly) -> float:
    """Room of one piece's balloons in bags, lying loosely [m³].

    Foil is half as deep as it is wide (from memory), and counted as that.
    """
    volumes = math.pi / 6 * (2 * assembly.radius) ** 3
    flat = np.array([stock.family is Family.FOIL for stock in assembly.stocks], dtype=bool)
    if len(assembly):
        volumes = np.where(flat[assembly.stock], volumes / 2, volumes)
    return float(volumes.sum()) / LOOSEST
