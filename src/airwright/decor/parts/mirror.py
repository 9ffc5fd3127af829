"""A body with a turn to the left: the mirror image of the one that turns to the right.

    turn = 1                turn = -1           seen from above, front below
      C                        C
    D   B       mirror       B   D              slots still run to the right, so each slot
      A        <------>        A                takes the balloon that is opposite it

It is settled once, to the right, and mirrored as a whole: settled anew, unlike balloons would
find other places.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from airwright.decor.assembly import Floats
from airwright.decor.colouring import opposite_slots
from airwright.decor.packing import Packed
from airwright.job.cluster import Cluster

ACROSS = np.array([-1.0, 1.0, 1.0])
"""What a mirror beside a piece does to (x, y, z)."""


def mirrored(packed: Packed, made: Sequence[Cluster], *, last_first: bool = False) -> Packed:
    """A settled body in a mirror beside it, balloons in slot order again.

    Args:
        packed: the settled body.
        made: its clusters, in the order they were settled.
        last_first: the last cluster comes first, so that a line still begins at its left end;
            gone along the other way, slots run to the right as they are.
    """
    starts = np.cumsum([0, *(cluster.count for cluster in made)])
    ties = np.arange(len(made))[:: -1 if last_first else 1]
    rows = np.concatenate(
        [
            starts[at]
            + np.array(range(made[at].count) if last_first else opposite_slots(made[at], at))
            for at in ties
        ]
    )
    back = np.empty_like(rows)
    back[rows] = np.arange(len(rows))
    return replace(
        packed,
        centre=packed.centre[rows] * ACROSS,
        axis=packed.axis[rows] * ACROSS,
        tie_s=packed.tie_s[0] + packed.tie_s[-1] - packed.tie_s[ties]
        if last_first
        else packed.tie_s,
        tie_point=packed.tie_point[ties] * ACROSS,
        contacts=replace(packed.contacts, pair=back[packed.contacts.pair]),
        pole_overlap_m=packed.pole_overlap_m[rows],
        floor_overlap_m=packed.floor_overlap_m[rows],
        neck_force_n=packed.neck_force_n[rows],
    )


def in_mirror(points: Floats, yes: bool) -> Floats:
    """Points (…, 3), in the mirror if `yes`."""
    return points * ACROSS if yes else points
