"""An option as a whole: its pieces side by side on one floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from airwright.decor.assembly import Assembly, merge
from airwright.decor.standing import GAP_M, Piece, covered, stand
from airwright.job.pieces import PieceSpec
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.values import Drawing, DrawingError, Options, Sight, View

LARGEST_M = 15.0
"""A scene wider or deeper than this shows too little of each piece."""
MOST_COPIES = 400


@dataclass(frozen=True, slots=True, eq=False)
class Standing:
    """A piece of a scene.

    Attributes:
        assembly: the piece, over the origin.
        count: copies of it.
        places: where its copies stand, (x, y, turn about the vertical [rad]) each [m]; empty
            where the rule decides.
        spec: what the job says about its place, if it is one of a job.
    """

    assembly: Assembly
    count: int = 1
    places: tuple[tuple[float, float, float], ...] = ()
    spec: PieceSpec | None = None


def draw_scene(
    pieces: Sequence[Standing | Assembly],
    view: View | Sight | str = View.FRONT,
    *,
    name: str = "",
    options: Options | None = None,
) -> Drawing:
    """Draw pieces on one floor.

    Pieces without places stand as `airwright.decor.standing` says.

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
            loose.append(Standing(piece.assembly, left, spec=piece.spec))
    row = _stood(loose)
    if placed and row:
        right = max(float(part.bounds[1][0]) for part in placed)
        start = min(float(part.bounds[0][0]) for part in row)
        row = [part.moved((right + GAP_M - start, 0.0, 0.0)) for part in row]
    return merge(name, "scene", [*placed, *row])


def _stood(pieces: Sequence[Standing]) -> list[Assembly]:
    """Every copy where the rule puts it; spots too far apart for one picture are left aside."""
    rule = [Piece.of(piece.assembly, piece.count, piece.spec) for piece in pieces]
    found = stand(rule)
    left, front, right, back = covered(rule, found)
    if max(right - left, back - front) > LARGEST_M and any(piece.spot for piece in rule):
        found = stand([replace(piece, spot=None) for piece in rule])
    return [pieces[one.piece].assembly.moved((one.x, one.y, 0.0), one.turn_rad) for one in found]


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
