"""An option as a whole: its pieces side by side on one floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airwright.decor.assembly import Assembly, merge
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.values import Drawing, DrawingError, Options, Sight, View

GAP_M = 0.30
"""Free floor between two pieces, at the least."""
GAP_SHARE = 0.12
"""Free floor as a share of the wider neighbour."""
MOST_COPIES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A piece of a scene.

    Attributes:
        assembly: the piece, over the origin.
        count: copies of it.
        places: where its copies stand, (x, y, turn about the vertical [rad]) each [m]; empty
            where the row decides.
    """

    assembly: Assembly
    count: int = 1
    places: tuple[tuple[float, float, float], ...] = ()


def draw_scene(
    pieces: Sequence[Standing | Assembly],
    view: View | Sight | str = View.FRONT,
    *,
    name: str = "",
    options: Options | None = None,
) -> Drawing:
    """Draw pieces on one floor.

    Pieces without places stand in a row: copies flank the others in pairs, the piece with an
    odd count keeps the middle, and nothing overlaps.

    Raises:
        DrawingError: a count below 0, more places than copies, or more than 400 copies.
    """
    return draw(arrange(pieces, name=name), view, options=options)


def arrange(pieces: Sequence[Standing | Assembly], *, name: str = "") -> Assembly:
    """The pieces of a scene as one assembly, each copy where it stands."""
    standing = [p if isinstance(p, Standing) else Standing(p) for p in pieces]
    _check(standing)
    placed: list[Assembly] = []
    loose: list[Standing] = []
    for piece in standing:
        for x, y, turn in piece.places[: piece.count]:
            placed.append(piece.assembly.moved((x, y, 0.0), turn))
        left = piece.count - len(piece.places)
        if left > 0:
            loose.append(Standing(piece.assembly, left))
    row = in_a_row(loose)
    if placed and row:
        right = max(float(part.bounds[1][0]) for part in placed)
        start = min(float(part.bounds[0][0]) for part in row)
        row = [part.moved((right + GAP_M - start, 0.0, 0.0)) for part in row]
    return merge(name, "scene", [*placed, *row])


def in_a_row(pieces: Sequence[Standing]) -> list[Assembly]:
    """Copies side by side, mirrored about the middle as far as counts allow, left to right."""
    left: list[Assembly] = []
    middle: list[Assembly] = []
    for piece in pieces:
        left += [piece.assembly] * (piece.count // 2)
        middle += [piece.assembly] * (piece.count % 2)
    order = [*left, *middle, *left[::-1]]
    out: list[Assembly] = []
    edge, before = 0.0, 0.0
    for piece_ in order:
        low, high = piece_.bounds
        wide = float(high[0] - low[0])
        if out:
            edge += gap(before, wide)
        out.append(piece_.moved((edge - float(low[0]), 0.0, 0.0)))
        edge, before = edge + wide, wide
    return [part.moved((-edge / 2, 0.0, 0.0)) for part in out]


def gap(one: float, other: float) -> float:
    """Free floor between two neighbours of these widths [m]."""
    return max(GAP_M, GAP_SHARE * max(one, other))


def _check(pieces: Sequence[Standing]) -> None:
    for piece in pieces:
        if piece.count < 0 or len(piece.places) > max(piece.count, 0):
            raise DrawingError(
                f'"{piece.assembly.name}" is to stand {piece.count} times, with '
                f"{len(piece.places)} places.",
                "Give at least as many copies as places.",
            )
    total = sum(piece.count for piece in pieces)
    if total > MOST_COPIES:
        raise DrawingError(
            f"{total} pieces in one scene cannot be told apart.",
            f"Draw at most {MOST_COPIES} at a time.",
        )
