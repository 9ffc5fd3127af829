"""Fringe or fabric wrapped round a bare pole."""

from __future__ import annotations

import math

from airwright.decor.assembly import Fabric
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.job.pieces import Sleeve
from airwright.language import Text, counted, message, sentences


def material_word(material: str) -> str | Text:
    """A sleeve's material in words; a studio's own stays as it is named."""
    known = {"fringe": message("fringe"), "fabric": message("fabric")}
    return known.get(material, material)


def strip_length(layers: int, across_m: float, overlap_m: float) -> float:
    """Strip for a sleeve [m]: layers × circumference + overlap.

    Args:
        layers: how often it goes round.
        across_m: diameter of the sleeve [m].
        overlap_m: extra for fixing the end [m].
    """
    return layers * math.pi * across_m + overlap_m


def add_sleeve(
    draft: Draft, spec: Sleeve, ctx: Context, bottom_m: float, top_m: float, shade: str
) -> None:
    """Wrap the pole from `bottom_m` to `top_m` [m], both hidden inside the clouds."""
    strip = strip_length(spec.layers, spec.across, spec.overlap)
    drop = top_m - bottom_m
    chosen = ctx.shade(spec.shade or shade)
    fabric = draft.fabric(
        Fabric(
            spec.material,
            spec.across / 2,
            bottom_m,
            top_m,
            spec.layers,
            strip,
            drop,
            chosen,
        )
    )
    draft.work("sleeve", spec.layers)
    draft.step(
        message("Wrap the {material} sleeve", material=material_word(spec.material)),
        sentences(
            message(
                "Cut a strip {long} long and {deep} deep in {shade}.",
                long=ctx.length(strip),
                deep=ctx.length(drop),
                shade=chosen.name,
            ),
            message(
                "Tape its upper edge to the pole {top} above the floor; the lower edge then "
                "hangs {bottom} above the floor.",
                top=ctx.length(top_m),
                bottom=ctx.length(bottom_m),
            ),
            counted(
                "Wrap it round once and tape the end at the back.",
                "Wrap it round {n} times and tape the end at the back.",
                spec.layers,
            ),
            message("No bare pole may show between the clouds."),
        ),
        measures={"strip_m": strip, "drop_m": drop, "top_m": top_m, "bottom_m": bottom_m},
        fabrics=[fabric],
    )
