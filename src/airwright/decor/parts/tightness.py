"""How tightly hands pack, and how sure that is: a pitch with its range, layers with theirs.

Common practice gives quads of 11 in balloons at 9.5 in 8 in a layer (0.84 diameters, six balloons
a foot of arch); pressed hard they take 7.5 in, left loose on a pole up to 0.975 diameters. Until a
studio has measured a stack of its own, its counts lie anywhere in that band.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.assembly import Assembly
from airwright.decor.context import Context
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding, hint
from airwright.language import message, sentences

PRESSED = 7.5 / 8.0
LOOSE = 0.975 / 0.841
"""Pitch of hard pressed and of loose stacks over the usual one (common practice, no source: 7.5 in
and 0.975 diameters against 8 in and 0.841 diameters)."""

READING_M = 0.01
"""A tape laid along a stack is read to a centimetre."""

REPEATED = 0.015
"""How far the next stack of the same hands may differ from the measured one (from memory)."""

UNLIKE = 0.03
"""What clusters other than the measured ones add to that: their push is only inferred."""

HARDLY = 0.05
"""Nobody adds so small a part of a layer."""

ENOUGH_CLUSTERS = 10
"""What the finding asks to measure: a stack long enough for the tape."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Tightest and loosest pitch, over the one reckoned with [-]."""

    low: float
    high: float

    def pitches(self, pitch_m: float) -> tuple[float, float]:
        """The range of a pitch [m]."""
        return self.low * pitch_m, self.high * pitch_m

    def layers(self, built: int, free_m: float, pitch_m: float) -> tuple[int, int]:
        """Fewest and most layers that fill what `built` layers do.

        Args:
            built: layers reckoned with.
            free_m: from the first tie to where the last one should sit [m].
            pitch_m: rise per layer reckoned with [m].
        """
        fewest = round(free_m / (self.high * pitch_m)) + 1
        most = math.ceil(free_m / (self.low * pitch_m) - HARDLY) + 1
        return max(1, min(built, fewest)), max(built, most)


def doubt(body: Sequence[Cluster], ctx: Context) -> Doubt:
    """How sure the pitch of a body is: common practice, or what the studio's measurements allow."""
    if not ctx.measured:
        return Doubt(PRESSED, LOOSE)
    alike = [row for row in ctx.measured if all(row.cluster == made for made in body)]
    rows = alike or list(ctx.measured)
    longest = max(row.height for row in rows)
    part = READING_M / longest + REPEATED + (0.0 if alike else UNLIKE)
    rises = [row.height / row.clusters for row in alike]
    if len(rises) > 1:
        part = max(part, float(np.ptp(rises)) / 2 / float(np.mean(rises)))
    return Doubt(1 - part, 1 + part)


def reserve(
    made: Sequence[Cluster], names: Sequence[Sequence[str]], built: int
) -> tuple[tuple[str, str, int], ...]:
    """Size, shade and count of the balloons in the layers past those built.

    Args:
        made, names: clusters and shades of as many layers as the upper end of the range takes.
        built: layers reckoned with.
    """
    extra: Counter[tuple[str, str]] = Counter()
    for cluster, row in zip(made[built:], names[built:], strict=True):
        extra.update(
            (balloon.size, shade) for balloon, shade in zip(cluster.slots, row, strict=True)
        )
    return tuple((size, shade, count) for (size, shade), count in sorted(extra.items()))


def not_calibrated(pieces: Mapping[str, Assembly], ctx: Context) -> list[Finding]:
    """One hint for the whole job while nobody has measured how tightly this studio packs."""
    ranges = {
        name: (piece.layers, *piece.layers_range)
        for name, piece in pieces.items()
        if piece.layers_range is not None and piece.layers_range[0] != piece.layers_range[1]
    }
    if ctx.measured or not ranges:
        return []
    name, (layers, low, high) = next(iter(ranges.items()))
    what = sentences(
        message(
            "How tightly you pack is not measured yet: {name} takes {layers} layers, {low} to "
            "{high}.",
            name=name,
            layers=layers,
            low=low,
            high=high,
        ),
        message("The shopping list covers the upper end."),
    )
    mend = sentences(
        message(
            "Stack {n} equal clusters the way you always do and measure them from end to end.",
            n=ENOUGH_CLUSTERS,
        ),
        message("Write that among the studio's measurements; then the range shrinks."),
    )
    return [hint("not-calibrated", "measured", what, mend)]
