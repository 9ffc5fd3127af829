"""Balloons linked end to end: how many make a length, and where each sits along its line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.armatures import Catenary
from airwright.decor.assembly import Floats, Role, Stock
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.packing import Rail
from airwright.language import Text, message

LINK_PITCH = 1.02
"""From middle to middle of two linked balloons, in inflated diameters: they touch, and a knot lies
between (from memory)."""


def linked(length_m: float, across_m: float) -> int:
    """How many balloons of a diameter [m] make a strand of a length [m], at least one."""
    return max(1, int(length_m / (LINK_PITCH * across_m) + 1e-9))


def add_linked(
    draft: Draft, ctx: Context, line: Rail, stock: Stock, names: Sequence[str], bare: float = 0.0
) -> list[int]:
    """Balloons evenly along a line after its first `bare` [m], one a name; returns their rows."""
    many = len(names)
    s = bare + (np.arange(many) + 0.5) / many * (line.length_m - bare)
    return [
        draft.balloon(at, -way, stock, ctx.shade(name), Role.BODY)
        for at, way, name in zip(line.position(s), line.tangent(s), names, strict=True)
    ]


def bare_reach(swags: int, across_m: float) -> float:
    """Radius of the ring in which the first balloons of swags stand round a point [m]."""
    return 0.0 if swags < 2 else LINK_PITCH * across_m / (2 * float(np.sin(np.pi / swags)))


def bare_middle(curve: Catenary, swags: int, across_m: float) -> float:
    """Line of one swag without balloons where `swags` of them meet at its first end [m].

    There the first balloons of all swags stand round the point in a ring and touch.
    """
    if swags < 2:
        return 0.0
    reach = bare_reach(swags, across_m)
    a, half = curve.parameter_m, curve.width_m / 2
    first = curve.length_m / 2 - a * np.sinh((half - min(reach, half)) / a)
    return float(max(first - LINK_PITCH * across_m / 2, 0.0))


@dataclass(frozen=True, slots=True, eq=False)
class Across:
    """A rail: a curve hung between two points (2,) of a ceiling `height` above the floor [m]."""

    curve: Catenary
    a: Floats
    b: Floats
    height: float

    @property
    def length_m(self) -> float:
        """Arc length [m]."""
        return self.curve.length_m

    def position(self, s: Floats) -> Floats:
        """Points (M, 3) [m] at arc lengths (M,) [m]."""
        middle = (self.a + self.b) / 2
        by = np.array([middle[0], middle[1], self.height])
        points: Floats = self._turned(self.curve.position(s)) + by
        return points

    def tangent(self, s: Floats) -> Floats:
        """Unit tangents (M, 3) at arc lengths (M,) [m]."""
        return self._turned(self.curve.tangent(s))

    def _turned(self, points: Floats) -> Floats:
        """Points of the curve (M, 3), which lies along x, turned towards `b`."""
        c, s = (self.b - self.a) / np.linalg.norm(self.b - self.a)
        found: Floats = points @ np.array([[c, s, 0.0], [-s, c, 0.0], [0.0, 0.0, 1.0]])
        return found


def in_the_middle(draft: Draft, ctx: Context) -> Text:
    """What the point carries at which all swags meet: half of their weight."""
    return message(
        "All swags meet at the middle; that point carries half of them, {mass}. Hang them to it "
        "first.",
        mass=ctx.mass(half_kg(draft, ctx)),
    )


def half_kg(draft: Draft, ctx: Context) -> float:
    """Half of what the balloons weigh [kg]."""
    return sum(ctx.catalog.balloon(stock.size).mass_g for stock in draft.stocks) / 2000
