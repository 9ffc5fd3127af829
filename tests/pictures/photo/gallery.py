"""Small scenes for the photograph's tests: every finish and kind, invented."""

from __future__ import annotations

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import (
    Assembly,
    Fabric,
    HardwarePlaced,
    Shade,
    Stock,
    Strand,
)

ROUND = Stock("11in", Family.ROUND, 0.2794, 0.2413)
DOTS = Stock("36in", Family.ROUND, 0.9144, 0.84, mark="dots")
STAR = Stock("19in foil star", Family.FOIL, 0.4826, 0.3937, outline="star")
FOUR = Stock("foil figure", Family.FOIL, 0.4, 0.4, outline="figure 4")

CORAL = Shade("coral", "#f0705a")
SHADES = (
    CORAL,
    Shade("rose pearl", "#e7a9b0", "pearl"),
    Shade("gold", "#d4a545", "metallic"),
    Shade("clear", "#ffffff", "clear"),
    Shade("clear over coral", "#ffffff", "clear", "coral"),
)


def row_of(
    stocks: tuple[Stock, ...], shades: tuple[Shade, ...], pairs: list[tuple[int, int]], step: float
) -> Assembly:
    """Balloons side by side, necks down, for (stock, shade) pairs."""
    count = len(pairs)
    stock = np.array([s for s, _ in pairs], dtype=np.int32)
    radius = np.array([stocks[s].inflated_m / 2 for s in stock], dtype=float)
    x = (np.arange(count) - (count - 1) / 2) * step
    none = np.full(count, -1, np.int32)
    return Assembly(
        "gallery",
        "test",
        np.column_stack([x, np.zeros(count), 0.2 + radius]),
        radius,
        np.tile([0, 0, 1.0], (count, 1)),
        stock,
        np.array([s for _, s in pairs], dtype=np.int32),
        none,
        none,
        none,
        np.zeros(count, np.int32),
        stocks,
        shades,
    )


def one(shade: Shade = CORAL, stock: Stock = ROUND, *others: Shade) -> Assembly:
    return row_of((stock,), (shade, *others), [(0, 0)], 0.3)


def finishes() -> Assembly:
    return row_of((ROUND,), SHADES, [(0, k) for k in range(len(SHADES))], 0.3)


def everything() -> Assembly:
    """All families and all that is no balloon."""
    base = row_of((ROUND, DOTS, STAR, FOUR), SHADES, [(0, 0), (1, 0), (2, 2), (3, 1)], 0.7)
    parts = {
        "hardware": (
            HardwarePlaced("pole", "pole", 1, "each", ((2, 0, 0), (2, 0, 1)), 0.025),
            HardwarePlaced("plate", "base", 1, "each", ((2, 0, 0),), 0.4, 0.03),
            HardwarePlaced("weight", "weight", 1, "each", ((2.4, 0, 0),), 0.07, 0.07),
            HardwarePlaced("panel", "panel", 1, "each", ((-2, 0, 0), (-1.2, 0, 1)), 0.02),
            HardwarePlaced("band", "band", 4, "each", ((0, 0, 0),)),
        ),
        "strands": (
            Strand("ribbon", ((0, 0, 0), (0.1, 0, 0.3)), 0.003, CORAL, item="ribbon"),
            Strand("loop", ((2, 0, 1), (2.1, 0, 1.1), (2.2, 0, 1)), 0.05, CORAL, stock_size="260"),
        ),
        "fabrics": (Fabric("fringe", 0.12, 0.1, 0.9, 2, 1.6, 0.8, SHADES[2], at=(2.0, 0.0)),),
    }
    from dataclasses import replace

    return replace(base, **parts)  # type: ignore[arg-type]
