"""What a piece is made of, in words that need no trade."""

from __future__ import annotations

from collections.abc import Sequence

from airwright.decor.assembly import Role
from airwright.decor.parts.sleeve import material_word
from airwright.language import Text, counted, message
from airwright.papers.common.trade_words import balloons
from airwright.plan.values import BalloonLine, PiecePlan
from airwright.units import INCH_M, LENGTH, System, show

_CARRIED = {
    "base": message("stands on a weighted base"),
    "stand": message("on a stand"),
    "frame": message("on a frame"),
    "panel": message("on a panel frame"),
    "net": message("in a net overhead, released on cue"),
    "weight": message("held down by a weight"),
}
"""Hardware a client sees or asks about, by its use in the catalogue."""


def contents(piece: PiecePlan, system: System) -> tuple[str, ...]:
    """Short lines about one: the body, what sits on it, what is tied into it, what carries it."""
    lines: list[str] = []
    body = [line for line in piece.balloons if line.role == Role.BODY.label]
    if body:
        lines.append(message("{many}, {across}", many=_counted(body), across=_across(body, system)))
    for role in (Role.FLOATER, Role.TOPPER, Role.FILLER, Role.ACCENT):
        rows = [line for line in piece.balloons if line.role == role.label]
        if rows:
            lines.append(_with_role(role, rows, system))
    lines += [
        message(
            "a {material} sleeve in {shade}",
            material=material_word(fabric.material),
            shade=fabric.shade.name,
        )
        for fabric in piece.assembly.fabrics
    ]
    uses = {line.use for line in piece.hardware}
    if piece.assembly.on_table:
        return tuple(dict.fromkeys([*lines, message("on a stick, with its own foot")]))
    lines += [words for use, words in _CARRIED.items() if use in uses][:1]
    return tuple(dict.fromkeys(lines))


def _with_role(role: Role, rows: Sequence[BalloonLine], system: System) -> Text:
    many, across = _counted(rows), _across(rows, system)
    if role is Role.FLOATER:
        return message(
            "{many} floating on ribbons, filled with helium, {across}", many=many, across=across
        )
    if role is Role.TOPPER:
        return message("{many} on top, {across}", many=many, across=across)
    if role is Role.FILLER:
        return message("{many} tied in between, {across}", many=many, across=across)
    if sum(row.count for row in rows) == 1:
        return message("{many} as an accent, {across}", many=many, across=across)
    return message("{many} as accents, {across}", many=many, across=across)


def _counted(rows: Sequence[BalloonLine]) -> Text:
    foil = sum(row.count for row in rows if not row.size[:1].isdigit() or "foil" in row.size)
    count = sum(row.count for row in rows)
    if foil == count:
        return counted("{n} foil balloon", "{n} foil balloons", count)
    if not foil:
        return balloons(count)
    return counted(
        "{n} balloon ({foil} of foil)", "{n} balloons ({foil} of foil)", count, foil=foil
    )


def _across(rows: Sequence[BalloonLine], system: System) -> Text:
    sizes = sorted({row.inflated_in for row in rows if row.inflated_in})
    if not sizes:
        return message("all sizes")
    least, most = (show(size * INCH_M, LENGTH, system) for size in (sizes[0], sizes[-1]))
    if len(sizes) == 1:
        if all(len(row.size.partition(" foil ")[2]) == 1 for row in rows):
            return message("{size} high", size=least)  # foil numbers and letters
        return message("{size} across", size=least)
    return message("{least} to {most} across", least=least, most=most)
