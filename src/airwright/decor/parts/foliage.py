"""A strip of artificial leaves wired along a line, running out beyond the balloons at its ends."""

from __future__ import annotations

from typing import Annotated

import numpy as np

from airwright import units
from airwright.decor import checks
from airwright.decor.assembly import Floats, Shade, Strand
from airwright.decor.context import Context
from airwright.decor.draft import Draft, path
from airwright.job.findings import Finding
from airwright.job.pieces import Table
from airwright.language import message, sentences
from airwright.params import Param

LEAF = "leaf"
"""Name of the strands that are leaves: pictures draw them flat."""

LEAF_EVERY_M = 0.018
LEAF_LONG_M, LEAF_WIDE_M = 0.13, 0.042
LEAF_BOW = 0.10
"""A leaf every so far along the strip, its size, and how far it bows of its length."""

STEM_M = 0.006
HIDDEN = 0.9
"""Leaves whose tip lies inside this share of a balloon's radius are pushed under it, unseen."""

SPRIG_EVERY_M = 0.30
SPRIG_M = 0.17
"""Short ends of the strip drawn out between the balloons: how far apart, and how far they stand
out of the body."""


class Foliage(Table):
    """A strip of artificial leaves along the decor."""

    shade: Annotated[
        str,
        Param(message("Its shade, by the name given in [shades]."), longest=60, shades=True),
    ]
    beyond: Annotated[
        float,
        Param(
            message("How far it runs out beyond the balloons at each end."),
            units.LENGTH,
            "0 in",
            "4 ft",
        ),
    ] = 0.45


def check_foliage(spec: Foliage | None, ctx: Context, place: str) -> list[Finding]:
    """Foliage whose shade exists."""
    return checks.shades([spec.shade], ctx, f"{place}.shade") if spec else []


def add_foliage(
    draft: Draft, ctx: Context, shade: Shade, stem: Floats, covered: Floats, seed: int
) -> list[int]:
    """Place a strip and its leaves, and add its step.

    Args:
        draft: the piece, its balloons placed.
        ctx: for the length in the step.
        shade: of the leaves.
        stem: (n, 3) points of the whole strip, close to each other [m].
        covered: (m, 3) points of the line under the balloons [m]; sprigs come out along it.
        seed: decides how the leaves lie.

    Returns:
        Indices of the strands.
    """
    chance = np.random.default_rng(seed)
    found = [
        draft.strand(Strand("foliage", path(stem), STEM_M, _stem(shade), item="foliage strip"))
    ]
    lines = [stem, *_sprigs(draft, covered, chance)]
    leaves = [leaf for line in lines for leaf in _leaves(line, chance)]
    found += [
        draft.strand(Strand(LEAF, path(leaf), LEAF_WIDE_M, shade))
        for leaf in leaves
        if not _hidden(draft, leaf[-1])
    ]
    long = draft.strand_at(found[0]).length_m
    draft.step(
        message("Wire on the foliage"),
        sentences(
            message("Cut {long} of foliage strip.", long=ctx.cut(long)),
            message("Wire it along the same way, behind the clusters, and let both ends run out."),
            message("Pull some sprigs forward between the balloons; bend sharp wire ends back."),
        ),
        strands=found,
        measures={"foliage_m": long},
    )
    draft.work("filler", max(1, round(long / SPRIG_EVERY_M)))
    return found


def _stem(shade: Shade) -> Shade:
    return Shade(f"{shade.name} stem", "#6b6a45")


def _sprigs(draft: Draft, covered: Floats, chance: np.random.Generator) -> list[Floats]:
    """Short lines (n, 3) [m] from just below the body's skin to a hand outside it."""
    legs = np.linalg.norm(np.diff(covered, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(legs)])
    many = int(along[-1] / SPRIG_EVERY_M)
    found = []
    for at in (np.arange(many) + 0.5) * along[-1] / max(many, 1):
        point = np.array([np.interp(at, along, covered[:, axis]) for axis in range(3)])
        ahead = np.array([np.interp(at + 0.05, along, covered[:, axis]) for axis in range(3)])
        tangent = (ahead - point) / (np.linalg.norm(ahead - point) + 1e-9)
        side = np.cross(tangent, [0.0, 1.0, 0.0])
        turn = chance.uniform(0.25, 1.1) * (1.0 if chance.random() < 0.5 else -1.0)
        way = np.sin(turn) * side + np.cos(turn) * np.array([0.0, -1.0, 0.0])
        way = way + 0.5 * chance.uniform(-1, 1) * tangent
        way /= np.linalg.norm(way)
        edge = _leaves_body(draft, point, way)
        if edge is not None:
            found.append(point + np.linspace(edge - SPRIG_M / 2, edge + SPRIG_M, 8)[:, None] * way)
    return found


def _leaves_body(draft: Draft, point: Floats, way: Floats) -> float | None:
    """How far along `way` (3,) from a point (3,) [m] the last balloon ends; None where none is."""
    offset = point - draft.centres
    along = -offset @ way
    room = draft.radii**2 - ((offset**2).sum(axis=1) - along**2)
    hit = (room > 0.0) & (along > 0.0)
    return float((along + np.sqrt(np.maximum(room, 0.0)))[hit].max()) if hit.any() else None


def _leaves(line: Floats, chance: np.random.Generator) -> list[Floats]:
    """Leaves (3, 3) [m] to both sides of a line: foot, middle and tip."""
    legs = np.linalg.norm(np.diff(line, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(legs)])
    many = max(2, int(along[-1] / LEAF_EVERY_M))
    places = np.linspace(0.0, along[-1], many)
    feet = np.column_stack([np.interp(places, along, line[:, axis]) for axis in range(3)])
    ways = np.gradient(feet, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None] + 1e-12
    found = []
    for at, (foot, tangent) in enumerate(zip(feet, ways, strict=True)):
        side = np.cross(tangent, [0.0, 1.0, 0.0])
        norm = np.linalg.norm(side)
        side = side / norm if norm > 0.1 else np.array([1.0, 0.0, 0.0])
        hand = 1.0 if at % 2 else -1.0
        front = np.array([0.0, -1.0, 0.0])
        way = 0.75 * tangent + hand * chance.uniform(0.5, 0.9) * side
        way = way + chance.uniform(-0.2, 0.55) * front
        way /= np.linalg.norm(way)
        long = LEAF_LONG_M * chance.uniform(0.75, 1.15)
        bow = LEAF_BOW * long * (front - (front @ way) * way)
        found.append(np.array([foot, foot + long / 2 * way + bow, foot + long * way]))
    return found


def _hidden(draft: Draft, tip: Floats) -> bool:
    far = np.linalg.norm(draft.centres - tip, axis=1)
    return bool((far < HIDDEN * draft.radii).any())
