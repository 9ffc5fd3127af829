"""Pieces as plain as can be, for rules that are reckoned by hand."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Assembly, HardwarePlaced, Role, Shade, Stock
from airwright.job import Studio
from airwright.job.studio import Crew
from airwright.plan.piece_values import Need, PiecePlan, WorkLine
from airwright.plan.planning import plan_piece
from airwright.units import INCH_M
from tests.plan.samples import column, job

CATALOG = default_catalog()
CORAL, SAND = Shade("coral", "#f0705a"), Shade("sand", "#e8d5b7")
SEEN_IN = Shade("pale", "#f0c0b0", outside="white", inside="coral")
CERTAIN = Studio(crew=Crew(hands=4, nozzles=1, shortage_risk=0.5, spare_of_each="no"))
SURE = Studio(crew=Crew(shortage_risk=0.5, spare_of_each="no"))
EACH = Studio(crew=Crew(shortage_risk=0.5, spare_of_each="yes"))
"""Studios that may run short in every other job: a small one has only spares that always come."""


def stock(size: str, family: Family = Family.ROUND, inch: float = 11, **more: Any) -> Stock:
    return Stock(size, family, inch * INCH_M, inch * INCH_M, **more)


def bare(
    *stocks: Stock,
    count: int = 1,
    name: str = "Piece",
    shades: tuple[Shade, ...] = (CORAL,),
    skins: list[int] | None = None,
    **more: Any,
) -> PiecePlan:
    """So many of each balloon side by side, and hardware as given; a column by its kind."""
    rows = len(stocks) * count
    none = np.full(rows, -1, dtype=np.int32)
    assembly = Assembly(
        name=name,
        kind="column",
        centre=np.array([[0.3 * at, 0.0, 0.5] for at in range(rows)]).reshape(rows, 3),
        radius=np.full(rows, 0.12),
        axis=np.tile([0.0, 0.0, 1.0], (rows, 1)),
        stock=np.repeat(np.arange(len(stocks), dtype=np.int32), count),
        shade=(np.arange(rows) % len(shades)).astype(np.int32),
        cluster=none.copy(),
        layer=none.copy(),
        slot=none.copy(),
        role=np.full(rows, Role.BODY, dtype=np.int32),
        stocks=stocks,
        shades=shades,
        **more,
    )
    spec = job(column()).pieces[0].model_copy(update={"name": name})
    return plan_piece(spec, assembly, "pieces[0]", CATALOG)


def times(piece: PiecePlan, count: int) -> PiecePlan:
    return replace(piece, spec=piece.spec.model_copy(update={"count": count}))


def part(item: str, use: str, quantity: float = 1.0, unit: Any = "each", z: float = 0.0) -> Any:
    return HardwarePlaced(item, use, quantity, unit, ((0.0, 0.0, z),), 0.05, 0.05)


def work(operation: str, place: str, hours: float, quantity: float = 1.0) -> WorkLine:
    return WorkLine(operation, operation.upper(), place, quantity, hours, "job")


def replace_catalog(item: str, **changes: Any) -> Any:
    rows = dict(CATALOG.hardware)
    rows[item] = rows[item].model_copy(update=changes)
    return replace(CATALOG, hardware=rows)


def high(top_m: float) -> PiecePlan:
    piece = bare(stock("11in"))
    up = piece.assembly.bounds[1][2]
    moved = replace(piece.assembly, centre=piece.assembly.centre + np.array([0, 0, top_m - up]))
    return replace(piece, assembly=moved)


def need(**changes: Any) -> Need:
    return Need(**{"item": "x", "kind": "ribbon", "size_in": None, "shade": None, "used": 8,
                   "spare": 4, "unit": "m", "unit_cost": Decimal("2.50"), **changes})  # fmt: skip
