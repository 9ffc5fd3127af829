"""A jumbo on top of a piece, tied with 260s that disappear between the top clusters."""

from __future__ import annotations

import numpy as np

from airwright.catalog.size_words import size_word
from airwright.decor.assembly import Floats, Role, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.decor.parts.cloud import KNOT_TO_CENTRE
from airwright.decor.parts.nestle import Balls, nestle
from airwright.job.pieces import Topper
from airwright.language import Text, counted, message, sentences

LEAN_RAD = 0.6
"""How far a leaning topper tilts to its side."""

NESTLED = 0.96
"""Centre distance to the balloons it sits on, of the sum of radii: it is drawn down by its tie."""

SEAT = 1.06
"""Tie to centre of a topper in radii when nothing keeps it higher."""


def add_topper(draft: Draft, spec: Topper, ctx: Context, top: Floats, pole_radius: float) -> None:
    """Place a topper over `top`, the point (3,) [m] where the pole ends in the top cluster."""
    stock = ctx.stock(spec.balloon, mark=spec.mark)
    shade = ctx.shade(spec.shade)
    lean = {"none": 0.0, "left": -LEAN_RAD, "right": LEAN_RAD}[spec.lean]
    axis = np.array([np.sin(lean), 0.0, np.cos(lean)])
    centre = _seat(draft, top, axis, stock.inflated_m / 2)
    if spec.lean != "none":
        centre = _leaned(draft, spec, ctx, top, centre, axis)
        axis = (centre - top) / float(np.linalg.norm(centre - top))
    row = draft.balloon(centre, axis, stock, shade, Role.TOPPER)
    strands = _ties(draft, spec, ctx, top, centre - axis * stock.inflated_m / 2, pole_radius)
    draft.step(
        message("Set the {size} topper in {shade}", size=size_word(stock.size), shade=shade.name),
        sentences(
            _tie_text(spec, on_stick=draft.on_table),
            _lean_text(spec),
            message("Turn its best side to the front."),
        ),
        balloons=[row],
        strands=strands,
    )
    draft.work("topper", 1)


def _lean_text(spec: Topper) -> str:
    if spec.lean == "none":
        return ""
    if spec.lean == "left":
        return message("Let it lean to the left before you pull tight.")
    return message("Let it lean to the right before you pull tight.")


def _tie_text(spec: Topper, *, on_stick: bool) -> Text:
    if spec.tie == "none" or spec.ties == 0:
        if on_stick:
            return message("Knot the neck of the topper round the end of the stick.")
        return message("Knot the neck of the topper round the end of the pole.")
    return sentences(
        counted(
            "Knot a flat {tie} round the neck of the topper, close to the balloon.",
            "Knot {n} flat {tie}s round the neck of the topper, close to the balloon.",
            spec.ties,
            tie=spec.tie,
        ),
        message("Thread both ends down between two balloons of the top cluster."),
        message("Cross them behind the pole, wrap them round it three times, and tie them."),
        message("Tuck the ends out of sight."),
    )


def _seat(draft: Draft, top: Floats, axis: Floats, radius: float) -> Floats:
    """The lowest seat along the axis that runs into no balloon below."""
    centres, radii = draft.centres, draft.radii
    reach = SEAT * radius
    if len(radii) == 0:
        return top + reach * axis
    offset = top - centres
    along = offset @ axis
    room = (NESTLED * (radii + radius)) ** 2 - ((offset**2).sum(axis=1) - along**2)
    clear = np.where(room > 0, -along + np.sqrt(np.maximum(room, 0)), 0.0)
    near = (offset**2).sum(axis=1) < (3 * radius + radii) ** 2
    return top + max(reach, float(clear[near].max(initial=0.0))) * axis


def _leaned(
    draft: Draft, spec: Topper, ctx: Context, top: Floats, centre: Floats, axis: Floats
) -> Floats:
    """Where a topper that leans to a side comes to rest: in the hollow between the balloons there.

    Args:
        draft, spec, ctx: the piece so far, the topper, the catalogue.
        top: where its tie leads to (3,) [m].
        centre, axis: where it starts (3,) [m], and the unit vector it leans along.
    """
    radius = ctx.stock(spec.balloon).inflated_m / 2
    wall = 2 * np.pi * radius * ctx.pressure(spec.balloon)
    ball = Balls(centre[None], np.array([radius]), np.array([wall]))
    tie = centre - 2 * KNOT_TO_CENTRE * radius * axis
    rest = nestle(ball, tie, top, Balls.of(draft, ctx).near(centre, 2 * radius))
    found: Floats = rest.centre[0]
    return found


def _ties(
    draft: Draft, spec: Topper, ctx: Context, top: Floats, neck: Floats, pole_radius: float
) -> list[int]:
    if spec.tie == "none" or spec.ties == 0:
        return []
    row = ctx.catalog.balloon(spec.tie)
    turns = np.linspace(0, 3 * 2 * np.pi, 48)
    around = pole_radius + 0.006
    coil = np.column_stack(
        [around * np.sin(turns), -around * np.cos(turns), top[2] - 0.02 - 0.006 * turns]
    )
    coil[:, :2] += top[:2]
    strand = Strand(
        name=f"{row.size} tie",
        path=path([neck, *coil]),
        diameter_m=0.006,
        shade=ctx.shade(spec.shade),
        stock_size=row.size,
        balloons=float(spec.ties),
    )
    return [draft.strand(strand)]
