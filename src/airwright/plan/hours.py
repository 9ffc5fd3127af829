"""Hands' time of one piece, from labour standards and from what the piece is.

Inflating and tying follow the balloons, a frame follows its rods, panels and feet, carrying
follows armfuls (bulk and weight) and the way from the van, take-down follows what comes apart.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import Catalog, Family
from airwright.decor.assembly import Assembly
from airwright.job.models import Job
from airwright.job.studio import Studio
from airwright.plan.piece_values import PiecePlan, WorkLine
from airwright.plan.stability import Stability
from airwright.units import INCH_M

SMALL_M = 6.5 * INCH_M
MEDIUM_M = 12.5 * INCH_M
LARGE_M = 20.5 * INCH_M
"""Nominal sizes up to which a balloon counts as small, medium, large; above it is a jumbo."""

ARMFUL_M3: Final = 0.7
ARMFUL_KG: Final = 18.0
"""What one person takes in one go: a large bag or a built column, and not more than this weight.
Both from memory."""
LEAST_ARMFUL: Final = 0.3
"""Of the smallest pieces a few go in one armful. From memory."""
PACKED_SHARE: Final = 0.35
"""Share of its room that a carried piece or bag of balloons fills. From memory."""
BURST_SHARE: Final = 0.05
"""Room of burst balloons over that of full ones. From memory."""
SECOND_NOZZLE: Final = 0.8
"""Time to inflate and tie with two nozzles at hand over that with one. From memory."""
PACE: Final = {"practised": 1.0, "some practice": 1.7, "first time": 3.0}
"""Time over that of practised hands; a first time takes two to four times as long (common
practice)."""
NOT_SKILL: Final = frozenset(
    {"ready the van", "load", "carry", "walk", "stairs", "lift ride", "arrive", "sweep"}
)
"""Work that takes beginners no longer, besides all that is done on the road."""
ON_NOZZLES: Final = frozenset({"inflate small", "inflate medium", "inflate large"})
INFLATING: Final = ON_NOZZLES | {"inflate jumbo", "inflate foil"}
HELIUM: Final = "fill helium"
"""Its standard says where floating balloons are filled: on site as it stands, because they must
still float at the end and a van takes few of them."""
STACKING: Final = "stack cluster"
TAKE_DOWN: Final = "take-down"


@dataclass(frozen=True, slots=True)
class Way:
    """What the time for a piece depends on besides the piece.

    Attributes:
        carry_m: from the van to where it stands, one way [m].
        flights: of stairs climbed with every armful.
        lift: whether a lift is taken instead.
        nozzles: of the studio's inflators.
        pace: time over that of practised hands [-].
    """

    carry_m: float = 30.0
    flights: int = 0
    lift: bool = False
    nozzles: int = 1
    pace: float = 1.0


def way_of(job: Job, studio: Studio) -> Way:
    """How this job is worked, at its venue and with this studio's hands."""
    venue, crew = job.venue, studio.crew
    return Way(
        carry_m=venue.carry,
        flights=venue.stairs,
        lift=venue.lift == "yes",
        nozzles=crew.nozzles,
        pace=PACE[job.job.made_by or crew.made_by],
    )


def usual_way(studio: Studio) -> Way:
    """The studio's usual hands in an everyday room."""
    return Way(nozzles=studio.crew.nozzles, pace=PACE[studio.crew.made_by])


def with_work(piece: PiecePlan, catalog: Catalog, way: Way) -> PiecePlan:
    """The piece with the time that one of it takes, operation by operation."""
    done = [
        *_making(piece.assembly, catalog),
        *_building(piece.assembly),
        *_placing(piece, catalog, way),
        *_taking_down(piece, way),
    ]
    return replace(piece, work=work_lines(done, catalog, way))


Done = tuple[str, float, str | None]
"""Operation, quantity, and where it is done if not where its standard says."""


def work_lines(done: Iterable[Done], catalog: Catalog, way: Way) -> tuple[WorkLine, ...]:
    """Quantities of operations as time [h], the same operation at the same place summed."""
    sums: dict[tuple[str, str], float] = {}
    for name, quantity, place in done:
        key = name, place or _place(name, catalog)
        sums[key] = sums.get(key, 0.0) + quantity
    return tuple(
        _line(name, place, quantity, catalog, way)
        for (name, place), quantity in sums.items()
        if quantity > 0
    )


def _place(name: str, catalog: Catalog) -> str:
    """Where an operation is done; striking was site work in older studio files."""
    place = catalog.operation(name).place
    return TAKE_DOWN if name == "strike piece" else place


def _line(name: str, place: str, quantity: float, catalog: Catalog, way: Way) -> WorkLine:
    standard = catalog.operation(name)
    minutes = standard.minutes
    if place != "road":
        minutes *= 1.0 + catalog.allowance
        minutes *= 1.0 if name in NOT_SKILL else way.pace
    if name in ON_NOZZLES and way.nozzles > 1:
        minutes *= SECOND_NOZZLE
    return WorkLine(name, standard.what, place, quantity, minutes * quantity / 60, standard.per)


def inflating(family: Family, nominal_m: float) -> str:
    """The labour standard that inflating one balloon falls under."""
    if family is Family.FOIL:
        return "inflate foil"
    if family is Family.MODELLING or nominal_m <= SMALL_M:
        return "inflate small"
    if nominal_m <= MEDIUM_M:
        return "inflate medium"
    return "inflate large" if nominal_m <= LARGE_M else "inflate jumbo"


def is_jumbo(family: Family, nominal_m: float) -> bool:
    """Whether a balloon is of the largest, each blown up and tied by itself."""
    return inflating(family, nominal_m) == "inflate jumbo"


def _making(assembly: Assembly, catalog: Catalog) -> list[Done]:
    done: Counter[tuple[str, str | None]] = Counter()
    for stock_at, count in Counter(assembly.stock.tolist()).items():
        stock = assembly.stocks[stock_at]
        place = _place(HELIUM, catalog) if stock.helium else None
        done[inflating(stock.family, stock.nominal_m), place] += count
        if stock.helium:
            done[HELIUM, None] += count
    done["stuff balloon", None] += int((assembly.skins - 1).sum())
    done["tie cluster", None] += len(assembly.clusters)
    # what hangs on panels is hung where the panels stand
    hung = "site" if _quantity(assembly, "panel") else None
    own = [
        (row.operation, row.quantity, hung if row.operation == STACKING else None)
        for row in assembly.operations
    ]
    return [*((name, float(count), place) for (name, place), count in done.items()), *own]


def comes_filled(assembly: Assembly, catalog: Catalog) -> NDArray[np.bool_]:
    """(N,) whether a balloon is filled in the workshop; the others come empty in their bags."""
    if _place(HELIUM, catalog) == "workshop":
        return np.ones(len(assembly), dtype=bool)
    floating = np.array([stock.helium for stock in assembly.stocks], dtype=bool)
    return ~floating[assembly.stock]


def _building(assembly: Assembly) -> list[Done]:
    """A frame by its rods, panels and feet."""
    rods = _quantity(assembly, "frame")
    panels = _quantity(assembly, "panel")
    feet = _quantity(assembly, "base") if rods or panels else 0.0
    return [("frame", rods, None), ("panel", panels, None), ("foot", feet, None)]


def _quantity(assembly: Assembly, use: str) -> float:
    return sum(part.quantity for part in assembly.hardware if part.use == use)


def _placing(piece: PiecePlan, catalog: Catalog, way: Way) -> list[Done]:
    armfuls = armfuls_in(piece, catalog)
    return [
        ("load", armfuls, None),
        *carrying(armfuls, way, "site"),
        ("place piece", 1.0, None),
        ("dress balloon", float(len(piece.assembly)), None),
        ("set ballast", _ballast_kg(piece), None),
    ]


def _taking_down(piece: PiecePlan, way: Way) -> list[Done]:
    parts = sum(_quantity(piece.assembly, use) for use in ("frame", "panel", "base", "pole"))
    return [
        ("strike piece", 1.0, None),
        ("burst balloon", float(len(piece.assembly)), None),
        ("take apart", parts, None),
        *carrying(armfuls_out(piece), way, TAKE_DOWN),
    ]


def carrying(armfuls: float, way: Way, place: str) -> list[Done]:
    """So many armfuls over the way between van and decor, there and back."""
    return [
        ("carry", armfuls, place),
        ("walk", 2 * way.carry_m * armfuls, place),
        ("stairs", 0.0 if way.lift else way.flights * armfuls, place),
        ("lift ride", armfuls if way.lift else 0.0, place),
    ]


def armfuls_in(piece: PiecePlan, catalog: Catalog) -> float:
    """Armfuls that bring one of a piece in: by bulk or by weight, whichever takes more."""
    filled = comes_filled(piece.assembly, catalog)
    bulk = _balloons_m3(piece.assembly, filled) / PACKED_SHARE / ARMFUL_M3
    return max(bulk, (piece.mass_kg + _ballast_kg(piece)) / ARMFUL_KG, LEAST_ARMFUL)


def armfuls_out(piece: PiecePlan) -> float:
    """Armfuls that take one of a piece away again, its balloons burst."""
    bulk = BURST_SHARE * _balloons_m3(piece.assembly) / PACKED_SHARE / ARMFUL_M3
    return max(bulk, (piece.mass_kg + _ballast_kg(piece)) / ARMFUL_KG, LEAST_ARMFUL)


def _balloons_m3(assembly: Assembly, filled: NDArray[np.bool_] | None = None) -> float:
    radius = assembly.radius if filled is None else assembly.radius[filled]
    return float((4 / 3 * np.pi * radius**3).sum())


def _ballast_kg(piece: PiecePlan) -> float:
    loaded = piece.stability.ballast_kg if isinstance(piece.stability, Stability) else 0.0
    return loaded + (piece.weighting.missing_kg if piece.weighting is not None else 0.0)
