"""An option as a whole: its pieces side by side on one floor."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from airwright.decor.assembly import Assembly, merge
from airwright.decor.parts.door import door_frame
from airwright.decor.standing import GAP_M, Piece, Stood, covered, stand
from airwright.job.pieces import Copies, Door, PieceSpec
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.values import Drawing, DrawingError, Options, Sight, View
from airwright.pictures.tables import on_tables

HIDDEN_SHARE = 0.15
"""A piece that another one hides to this share of its width is not shown well."""
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
        door: the venue's door, if it is that.
    """

    assembly: Assembly
    count: int = 1
    places: tuple[tuple[float, float, float], ...] = ()
    spec: PieceSpec | None = None
    door: Door | None = None

    @classmethod
    def at(cls, door: Door) -> Standing:
        """The venue's door, which no piece is."""
        return cls(door_frame(door), door=door)

    @property
    def rule(self) -> Piece:
        """What the rule of places needs to know of it."""
        if self.door is not None:
            return Piece.gate(self.door)
        return Piece.of(self.assembly, self.count, self.spec)


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
            loose.append(replace(piece, count=left, places=()))
    row = _stood(loose)
    if placed and row:
        right = max(float(part.bounds[1][0]) for part in placed)
        start = min(float(part.bounds[0][0]) for part in row)
        row = [part.moved((right + GAP_M - start, 0.0, 0.0)) for part in row]
    return merge(name, "scene", on_tables([*placed, *row]))


def _stood(pieces: Sequence[Standing]) -> list[Assembly]:
    """Every copy where the rule puts it.

    Spots too far apart for one picture, or behind one another so that one piece would hide the
    next, are left aside: the pieces stand in a row then, in the order of their spots, and what
    stands together on the floor stays together.
    """
    rule = [piece.rule for piece in pieces]
    found = stand(rule)
    if any(one.settled for one in found) and (_too_large(rule, found) or _hidden(rule, found)):
        places = [piece.spot.x if piece.spot else 0.0 for piece in rule]
        order = sorted(range(len(rule)), key=places.__getitem__)
        row = stand([_unplaced(rule[at]) for at in order])
        found = tuple(replace(one, piece=order[one.piece]) for one in row)
    return [pieces[one.piece].assembly.moved((one.x, one.y, 0.0), one.turn_rad) for one in found]


def _unplaced(piece: Piece) -> Piece:
    """The piece without its spot; copies that share one stay side by side."""
    together = piece.copies
    if together is None and piece.spot is not None and piece.count > 1:
        together = Copies()
    return replace(piece, spot=None, copies=together)


def _too_large(rule: Sequence[Piece], found: Sequence[Stood]) -> bool:
    left, front, right, back = covered(rule, found)
    return max(right - left, back - front) > LARGEST_M


def _hidden(rule: Sequence[Piece], found: Sequence[Stood]) -> bool:
    """Whether a piece stands behind another one, seen from the front."""
    spans = sorted(covered(rule, [one])[::2] for one in found)
    return any(
        before[1] - after[0] > HIDDEN_SHARE * min(before[1] - before[0], after[1] - after[0])
        for before, after in pairwise(spans)
    )


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
