"""Locking on the pole, nesting, sleeves, and fillers on loops."""

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
    ball,
    balloon,
    front,
    hung,
    knot,
    line,
    note,
    pole,
    pole_end,
    rope,
    shape,
)


def _parted() -> list[str]:
    return [
        balloon(31, 38, 13, -50, DARK, knot=False),
        balloon(69, 38, 13, 230, DARK, knot=False),
        balloon(24, 62, 13, 15, LIGHT, knot=False),
        balloon(76, 62, 13, 165, LIGHT, knot=False),
        line([(40, 52), (50, 56), (60, 52)], 2.4),
        line([(40, 58), (50, 56), (60, 58)], 2.4),
        knot(50, 56, 2.4),
        pole_end(50, 18, 4.0),
        arrow([(50, 50), (50, 28)]),
        note(message("pole"), 58, 20, 6, anchor="start"),
    ]


def _swapped() -> list[str]:
    return [
        balloon(30, 58, 13, 35, LIGHT, knot=False),
        balloon(70, 58, 13, 145, LIGHT, knot=False),
        balloon(27, 27, 13, -25, DARK, knot=False),
        balloon(73, 27, 13, 205, DARK, knot=False),
        line([(43, 34), (50, 45), (57, 34)], 2.2),
        line([(41, 50), (50, 45), (59, 50)], 2.2),
        pole_end(50, 38, 4.0),
        arrow(arc(50, 30, 21, 150, 40, 0.9)),
        arrow(arc(50, 27, 12, 20, 150, 0.8)),
    ]


def _locked() -> list[str]:
    return [
        balloon(33, 24, 14, -38, DARK, knot=False),
        balloon(67, 24, 14, 218, DARK, knot=False),
        balloon(33, 54, 14, 38, LIGHT, knot=False),
        balloon(67, 54, 14, 142, LIGHT, knot=False),
        pole_end(50, 39, 4.0),
        *front(50, 80),
    ]


LOCK = Technique(
    "lock",
    message("Lock a cluster on the pole, rod or line"),
    (
        Panel(message("From above: part the cluster, push its middle against the pole."), _parted),
        Panel(message("Take the two back ones behind the pole once round each other."), _swapped),
        Panel(
            message(
                "Spread all four. The pole stands in the middle; turn the cluster as the "
                "sheet says."
            ),
            _locked,
        ),
    ),
    message(
        "It does not slide down when you let go. Do it over the knot, never over a balloon's skin."
    ),
)


def _over_gap() -> list[str]:
    return [
        pole(50, 2, 78),
        ball(26, 62, 14, MIDDLE),
        ball(74, 62, 14, MIDDLE),
        ball(50, 64, 15, LIGHT),
        ball(37, 22, 14, DARK),
        ball(63, 22, 14, DARK),
        arrow([(37, 38), (38, 50)]),
        arrow([(63, 38), (62, 50)]),
    ]


def _pushed() -> list[str]:
    return [
        pole(50, 2, 78),
        ball(26, 62, 14, MIDDLE),
        ball(74, 62, 14, MIDDLE),
        ball(50, 64, 15, LIGHT),
        ball(37, 40, 14, DARK),
        ball(63, 40, 14, DARK),
        arrow([(38, 6), (38, 24)], 3.2),
        arrow([(62, 6), (62, 24)], 3.2),
    ]


def _tight() -> list[str]:
    return [
        pole(50, 2, 78),
        ball(27, 65, 14, MIDDLE),
        ball(73, 65, 14, MIDDLE),
        ball(50, 66, 14.5, LIGHT),
        ball(37, 46, 14, DARK),
        ball(63, 46, 14, DARK),
        ball(27, 27, 14, MIDDLE),
        ball(73, 27, 14, MIDDLE),
        ball(50, 28, 14.5, LIGHT),
        line([(94, 27), (94, 65)], 1.0),
        line([(91, 27), (97, 27)], 1.0),
        line([(91, 65), (97, 65)], 1.0),
    ]


NEST = Technique(
    "nest",
    message("Nest and push"),
    (
        Panel(message("Turn the next cluster until each balloon stands over a gap."), _over_gap),
        Panel(message("Push it down with both hands, close to the pole."), _pushed),
        Panel(message("Measure over some layers; push harder where they rise too much."), _tight),
    ),
    message("No pole shows, and no balloon stands on the crown of another."),
)


def _strip() -> list[str]:
    cuts = "".join(f"M{x} 30V66" for x in range(10, 77, 4))
    return [
        shape("M6 22h72v44h-72z", LIGHT),
        shape(cuts, "none", 0.6),
        shape("M64 22v44", "none", 1.0, "2.5 2"),
        line([(6, 15), (78, 15)], 1.0),
        line([(6, 12), (6, 18)], 1.0),
        line([(78, 12), (78, 18)], 1.0),
        note(message("length"), 42, 11.5),
        line([(83, 22), (83, 66)], 1.0),
        line([(80, 22), (86, 22)], 1.0),
        line([(80, 66), (86, 66)], 1.0),
        note(message("drop"), 85, 46, 5.6, anchor="start"),
        note(message("overlap"), 71, 74, 5.6),
    ]


def _round() -> list[str]:
    return [
        pole(34, 2, 78, 5),
        shape("M22 16c0-4 24-4 24 0v50c0 4-24 4-24 0z", MIDDLE),
        shape("M46 16c14 0 26 3 44 6v48c-18-3-30-6-44-6z", LIGHT),
        shape("M24 12h20v7h-20z", "#fff"),
        note(message("tape"), 34, 17.6, 4.8),
        arrow(arc(34, 40, 24, -60, 40, 0.5)),
    ]


def _covered() -> list[str]:
    cuts = "".join(f"M{x} 26V74" for x in range(36, 66, 4))
    return [
        pole(50, 2, 20, 5),
        shape("M32 16c0-5 36-5 36 0v56c0 5-36 5-36 0z", LIGHT),
        shape(cuts, "none", 0.6),
        shape("M61 13.5v61", "none", 1.4),
        note(message("end taped"), 70, 40, 5.6, anchor="start"),
        note(message("at the back"), 70, 47, 5.6, anchor="start"),
    ]


SLEEVE = Technique(
    "sleeve",
    message("Wrap a sleeve"),
    (
        Panel(message("Cut the strip as long and as deep as the sheet says."), _strip),
        Panel(
            message(
                "Tape its upper edge to the pole and wrap it round as often as the sheet says."
            ),
            _round,
        ),
        Panel(message("Tape the end at the back. It hangs plumb, no pole shows."), _covered),
    ),
    message("The upper edge hides in the upper cloud, the lower edge in the lower one."),
)


def _cut_260() -> list[str]:
    marks = [shape(f"M{x} 30v20", "none", 1.4, "2.5 2") for x in (27, 50, 73)]
    return [
        rope([(5, 40), (95, 40)], MIDDLE, 6.0),
        *marks,
        *(note(str(k), x, 61, 7) for k, x in enumerate((16, 38.5, 61.5, 84), 1)),
    ]


def _knotted() -> list[str]:
    loop = [(50, 46), (38, 37), (32, 22), (40, 9), (50, 6), (60, 9), (68, 22), (62, 37), (50, 46)]
    tie = (50, 47)
    return [
        hung(27, 50, 9, tie, MIDDLE),
        hung(73, 50, 9, tie, MIDDLE),
        hung(37, 67, 9, tie, LIGHT),
        hung(63, 67, 9, tie, LIGHT),
        rope(loop, DARK, 2.2),
        knot(*tie, 3.4),
    ]


def _hung() -> list[str]:
    return [
        balloon(26, 26, 22, -12, LIGHT, knot=False),
        hung(34, 62, 8.5, (51, 50), DARK),
        hung(68, 62, 8.5, (51, 50), DARK),
        hung(51, 69, 9, (51, 50), MIDDLE),
        rope([(54, 32), (60, 33), (68, 36)], LIGHT, 2.6),
        rope([(52, 50), (55, 42), (59, 31), (63, 29), (64, 33), (58, 44), (52, 50)], DARK, 1.8),
        knot(51, 50, 2.6),
        knot(69, 36, 2.2),
        arrow([(88, 58), (68, 48)]),
    ]


LOOP = Technique(
    "loop",
    message("Hang a filler on a loop"),
    (
        Panel(message("Cut a flat 260 into four."), _cut_260),
        Panel(message("Knot a piece into a loop, the filler's necks in the same knot."), _knotted),
        Panel(
            message("Lay the loop over a large balloon's neck; pull the filler into the gap."),
            _hung,
        ),
    ),
    message("The filler sits deep in the gap and the loop cannot be seen from the front."),
)
