"""Clusters and single balloons as steppers: how many, which size, blown to how much."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.job.cluster import LARGEST_CLUSTER, Cluster, Inflated, NotationError

MOST_LINES = 12


@dataclass(frozen=True, slots=True)
class Part:
    """Equal balloons of a cluster; `blown` is the diameter as written, without its unit."""

    count: int
    size: str
    blown: str
    unit: str


@dataclass(frozen=True, slots=True)
class Steppers:
    """What a field's text comes to; a single balloon has one line of one part.

    Attributes:
        lines: one a cluster.
        one: whether it is a single balloon, which has no count.
        many: whether the field holds several clusters.
        most: balloons that can be tied at one point.
    """

    lines: tuple[tuple[Part, ...], ...]
    one: bool
    many: bool
    most: int = LARGEST_CLUSTER


def steppers_of(kind: str, text: str) -> Steppers | None:
    """Steppers for a field of the kind "balloon", "cluster" or "clusters".

    None where its text is no notation, so that the text itself has to be shown.
    """
    lines = [line for line in text.split("\n") if line.strip()]
    if len(lines) > MOST_LINES or (kind != "clusters" and len(lines) != 1):
        return None
    try:
        if kind == "balloon":
            return Steppers(((_part(1, Inflated.parse(lines[0])),),), one=True, many=False)
        found = tuple(
            tuple(_part(part.count, part.balloon) for part in Cluster.parse(line).parts)
            for line in lines
        )
    except NotationError:
        return None
    return Steppers(found, one=False, many=kind == "clusters")


def _part(count: int, balloon: Inflated) -> Part:
    blown = str(balloon).partition("@")[2].strip()
    unit = "cm" if blown.endswith("cm") else "in"
    return Part(count, balloon.size, blown.removesuffix(unit), unit)
