"""Which balloon of a cluster looks where, in words for the hands.

         back
          y
left  ----+----> x  right          seen from above; the guests stand below
        front
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from airwright.decor.assembly import Floats
from airwright.decor.draft import Draft
from airwright.job.cluster import Cluster
from airwright.language import Text, listing, message

SAME_WAY_DEG = 22.5
APART_M = 0.04
"""Balloons that look the same way and differ by more in height are told apart [m]."""


def cluster_word(made: Cluster) -> Text:
    """The trade's word for a cluster: "duplet", "quad", "mixed quad"."""
    word = {
        1: message("single balloon"),
        2: message("duplet"),
        3: message("triplet"),
        4: message("quad"),
        5: message("cluster of five"),
        6: message("cluster of six"),
    }.get(made.count, message("cluster of {n}", n=made.count))
    return word if len(made.parts) == 1 else message("mixed {cluster}", cluster=word)


def bearing(way: Floats) -> int:
    """The eighth of the circle (0 front, 1 front right, 2 right, … anticlockwise from above)
    that a direction (x, y) points at."""
    turn = np.degrees(np.arctan2(float(way[0]), -float(way[1])))
    return round(float(turn) / 45.0) % 8


def toward(what: str, eighth: int) -> Text:
    """ "coral to the front"."""
    return (
        message("{what} to the front", what=what),
        message("{what} to the front right", what=what),
        message("{what} to the right", what=what),
        message("{what} to the back right", what=what),
        message("{what} to the back", what=what),
        message("{what} to the back left", what=what),
        message("{what} to the left", what=what),
        message("{what} to the front left", what=what),
    )[eighth]


def directions(eighths: Sequence[int]) -> Text:
    """ "at the front left and the front right", each once, in order of first appearance."""
    words = {
        0: message("front"),
        1: message("front right"),
        2: message("right"),
        3: message("back right"),
        4: message("back"),
        5: message("back left"),
        6: message("left"),
        7: message("front left"),
    }
    return listing([words[eighth] for eighth in dict.fromkeys(eighths)])


def facing(draft: Draft, rows: Sequence[int]) -> str:
    """ "When it sits: coral to the front, teal to the right and …"; "" where all are alike.

    Sizes are named where they differ; balloons at the very middle are left out.
    """
    centres, looks = draft.centres[list(rows)], [draft.look(row) for row in rows]
    if len(set(looks)) == 1:
        return ""
    middle = centres.mean(axis=0)
    mixed = len({size for size, _ in looks}) > 1
    told: list[tuple[int, float, Text]] = []
    for centre, (size, shade) in zip(centres, looks, strict=True):
        way = (centre - middle)[:2]
        if float(np.hypot(*way)) < 0.005:
            continue
        what = message("{size} {shade}", size=size, shade=shade) if mixed else shade
        told.append((bearing(way), float(centre[2]), toward(what, bearing(way))))
    # Front first, then round by the right.
    told.sort(key=lambda row: row[0])
    ways = listing([_with_height(one, told) for one in told])
    return message("When it sits: {ways}.", ways=ways)


def _with_height(one: tuple[int, float, Text], told: Sequence[tuple[int, float, Text]]) -> Text:
    """Whether it is the upper or the lower of two that look the same way."""
    way, high, text = one
    others = [z for eighth, z, _ in told if eighth == way and abs(z - high) > APART_M]
    if not others:
        return text
    if high > max(others):
        return message("{way} (above)", way=text)
    return message("{way} (below)", way=text) if high < min(others) else text
