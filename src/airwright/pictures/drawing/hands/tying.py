"""Sizing, and tying duplets and quads."""

from __future__ import annotations

from airwright.language import message
from airwright.pictures.drawing.hands.panel import (
    DARK,
    LIGHT,
    MIDDLE,
    Panel,
    Technique,
    arc,
    arrow,
    balloon,
    knot,
    line,
    note,
    rope,
    shape,
)


def _template() -> str:
    """A board with a round hole, seen from the front."""
    return shape("M8 10h84v60h-84z M50 18a22 22 0 1 0 .01 0z", MIDDLE).replace(
        "<path ", '<path fill-rule="evenodd" '
    )


def _too_big() -> list[str]:
    return [
        _template(),
        balloon(50, 38, 27, -90, LIGHT),
        shape("M50 18a22 22 0 1 0 .01 0z", "none", 1.0, "2.5 2"),
        note(message("hole"), 50, 42, 7),
    ]


def _touches() -> list[str]:
    return [
        _template(),
        balloon(50, 40, 21.4, -90, LIGHT, knot=False),
        arrow([(50, 66), (50, 77)]),
        note(message("air"), 60, 77),
    ]


def _tied() -> list[str]:
    return [
        balloon(50, 32, 24, -90, LIGHT),
        line([(50, 67), (48, 71), (51, 75)], 2.0),
        arrow([(20, 70), (44, 66)]),
        note(message("neck kept long"), 80, 74, 6.0),
    ]


SIZE = Technique(
    "size",
    message("Size every balloon"),
    (
        Panel(message("Blow it a little too big for the hole of the sizing card."), _too_big),
        Panel(message("Let air out until it just touches all round, no more."), _touches),
        Panel(message("Tie it at the end of the neck, so that the neck stays long."), _tied),
    ),
    message(
        "All balloons of one size look alike side by side; a wrong one shows in the whole piece."
    ),
)


def _crossed() -> list[str]:
    return [
        balloon(20, 34, 17, -20, LIGHT, knot=False),
        balloon(80, 34, 17, 200, DARK, knot=False),
        rope([(58, 42.2), (50, 45), (36, 55)], DARK),
        rope([(42, 42.2), (50, 45), (64, 55)], LIGHT),
        note("A", 20, 36.5, 8),
        note("B", 80, 36.5, 8),
    ]


def _wrapped() -> list[str]:
    first = [(28, 20), (40, 29), (50, 36), (61, 44), (61, 51), (50, 58), (36, 67), (28, 72)]
    second = [(100 - x, y) for x, y in first]
    return [
        balloon(12, 11, 17, -30, LIGHT, knot=False),
        balloon(88, 11, 17, 210, DARK, knot=False),
        rope(first, LIGHT, 3.6),
        rope(second, DARK, 3.6),
        # A lies on top where they cross first; where they cross again, B does.
        rope([(44, 31.9), (50, 36), (56, 40)], LIGHT, 3.6, "butt"),
        arrow([(80, 42), (76, 58), (58, 72), (40, 76)]),
        note("A", 15, 13, 8),
        note("B", 85, 13, 8),
        note("A", 21, 76, 7),
    ]


def _duplet() -> list[str]:
    return [
        balloon(26, 40, 18, 0, LIGHT, knot=False),
        balloon(74, 40, 18, 180, DARK, knot=False),
        knot(50, 40, 3.0),
        arrow([(46, 62), (22, 62)]),
        arrow([(54, 62), (78, 62)]),
    ]


DUPLET = Technique(
    "duplet",
    message("Tie a duplet"),
    (
        Panel(
            message("Cross the two necks near their ends, A over B, and stretch them."), _crossed
        ),
        Panel(message("Take A once round B, as for the first half of a bow."), _wrapped),
        Panel(message("Pull tight: two balloons, one knot."), _duplet),
    ),
    message("The two cannot be pulled apart, and their bodies touch when you let go."),
)


def _laid_across() -> list[str]:
    return [
        balloon(22, 40, 14, 0, DARK, knot=False),
        balloon(78, 40, 14, 180, DARK, knot=False),
        knot(50, 40, 2.4),
        line([(40, 40), (60, 40)], 2.4),
        balloon(50, 15, 13, -90, LIGHT, knot=False),
        balloon(50, 65, 13, 90, LIGHT, knot=False),
        rope([(50, 32), (50, 48)], LIGHT, 2.0),
        knot(50, 40, 2.4),
        note("1", 22, 42.5, 7),
        note("1", 78, 42.5, 7),
        note("2", 50, 17.5, 7),
        note("2", 50, 67.5, 7),
    ]


def _twisted() -> list[str]:
    return [
        balloon(22, 40, 14, 0, DARK, knot=False),
        balloon(78, 40, 14, 180, DARK, knot=False),
        balloon(50, 15, 13, -90, LIGHT, knot=False),
        balloon(50, 65, 13, 90, LIGHT, knot=False),
        line([(40, 40), (60, 40)], 2.4),
        line([(50, 32), (50, 48)], 2.4),
        knot(50, 40, 2.4),
        arrow(arc(50, 40, 35, 66, 24)),
        arrow(arc(50, 40, 22, 28, 62)),
    ]


def _quad() -> list[str]:
    return [
        balloon(50, 18, 15, -90, LIGHT, knot=False),
        balloon(28, 40, 15, 0, DARK, knot=False),
        balloon(72, 40, 15, 180, DARK, knot=False),
        balloon(50, 62, 15, 90, LIGHT, knot=False),
        knot(50, 40, 3.0),
    ]


QUAD = Technique(
    "quad",
    message("Join two duplets into a quad"),
    (
        Panel(message("Lay one duplet across the other, knot on knot."), _laid_across),
        Panel(message("Take two neighbors, one of each duplet, once round each other."), _twisted),
        Panel(message("A quad: four balloons that spring from one point."), _quad),
    ),
    message(
        "Held by one balloon and shaken, it keeps its shape. Triplets: add a single the same way; "
        "sixes: add a duplet."
    ),
)
