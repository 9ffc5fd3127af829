"""One balloon into another."""

from __future__ import annotations

from airwright.language import message
from airwright.pictures.drawing.hands.panel import (
    DARK,
    INK,
    LIGHT,
    Panel,
    Technique,
    arrow,
    balloon,
    line,
    note,
    shape,
)


def _flat(x: float, fill: str) -> str:
    """An empty balloon lying flat, its neck to the left."""
    return shape(
        f"M{x} 36h16c4 0 6 -10 18 -10c10 0 14 6 14 14s-4 14 -14 14c-12 0 -14 -10 -18 -10h-16z", fill
    )


def _pushed() -> list[str]:
    return [
        _flat(46, LIGHT),
        _flat(8, DARK),
        line([(2, 40), (52, 40)], 2.2, INK),
        arrow([(12, 66), (40, 66)]),
        note(message("blunt stick"), 24, 20, 6.5),
    ]


def _both() -> list[str]:
    return [
        balloon(54, 38, 25, 180, LIGHT, knot=False),
        balloon(56, 38, 17, 180, DARK, knot=False),
        arrow([(4, 38), (18, 38)]),
        note(message("air into the inner one"), 50, 76, 6.5),
    ]


def _tied() -> list[str]:
    return [
        balloon(52, 36, 26, 180, LIGHT),
        shape("M52 12a24 24 0 1 0 .01 0z", "none", 1.0, "2.5 2"),
        note(message("both necks in one knot"), 50, 76, 6.5),
    ]


STUFF = Technique(
    "stuff",
    message("Put one balloon into another"),
    (
        Panel(message("Push the inner one in with a blunt stick; leave its lip outside."), _pushed),
        Panel(message("Draw the stick out and blow up the inner one: it fills the outer."), _both),
        Panel(message("Let a little air between them, size both, and knot both necks."), _tied),
    ),
    message("No fold of the inner one shows, and no bubble lies between the two."),
)
