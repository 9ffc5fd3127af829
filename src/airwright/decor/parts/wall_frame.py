"""The frame behind a wall: panels side by side whose bars the balloons hide, on feet."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from airwright.decor.assembly import Floats, HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.parts.edges import cornered
from airwright.decor.parts.grid import Grid
from airwright.language import message, sentences

PANEL_BEHIND = 0.42
"""How far the panels stand behind the balloons' middles, in diameters."""

FRAME_INSIDE = 0.5
"""How far the panels end inside the balloons, in diameters, so that they hide it."""

IN_FOOT_M = 0.02
"""Height at which the uprights end in their feet."""

FOOT_EVERY_M = 2.0
"""Most distance between two feet of the frame (common practice)."""


def add_frame(draft: Draft, grid: Grid, ctx: Context) -> None:
    """Panels behind the balloons and feet below them, with the step that stands them up."""
    panel = ctx.catalog.of_use("panel")[0]
    foot = ctx.catalog.item("wide base plate")
    inside = FRAME_INSIDE * grid.across_m
    wide, tall = grid.size[0] - 2 * inside, grid.size[1] - inside
    across, up = panel.width_m or 1.0, panel.height_m or 1.0
    columns, rows = int(np.ceil(wide / across - 0.1)), int(np.ceil(tall / up - 0.1))
    columns, rows = max(columns, 1), max(rows, 1)
    behind = PANEL_BEHIND * grid.across_m
    uprights, levels = _bars(grid, wide, tall, columns, rows)
    outlines = [_outline(sides, levels, behind) for sides in pairwise(uprights.tolist())]
    parts = [
        draft.hardware(HardwarePlaced(panel.item, "panel", rows, "each", outline, 0.012))
        for outline in outlines
    ]
    feet = max(2, int(np.ceil(wide / FOOT_EVERY_M)) + 1)
    for x in np.linspace(-1.0, 1.0, feet) * max(wide / 2 - (foot.width_m or 0.6) / 2, 0.0):
        place = path([(x, behind, 0.0)])
        parts.append(
            draft.hardware(
                HardwarePlaced(
                    foot.item, "base", 1, "each", place, foot.width_m or 0.6, foot.height_m or 0.04
                )
            )
        )
    draft.step(
        message("Stand the panels"),
        sentences(
            message(
                "Join {panels} panels flat on the floor, {columns} wide and {rows} high.",
                panels=columns * rows,
                columns=columns,
                rows=rows,
            ),
            message("Two people stand the frame up on {feet} feet.", feet=feet),
            message("Fill the feet before anybody lets go."),
            message("Mark the front with tape."),
        ),
        hardware=parts,
    )


def _bars(grid: Grid, wide: float, tall: float, columns: int, rows: int) -> tuple[Floats, Floats]:
    """Uprights (columns + 1,) and level bars (rows + 1,) of the frame [m], where balloons hide
    them: behind the middles of a square wall's, a quarter aside of a staggered one's, where three
    balloons leave no gap."""
    aside = grid.pitch_m / 4 if grid.staggered else 0.0
    first = -grid.size[0] / 2 + grid.across_m / 2 + aside
    half = wide / 2 - aside
    uprights = _moved(np.linspace(-half, half, columns + 1), first, grid.pitch_m)
    lowest = grid.across_m / 2
    levels = _moved(np.linspace(lowest, max(tall, lowest), rows + 1), lowest, grid.rise_m)
    return uprights, levels


def _moved(wanted: Floats, first: float, apart: float) -> Floats:
    """Each place moved to the nearest of a row of places."""
    return np.asarray(first + np.round((wanted - first) / apart) * apart)


def _outline(
    sides: tuple[float, float], levels: Floats, behind: float
) -> tuple[tuple[float, float, float], ...]:
    """One column of panels drawn in one line: its sides down to the floor, the bars between."""
    low, high = sides
    points = [(low, behind, IN_FOOT_M), (low, behind, float(levels[0]))]
    points += [(high, behind, float(levels[0])), (high, behind, IN_FOOT_M)]
    points += [(high, behind, float(levels[0]))]
    for below, level in pairwise(levels.tolist()):
        points += [(high, behind, below), (high, behind, level), (low, behind, level)]
        points += [(low, behind, below), (low, behind, level)]
    return cornered(points)
