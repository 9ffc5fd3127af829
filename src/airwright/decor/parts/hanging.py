"""Lines and hooks: what a garland is tied along and what it hangs from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np

from airwright.decor.assembly import Floats, HardwarePlaced, Shade, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.packing import Rail

LINE_ACROSS_M = 0.002
HOOK_ACROSS_M = 0.02
SAMPLE_EVERY_M = 0.1


def samples(line: Rail) -> Floats:
    """Points (n, 3) along a line, a hand apart, at least nine [m]."""
    many = max(9, int(line.length_m / SAMPLE_EVERY_M))
    return line.position(np.linspace(0.0, line.length_m, many))


def clear_line(
    draft: Draft,
    name: str,
    points: Iterable[Sequence[float] | Floats],
    knots_m: float = 0.0,
    cut_m: float = 0.0,
) -> int:
    """Clear cord along points (n, 3) [m], `knots_m` more of it for knots; returns its index.

    `cut_m` is its whole length as a step tells it, where the points cut a curve's corners [m].
    """
    clear = Shade("clear line", "#d8d8d8", "clear")
    made = Strand(name, path(points), LINE_ACROSS_M, clear, item="garland line", knots_m=knots_m)
    return draft.strand(replace(made, knots_m=max(knots_m, cut_m - made.length_m)))


def hook(draft: Draft, ctx: Context, spot: Sequence[float] | Floats) -> int:
    """A hook at a point (3,) [m]; returns its index. Raises UnknownName without one in stock."""
    item = ctx.catalog.item("garland hook").item
    return draft.hardware(
        HardwarePlaced(item, "anchor", 1, "each", path([spot]), HOOK_ACROSS_M, HOOK_ACROSS_M)
    )
