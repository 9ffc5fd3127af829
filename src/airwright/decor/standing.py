"""Where every copy of every piece stands: one rule for pictures, floor plan, lists and 3D.

A piece with a spot stands there; its copies go about it as `copies` says. Two copies that say
nothing stand one at each side of what people walk through, if the scene holds such a piece:

      o  A  o  A  o        in a row: copies flank the others in pairs
      o  [ arch ]  o       at either side of the arch, and where its spot is, theirs is beside it

The venue's door is walked through as an arch is, and comes after it.
Whatever has no place of its own stands in one row, to the right of what has.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from airwright.decor.assembly import Assembly, Floats
from airwright.decor.parts.door import FRAME_M
from airwright.decor.pieces import KINDS
from airwright.job.findings import Finding, caution
from airwright.job.pieces import Copies, Door, PieceSpec, Spot
from airwright.language import message

GAP_M = 0.75
"""Free floor between two pieces, at the least: room to walk through with a tray (from memory)."""

BESIDE_M = 0.30
"""Free floor between what people walk through and what flanks it, at the least."""

GAP_SHARE = 0.12
"""Free floor as a share of the wider neighbour."""

MEETS_M = 0.05
"""Copies that share less ground than this still stand side by side [m]."""

Box = tuple[float, float, float, float]
"""Ground covered: left, front, right, back [m]."""


@dataclass(frozen=True, slots=True)
class Piece:
    """What the rule needs to know of a piece.

    Attributes:
        name: as in the job.
        box: ground it covers over its own origin [m].
        count: copies shown.
        spot, copies: as in the job.
        walked_through: whether people walk through it, so that pairs flank it.
    """

    name: str
    box: Box
    count: int = 1
    spot: Spot | None = None
    copies: Copies | None = None
    walked_through: bool = False

    @classmethod
    def of(cls, assembly: Assembly, count: int, spec: PieceSpec | None = None) -> Piece:
        """A built piece, with what the job says about its place."""
        low, high = assembly.bounds
        box = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
        if spec is None:
            return cls(assembly.name, box, count)
        kind = KINDS.get(spec.kind)
        through = kind is not None and kind.walked_through
        return cls(spec.name, box, count, spec.spot, spec.copies, through)

    @classmethod
    def gate(cls, door: Door) -> Piece:
        """The venue's door; it comes last among the pieces, so that pairs flank an arch first."""
        half = door.width / 2 + FRAME_M
        box = (-half, -FRAME_M / 2, half, FRAME_M / 2)
        return cls(message("the door"), box, 1, door, None, walked_through=True)

    @property
    def width(self) -> float:
        """Left to right [m]."""
        return self.box[2] - self.box[0]


@dataclass(frozen=True, slots=True)
class Stood:
    """One copy in its place.

    Attributes:
        piece: which of the pieces, counted from 0.
        x, y: right of the middle and away from the viewer [m].
        turn_rad: anticlockwise from above.
        settled: whether the job says where, so that a floor plan can show it.
    """

    piece: int
    x: float
    y: float
    turn_rad: float = 0.0
    settled: bool = False


def gap(one: float, other: float) -> float:
    """Free floor between two neighbours of these widths [m]."""
    return max(GAP_M, GAP_SHARE * max(one, other))


def stand(pieces: Sequence[Piece]) -> tuple[Stood, ...]:
    """A place for every copy of every piece, in the order of the pieces."""
    flanks = {at: found for at in range(len(pieces)) if (found := _flanked(at, pieces)) is not None}
    settled: list[Stood] = []
    blocks: list[list[Stood]] = []
    singles: list[int] = []
    for at, piece in enumerate(pieces):
        if at in flanks or piece.count < 1:
            continue
        own = _about(at, piece)
        group = list(own)
        for beside in (k for k, gate in flanks.items() if gate == at):
            group += _beside(beside, group, pieces)  # a second pair stands outside the first
        if piece.spot is not None:
            settled += _moved(group, piece.spot)
        elif len(group) == len(own) and piece.copies is None:
            singles.append(at)
        else:
            blocks.append(group)
    row = _row(pieces, singles, blocks)
    row = _aside(pieces, row, settled)
    return tuple(sorted([*settled, *row], key=lambda stood: stood.piece))


def flanked_name(at: int, pieces: Sequence[Piece]) -> str | None:
    """Name of the piece that the copies of piece `at` stand at either side of, if any."""
    found = _flanked(at, pieces)
    return None if found is None else pieces[found].name


def _flanked(at: int, pieces: Sequence[Piece]) -> int | None:
    """Which piece the copies of piece `at` flank; None where they flank none."""
    piece = pieces[at]
    others = [k for k in range(len(pieces)) if k != at and pieces[k].count > 0]
    if piece.copies is not None and piece.copies.stand == "either side":
        named = [k for k in others if pieces[k].name == piece.copies.of]
        found = named or [k for k in others if pieces[k].walked_through]
    elif piece.copies is None and piece.spot is None and piece.count == 2:
        found = [k for k in others if pieces[k].walked_through]
    else:
        return None
    # what flanks another piece itself is no gate
    return next((k for k in found if not _flanks_itself(k, pieces)), None)


def _flanks_itself(at: int, pieces: Sequence[Piece]) -> bool:
    copies = pieces[at].copies
    return copies is not None and copies.stand == "either side"


def _about(at: int, piece: Piece) -> list[Stood]:
    """Copies of a piece about its own spot, unturned."""
    copies, many = piece.copies, piece.count
    if copies is not None and copies.stand == "in a circle":
        step = piece.width + gap(piece.width, piece.width)
        across = copies.across or max(step * many / math.pi, step)
        turns = [2 * math.pi * copy / many for copy in range(many)]
        return [
            Stood(at, across / 2 * math.sin(turn), -across / 2 * math.cos(turn), turn)
            for turn in turns
        ]
    step = piece.width + gap(piece.width, piece.width)
    back = 0.0
    if copies is not None:
        step = copies.apart or step
        if copies.stand == "along a wall":
            back = -piece.box[3]
            if copies.across is not None and many > 1:
                step = max((copies.across - piece.width) / (many - 1), 0.0)
    return [Stood(at, (copy - (many - 1) / 2) * step, back) for copy in range(many)]


def _beside(at: int, gate: Sequence[Stood], pieces: Sequence[Piece]) -> list[Stood]:
    """Copies of piece `at` to the left and right of a gate in turn, going outwards."""
    piece = pieces[at]
    left, _, right, _ = covered(pieces, gate)
    free = max(BESIDE_M, GAP_SHARE * max(right - left, piece.width))
    if piece.copies is not None and piece.copies.apart is not None:
        free = piece.copies.apart
    found = []
    for copy in range(piece.count):
        out = free + (copy // 2) * (piece.width + free)
        x = left - out - piece.box[2] if copy % 2 == 0 else right + out - piece.box[0]
        found.append(Stood(at, x, 0.0))
    return found


def _moved(group: Sequence[Stood], spot: Spot) -> list[Stood]:
    """A group about its spot, turned to face where the spot says."""
    turn = math.radians(spot.facing)
    c, s = math.cos(turn), math.sin(turn)
    return [
        Stood(
            one.piece,
            spot.x + c * one.x - s * one.y,
            spot.y + s * one.x + c * one.y,
            one.turn_rad + turn,
            settled=True,
        )
        for one in group
    ]


def _row(
    pieces: Sequence[Piece], singles: Sequence[int], blocks: Sequence[list[Stood]]
) -> list[Stood]:
    """Copies flanking each other in pairs, blocks and odd ones in the middle, left to right."""
    left = [at for at in singles for _ in range(pieces[at].count // 2)]
    odd = [[Stood(at, 0.0, 0.0)] for at in singles if pieces[at].count % 2]
    pairs = [[Stood(at, 0.0, 0.0)] for at in left]
    edge, before, out = 0.0, 0.0, list[Stood]()
    for block in (*pairs, *blocks, *odd, *pairs[::-1]):
        low, _, high, _ = covered(pieces, block)
        wide = high - low
        edge += gap(before, wide) if out else 0.0
        out += [Stood(s.piece, s.x + edge - low, s.y, s.turn_rad) for s in block]
        edge, before = edge + wide, wide
    return [Stood(s.piece, s.x - edge / 2, s.y, s.turn_rad) for s in out]


def covered(pieces: Sequence[Piece], group: Sequence[Stood]) -> Box:
    """Ground a group covers: left, front, right, back [m]."""
    if not group:
        return (0.0, 0.0, 0.0, 0.0)
    boxes = np.array([_ground(pieces[one.piece].box, one) for one in group])
    low, high = boxes[:, :2].min(axis=0), boxes[:, 2:].max(axis=0)
    return (float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def _ground(box: Box, one: Stood) -> Floats:
    c, s = math.cos(one.turn_rad), math.sin(one.turn_rad)
    corners = [(x, y) for x in (box[0], box[2]) for y in (box[1], box[3])]
    xs = [one.x + c * x - s * y for x, y in corners]
    ys = [one.y + s * x + c * y for x, y in corners]
    return np.array([min(xs), min(ys), max(xs), max(ys)])


def _aside(pieces: Sequence[Piece], row: list[Stood], settled: Sequence[Stood]) -> list[Stood]:
    """The row to the right of everything that has a place, where they would meet."""
    taken = [_ground(pieces[one.piece].box, one) for one in settled]
    mine = [_ground(pieces[one.piece].box, one) for one in row]
    if not any(
        a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3] for a in mine for b in taken
    ):
        return row
    shift = max(float(box[2]) for box in taken) + GAP_M - min(float(box[0]) for box in mine)
    return [Stood(s.piece, s.x + shift, s.y, s.turn_rad) for s in row]


def too_close(pieces: Sequence[Piece], places: Sequence[str]) -> list[Finding]:
    """Copies of one piece that stand into each other, each told at its place in the file."""
    stood = stand(pieces)
    found = []
    for at, (piece, place) in enumerate(zip(pieces, places, strict=False)):  # the door last
        own = [one for one in stood if one.piece == at]
        if piece.copies is None or not _meet([_ground(piece.box, one) for one in own]):
            continue
        what = message("The copies of {name} stand into each other.", name=piece.name)
        mend = message("Set them further apart, take a larger circle or wall, or fewer copies.")
        found.append(caution("copies-too-close", f"{place}.copies", what, mend))
    return found


def _meet(boxes: Sequence[Floats]) -> bool:
    """Whether two boxes share more than a hand's breadth of ground."""
    return any(
        a[0] < b[2] - MEETS_M
        and b[0] < a[2] - MEETS_M
        and a[1] < b[3] - MEETS_M
        and b[1] < a[3] - MEETS_M
        for k, a in enumerate(boxes)
        for b in boxes[k + 1 :]
    )
