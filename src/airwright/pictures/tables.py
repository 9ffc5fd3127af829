"""The tables that pieces for tables stand on in pictures; no list counts or carries them.

   O
  OOO        z = 0 of a piece for a table is the table's top
 __|__
|     |      a round table under its cloth
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np

from airwright.decor.assembly import Assembly, HardwarePlaced

TABLE: Final = "table"
"""What it is called and what it is used as."""
HIGH_M: Final = 0.75
ACROSS_M: Final = 0.91
"""A round table of 36 in for a picture: wider ones hide what stands beside them. From memory."""
SHARED_M: Final = 0.55
"""Pieces whose feet are nearer to a table's middle than this share it [m]."""
FOOT_M: Final = 0.06


def on_tables(parts: Sequence[Assembly]) -> list[Assembly]:
    """Pieces in their places, those for tables lifted onto tables, which near ones share."""
    tables: list[tuple[float, float]] = []
    found = []
    for part in parts:
        if not part.on_table or len(part) == 0:
            found.append(part)
            continue
        x, y = _foot(part)
        own = not any(np.hypot(x - left, y - front) < SHARED_M for left, front in tables)
        if own:
            tables.append((x, y))
        found.append(_lifted(part, (_table(x, y),) if own else ()))
    return found


def on_its_table(assembly: Assembly) -> Assembly:
    """A piece for a table on one; any other as it is."""
    return on_tables([assembly])[0]


def _lifted(part: Assembly, tables: tuple[HardwarePlaced, ...]) -> Assembly:
    up = part.moved((0.0, 0.0, HIGH_M))
    return replace(up, hardware=(*up.hardware, *tables), on_table=False)


def _table(x: float, y: float) -> HardwarePlaced:
    return HardwarePlaced(TABLE, TABLE, 1, "each", ((x, y, 0.0),), ACROSS_M, HIGH_M)


def _foot(part: Assembly) -> tuple[float, float]:
    """Middle of the balloons that lie on the table [m]."""
    z = part.centre[:, 2]
    x, y, _ = part.centre[z < z.min() + FOOT_M].mean(axis=0)
    return float(x), float(y)
