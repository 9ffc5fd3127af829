"""Fringe or fabric gathered round a bare pole: a full skirt from cloud to cloud."""

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


ROUND_M = {"fringe": 0.03, "fabric": 0.012}
"""What each round adds to the radius: strips of fringe stand off each other, cloth lies in folds
(from memory)."""

HIDDEN = 0.35
"""How far its edges reach into the clouds, of the way from where a cloud ends to its tie: the
balloons there hide them."""


def sleeve_across(spec: Sleeve, pole_radius_m: float) -> float:
    """Diameter a sleeve hangs out to [m]: as asked for, or as full as its layers make it."""
    if spec.across is not None:
        return spec.across
    return 2 * (pole_radius_m + spec.layers * ROUND_M[spec.material])


def strip_length(layers: int, across_m: float, overlap_m: float) -> float:
    """Strip for a sleeve [m]: layers × circumference + overlap.

    Args:
        layers: how often it goes round.
        across_m: diameter of the sleeve [m].
        overlap_m: extra for fixing the end [m].
    """
    return layers * math.pi * across_m + overlap_m


def add_sleeve(
    draft: Draft,
    spec: Sleeve,
    ctx: Context,
    ends: tuple[float, float],
    pole_radius_m: float,
    shade: str,
) -> None:
    """Hang a skirt on the pole.

    Args:
        draft, spec, ctx: the piece so far, the sleeve, the catalogue and shades.
        ends: heights of its lower and upper edge [m], hidden in the clouds.
        pole_radius_m: of the pole [m].
        shade: its shade where the sleeve names none.
    """
    bottom_m, top_m = ends
    across = sleeve_across(spec, pole_radius_m)
    strip = strip_length(spec.layers, across, spec.overlap)
    drop = top_m - bottom_m
    chosen = ctx.shade(spec.shade or shade)
    fabric = draft.fabric(
        Fabric(
            spec.material,
            across / 2,
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
        message("Hang the {material} sleeve", material=material_word(spec.material)),
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
                "Gather it in small folds as you wrap it round once, and tape the end at the back.",
                "Gather it in small folds as you wrap it round {n} times, and tape the end at the "
                "back.",
                spec.layers,
            ),
            message(
                "Shake it out: it hangs plumb and full, {across} across.", across=ctx.length(across)
            ),
            message("No bare pole may show between the clouds."),
        ),
        measures={
            "strip_m": strip,
            "drop_m": drop,
            "top_m": top_m,
            "bottom_m": bottom_m,
            "across_m": across,
        },
        fabrics=[fabric],
    )
