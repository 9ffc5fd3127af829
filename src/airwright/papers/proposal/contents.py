"""What a piece is made of, in words that need no trade."""

from __future__ import annotations

from collections.abc import Sequence

from airwright.decor.assembly import Role
from airwright.papers.common.words import plural
from airwright.plan.values import BalloonLine, PiecePlan

_FOIL = "foil"
_CARRIED = {
    "base": "a weighted base",
    "stand": "a stand",
    "frame": "a frame",
    "panel": "a panel",
    "net": "a net overhead, released on cue",
    "weight": "a weight that holds it down",
}
"""Hardware a client sees or asks about, by its use in the catalogue."""


def noun(kind: str) -> str:
    """A kind of piece as a word: "balloon_wall" → "balloon wall"."""
    return kind.replace("_", " ").replace("-", " ")


def contents(piece: PiecePlan) -> tuple[str, ...]:
    """Short lines: the body, what sits on it, what is tied into it, what carries it."""
    lines = []
    body = [line for line in piece.balloons if line.role == Role.BODY.label]
    if body:
        lines.append(f"{_counted(body)}, {_across(body)}")
    for role, words in (
        (Role.FLOATER, "floating on ribbons, filled with helium"),
        (Role.TOPPER, "on top"),
        (Role.FILLER, "tied in between"),
        (Role.ACCENT, "as accents"),
    ):
        rows = [line for line in piece.balloons if line.role == role.label]
        if rows:
            lines.append(f"{_counted(rows)} {words}, {_across(rows)}")
    materials = dict.fromkeys(fabric.material for fabric in piece.assembly.fabrics)
    lines += [f"a {material} sleeve" for material in materials]
    uses = {line.use for line in piece.hardware}
    carried = [words for use, words in _CARRIED.items() if use in uses]
    if carried:
        lines.append("stands on " + carried[0] if "base" in uses else carried[0])
    return tuple(lines)


def _counted(rows: Sequence[BalloonLine]) -> str:
    foil = sum(row.count for row in rows if not row.size[:1].isdigit())
    count = sum(row.count for row in rows)
    if foil == count:
        return plural(count, "foil balloon")
    return plural(count, "balloon") + (f" ({foil} of them {_FOIL})" if foil else "")


def _across(rows: Sequence[BalloonLine]) -> str:
    sizes = sorted({row.inflated_in for row in rows if row.inflated_in})
    if not sizes:
        return "all sizes"
    if len(sizes) == 1:
        return f"{_inches(sizes[0])} across"
    return f"{_inches(sizes[0])} to {_inches(sizes[-1])} across"


def _inches(inches: float) -> str:
    return f"{inches:g} in ({inches * 2.54:.0f} cm)"
