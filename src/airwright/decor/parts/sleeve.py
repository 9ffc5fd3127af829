"""Fringe or fabric wrapped round a bare pole."""

from __future__ import annotations

import math

from airwright.decor.assembly import Fabric
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.job.pieces import Sleeve
from airwright.language import message
from airwright.units import both_lengths


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
    times = {1: "once", 2: "twice"}.get(spec.layers, f"{spec.layers} times")
    draft.step(
        message("Wrap the {material} sleeve", material=spec.material),
        message(
            "Cut a strip {strip} long and {drop} deep in {name}: {layers} x round the "
            "pole and {overlap} to fix it. Tape its upper edge to the pole, go round "
            "{times}, tape the end at the back, and let it hang plumb. It must cover the "
            "bare pole from cloud to cloud.",
            strip=both_lengths(strip),
            drop=both_lengths(drop),
            name=chosen.name,
            layers=spec.layers,
            overlap=both_lengths(spec.overlap),
            times=times,
        ),
        fabrics=[fabric],
    )
