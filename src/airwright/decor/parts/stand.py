"""Poles and bases: which ones a piece takes, and where they stand."""

from __future__ import annotations

from airwright.catalog import Hardware
from airwright.decor.assembly import HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import BuildError
from airwright.job.findings import error
from airwright.language import message

TALL_M = 2.2
"""From this height on a piece gets the wide base (common practice)."""


def choose_pole(ctx: Context, height_m: float) -> Hardware:
    """The shortest pole in the catalogue that reaches `height_m` [m]. Raises BuildError."""
    poles = sorted(ctx.catalog.of_use("pole"), key=lambda pole: pole.length_m or 0.0)
    for pole in poles:
        if (pole.length_m or 0.0) >= height_m:
            return pole
    longest = poles[-1].length_m if poles else 0.0
    what = message("No pole in the catalog reaches {height}.", height=ctx.length(height_m))
    mend = message(
        "The longest has {value}; build lower, or add a longer pole.",
        value=ctx.length(longest or 0.0),
    )
    raise BuildError(error("no-pole", "", what, mend))


def choose_base(ctx: Context, height_m: float) -> Hardware:
    """The base plate for a column of `height_m` [m]."""
    plates = [row for row in ctx.catalog.of_use("base") if "foot" not in row.item]
    plates.sort(key=lambda row: row.width_m or 0.0)
    return plates[-1] if height_m > TALL_M else plates[0]


def add_stand(draft: Draft, ctx: Context, pole: Hardware, top_m: float) -> list[int]:
    """Place base and pole, the pole cut off at `top_m` [m]; returns their indices."""
    base = choose_base(ctx, top_m)
    plate = base.height_m or 0.03
    return [
        draft.hardware(
            HardwarePlaced(
                base.item, "base", 1, "each", ((0.0, 0.0, 0.0),), base.width_m or 0.4, plate
            )
        ),
        draft.hardware(
            HardwarePlaced(
                pole.item,
                "pole",
                1,
                "each",
                ((0.0, 0.0, plate), (0.0, 0.0, top_m)),
                pole.diameter_m or 0.025,
            )
        ),
    ]
