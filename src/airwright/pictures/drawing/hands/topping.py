"""Tying a topper: where its 260 runs."""

from __future__ import annotations

from airwright.language import message
from airwright.pictures.drawing.hands.panel import (
    DARK,
    LIGHT,
    MIDDLE,
    Panel,
    Technique,
    arrow,
    balloon,
    knot,
    note,
    pole,
    rope,
)


def _noose() -> list[str]:
    return [
        balloon(50, 28, 24, -90, LIGHT),
        rope([(49, 57), (38, 60), (28, 68), (22, 77)], DARK, 2.2),
        rope([(51, 57), (62, 60), (72, 68), (78, 77)], DARK, 2.2),
        knot(50, 57, 2.8),
        note("260", 84, 68, 6),
    ]


def _threaded() -> list[str]:
    return [
        pole(50, 40, 78),
        rope([(48, 34), (46, 48), (47, 62), (46, 70)], DARK, 2.0),
        rope([(52, 34), (54, 48), (53, 62), (54, 70)], DARK, 2.0),
        balloon(50, 16, 15, -90, LIGHT, knot=False),
        knot(50, 35, 2.2),
        balloon(27, 52, 16, 0, MIDDLE, knot=False),
        balloon(73, 52, 16, 180, MIDDLE, knot=False),
        arrow([(38, 70), (38, 78)], 1.8),
        arrow([(62, 70), (62, 78)], 1.8),
    ]


def _behind() -> list[str]:
    return [
        pole(50, 4, 78, 7),
        rope([(34, 4), (40, 14), (54, 24), (60, 30), (55, 35), (46, 36)], DARK, 2.2),
        rope([(66, 4), (60, 14), (46, 24), (40, 30), (45, 35), (54, 36)], DARK, 2.2),
        *_turns(),
        note(message("from behind"), 79, 30, 5.6),
    ]


def _turns() -> list[str]:
    out = []
    for k in range(3):
        y = 40.0 + 7.0 * k
        out.append(rope([(43, y), (47, y + 2.4), (53, y + 2.4), (57, y)], DARK, 2.2))
    out.append(arrow([(36, 40), (33, 48), (36, 58)], 1.8))
    out.append(note(message("3 times"), 18, 51, 6))
    return out


def _tied_off() -> list[str]:
    return [
        pole(50, 6, 78, 5),
        balloon(26, 24, 16, -20, MIDDLE, knot=False),
        balloon(74, 24, 16, 200, MIDDLE, knot=False),
        rope([(44, 44), (50, 46.5), (56, 44)], DARK, 2.0),
        rope([(44, 50), (50, 52.5), (56, 50)], DARK, 2.0),
        rope([(50, 57), (42, 64), (39, 72)], DARK, 2.0),
        rope([(50, 57), (58, 64), (61, 72)], DARK, 2.0),
        knot(50, 57, 3.0),
        arrow([(34, 74), (30, 60), (36, 46)], 1.8),
        note(message("tuck in"), 18, 66, 6),
    ]


TOPPER = Technique(
    "topper",
    message("Tie a topper with a 260"),
    (
        Panel(message("Knot a flat 260 round its neck, close to the balloon."), _noose),
        Panel(message("Thread both ends down between two balloons of the top cluster."), _threaded),
        Panel(message("Cross them behind the pole and take them round three times."), _behind),
        Panel(
            message("Tie off under the cluster, tie the neck to the pole too, tuck in the ends."),
            _tied_off,
        ),
    ),
    message(
        "The topper does not nod when you shake the pole, and nothing of the 260 shows in front."
    ),
)
