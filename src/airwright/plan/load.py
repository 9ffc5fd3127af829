"""What goes into the van, in the order it is loaded: last in is first out."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import Catalog, Family
from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding, caution
from airwright.job.studio import Van
from airwright.language import Text, counted, listing, message
from airwright.physics.loose_packing import LOOSEST
from airwright.plan.hours import comes_filled
from airwright.plan.needs import SANDBAG_ITEM
from airwright.plan.values import Need, PiecePlan, Plan
from airwright.plan.wording import Words
from airwright.units import MASS, VOLUME, show

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
    "board",
    "sign",
    "net",
    "anchor",
    "ballast",
)
"""Hardware by its use; gas is not listed, it comes in its cylinders."""
SMALL_USES: Final = ("line", "ribbon", "band", "fringe", "fabric", "foliage")
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
        depth_m: of a sleeve's strip, whose colour is the detail [m].
    """

    name: str
    detail: str
    quantity: float
    mass_kg: float
    bulk_m3: float
    ballast: bool = False
    back: bool = True
    unit: str = "each"
    depth_m: float | None = None


ALWAYS: Final = (
    Item(message("first-aid kit"), "", 1, 0.0, 0.0),
    Item(message("roll of rubbish bags"), "", 1, 0.0, 0.0),
    Item(
        message("papers"),
        message("make sheet, sizing card, safety sheet, this list"),
        1,
        0.0,
        0.0,
    ),
)
"""What goes along on every job, weighing next to nothing (common practice)."""
IN_THE_CASE: Final = message(
    "in it: tape, tape measure, spirit level, scissors, knife, marker pen, needle and thread, "
    "wire, funnel"
)
"""Small tools that steps ask for (common practice)."""


@dataclass(frozen=True, slots=True)
class Group:
    """Things that lie together in the van."""

    title: str
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class VanLoad:
    """All of it against what the van takes [kg], [m³]; `trips` by weight and by room."""

    mass_kg: float
    bulk_m3: float
    load_kg: float
    room_m3: float

    @property
    def trips(self) -> int:
        """Van loads it takes."""
        loads = max(self.mass_kg / self.load_kg, self.bulk_m3 / self.room_m3)
        return max(1, -int(-loads // 1))


def van_load(groups: Iterable[Group], van: Van) -> VanLoad:
    """Weight and room of everything that goes along."""
    items = [item for group in groups for item in group.items]
    return VanLoad(
        sum(item.mass_kg for item in items),
        sum(item.bulk_m3 for item in items),
        van.load,
        van.room,
    )


def about_van(load: VanLoad, words: Words) -> list[Finding]:
    """A caution when all of it does not go into the van at once."""
    if load.trips == 1:
        return []
    what = message(
        "The load ({mass}, {bulk}) does not fit the van ({load}, {room}) at once.",
        mass=show(load.mass_kg, MASS, words.system, 0),
        bulk=show(load.bulk_m3, VOLUME, words.system, 0),
        load=show(load.load_kg, MASS, words.system, 0),
        room=show(load.room_m3, VOLUME, words.system, 0),
    )
    mend = message(
        "Drive {trips} times, take a larger van, or inflate on site. The papers plan {trips} "
        "trips.",
        trips=load.trips,
    )
    return [caution("van-too-small", "", what, mend)]


def groups_of(plan: Plan) -> tuple[Group, ...]:
    """All groups of a plan that are not empty, what goes in first before the rest."""
    return loaded(plan.in_scope, plan.needs, plan.context.catalog)


def loaded(
    pieces: Sequence[PiecePlan], needs: Sequence[Need], catalog: Catalog
) -> tuple[Group, ...]:
    """Likewise of pieces and needs.

    Decor is built up from stands and tools, so those come out first and go in last; of the decor
    itself the piece that is built first lies nearest to the door.
    """
    known = set(HEAVY_USES) | set(SMALL_USES)
    rest = {need.kind for need in needs if need.kind not in known | {"balloon", "tool", "gas"}}
    decor = tuple(_decor(piece, catalog) for piece in reversed(pieces))
    groups = (
        Group(message("Spare balloons, in their bags"), _spares(needs)),
        Group(message("Decor, tied in the workshop"), decor),
        Group(message("Line, ribbon, strips, bands"), _hardware(needs, SMALL_USES)),
        Group(message("Other"), _hardware(needs, tuple(sorted(rest)))),
        Group(message("Stands, poles, weights"), _hardware(needs, HEAVY_USES)),
        Group(message("Tools"), _tools(pieces, needs, catalog)),
    )
    return tuple(group for group in groups if group.items)


def _hardware(needs: Iterable[Need], uses: tuple[str, ...]) -> tuple[Item, ...]:
    chosen = sorted((need for need in needs if need.kind in uses), key=lambda n: uses.index(n.kind))
    return tuple(_item(need) for need in chosen)


def _item(need: Need) -> Item:
    weighed = need.kind == "filling"
    counted = math.ceil(need.total) if need.unit == "each" else need.total
    return Item(
        name=need.item,
        detail=_ballast_words(need) or need.shade or "",
        quantity=need.mass_kg if weighed else counted,
        mass_kg=need.mass_kg,
        bulk_m3=need.bulk_m3,
        ballast=need.kind == "ballast",
        # Cylinders are hired: a job pays for each anew, and yet they come home.
        back=need.reuses > 1 or need.kind == "cylinder",
        unit="kg" if weighed else need.unit,
        depth_m=need.depth_m,
    )


def _ballast_words(need: Need) -> str:
    if need.item == SANDBAG_ITEM:
        return message("filled at the workshop, or empty ones filled on site")
    if need.kind == "ballast":
        return message("carried, or found and filled in on site")
    return ""


def _tools(
    pieces: Sequence[PiecePlan], needs: Sequence[Need], catalog: Catalog
) -> tuple[Item, ...]:
    tall = any(piece.assembly.height_m > REACH_M and not piece.rises_by_itself for piece in pieces)
    names = [*ALWAYS_TOOLS, *(["step ladder"] if tall else [])]
    listed = {need.item for need in needs}
    rows = [_tool(name, catalog) for name in names if name not in listed and _has(catalog, name)]
    rows += [_item(need) for need in needs if need.kind == "tool"]
    return (*rows, *ALWAYS)


def _has(catalog: Catalog, name: str) -> bool:
    return name in catalog.hardware


def _tool(name: str, catalog: Catalog) -> Item:
    row = catalog.item(name)
    return Item(name, IN_THE_CASE if name == "tool case" else "", 1, row.mass_kg, row.bulk_m3)


def _spares(needs: Iterable[Need]) -> tuple[Item, ...]:
    by_item: dict[str, list[Need]] = {}
    for need in needs:
        if need.kind == "balloon" and need.spare > 0:
            by_item.setdefault(need.item, []).append(need)
    return tuple(
        Item(
            name=item,
            detail=listing(
                [
                    message("{n} {shade}", n=round(need.spare), shade=need.shade or "")
                    for need in rows
                ]
            ),
            quantity=sum(need.spare for need in rows),
            mass_kg=sum(need.mass_kg * need.spare / need.total for need in rows),
            bulk_m3=0.0,
        )
        for item, rows in by_item.items()
    )


def _decor(piece: PiecePlan, catalog: Catalog) -> Item:
    assembly = piece.assembly
    tied = len(assembly.clusters)
    filled = comes_filled(assembly, catalog)
    loose = int(np.sum((assembly.cluster < 0) & filled))
    empty = int(np.sum(~filled))
    parts = []
    if tied:
        parts.append(counted("{n} cluster", "{n} clusters", tied))
    if loose:
        parts.append(counted("{n} single balloon", "{n} single balloons", loose))
    if empty:
        parts.append(counted("{n} balloon filled on site", "{n} balloons filled on site", empty))
    detail: Text = listing(parts)
    if parts and piece.count > 1:
        detail = message("{parts} for each", parts=detail)
    return Item(
        name=piece.name,
        detail=detail,
        quantity=piece.count,
        mass_kg=rubber_kg(assembly, catalog) * piece.count,
        bulk_m3=bagged_m3(assembly, filled) * piece.count,
        back=False,
    )


def rubber_kg(assembly: Assembly, catalog: Catalog) -> float:
    """Balloons of one piece, air and helium left out [kg]."""
    grams = np.array([catalog.balloon(stock.size).mass_g for stock in assembly.stocks])
    return float((grams[assembly.stock] * assembly.skins).sum()) / 1000 if len(assembly) else 0.0


def bagged_m3(assembly: Assembly, filled: NDArray[np.bool_] | None = None) -> float:
    """Room of one piece's balloons in bags, lying loosely [m³]; those `filled` (N,), or all.

    Foil is half as deep as it is wide (from memory), and counted as that.
    """
    volumes = math.pi / 6 * (2 * assembly.radius) ** 3
    flat = np.array([stock.family is Family.FOIL for stock in assembly.stocks], dtype=bool)
    if len(assembly):
        volumes = np.where(flat[assembly.stock], volumes / 2, volumes)
    if filled is not None:
        volumes = volumes[filled]
    return float(volumes.sum()) / LOOSEST
