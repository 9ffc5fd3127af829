"""Flat boards: printed signs and backdrop panels, by the outline of their face."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from airwright import units
from airwright.catalog import Hardware
from airwright.decor import checks
from airwright.decor.assembly import Floats, HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.job.findings import Finding
from airwright.job.pieces import Table
from airwright.language import message
from airwright.params import Param

ROUND_SIDES = 72
THICK_M = 0.005


class Sign(Table):
    """A printed board."""

    text: Annotated[str, Param(message("What is printed on it, for the printer."), longest=120)] = (
        ""
    )
    width: Annotated[float, Param(message("Left to right."), units.LENGTH, "3 in", "8 ft")] = 0.50
    height: Annotated[float, Param(message("Top to bottom."), units.LENGTH, "3 in", "8 ft")] = 0.35
    shade: Annotated[
        str,
        Param(message("Its shade, by the name given in [shades]."), longest=60, shades=True),
    ]


def check_sign(spec: Sign | None, ctx: Context, place: str) -> list[Finding]:
    """A sign whose shade exists."""
    return checks.shades([spec.shade], ctx, f"{place}.shade") if spec else []


def rectangle(wide: float, tall: float, middle: Floats) -> Floats:
    """Closed outline (5, 3) [m] of an upright rectangle that faces the front."""
    x, z = wide / 2, tall / 2
    corners = [[-x, 0.0, -z], [x, 0.0, -z], [x, 0.0, z], [-x, 0.0, z], [-x, 0.0, -z]]
    outline: Floats = middle + np.array(corners)
    return outline


def add_board(
    draft: Draft, row: Hardware, outline: Floats, shade: str, ctx: Context, text: str = ""
) -> int:
    """Place a flat board of that face (n, 3) [m]; returns its index."""
    thick = row.height_m or THICK_M
    return draft.hardware(
        HardwarePlaced(
            row.item, row.use, 1, "each", path(outline), thick, shade=ctx.shade(shade), text=text
        )
    )
