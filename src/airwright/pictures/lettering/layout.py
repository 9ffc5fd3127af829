"""Letters for a ball: as they shall look from the front → as they are cut flat.

        seen from the front: r = R sin t         cut flat: r = R t

A film pressed on from its middle keeps its lengths outward and is squeezed sideways by
sin t / t at an angle t from its middle. Up to what the film takes, one piece lies smoothly;
wider text is cut letter by letter, each pressed on from its own middle.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import numpy as np

from airwright.decor.glyphs import Letter
from airwright.language import Text, message

if TYPE_CHECKING:
    from shapely import MultiPolygon

FILM_GIVES: Final = 0.05
"""Share that thin cast film gives sideways before it puckers; from memory, 0.03 to 0.10."""

EASY_READING: Final = 120.0
"""Reading distance over the height of capitals for lettering that reads at a glance: one inch
for ten feet (common practice of sign makers, from memory)."""

FARTHEST_READING: Final = 300.0
"""The same for lettering that can just be read: one inch for twenty-five feet."""

MOST_SEEN: Final = 0.85
"""Lettering may fill this share of the ball's width; beyond, it turns away from the eye."""


class LetteringRefused(Exception):
    """Lettering that cannot be laid out: what is wrong and how to cure it."""

    def __init__(self, what: Text, mend: Text) -> None:
        super().__init__(str(what))
        self.what, self.mend = what, mend


@dataclass(frozen=True, slots=True, eq=False)
class Piece:
    """What is cut and pressed on as one.

    Attributes:
        text: the letters in it.
        shape: as cut, its middle at (0, 0) [mm].
        at: its middle as seen from the front, from the ball's middle [mm].
    """

    text: str
    shape: MultiPolygon
    at: tuple[float, float]


@dataclass(frozen=True, slots=True, eq=False)
class Lettering:
    """Lettering for one balloon.

    Attributes:
        text: the whole.
        radius_mm: of the ball [mm].
        cap_mm: height of capitals as seen [mm].
        width_mm, height_mm: of all letters as seen [mm].
        limit_mm: widest that one piece of this film may be, as seen [mm].
        pieces: one, or one a letter.
        seen: the letters as they shall look, the ball's middle at (0, 0) [mm].
        squeeze: sideways squeeze of the film at the farthest corner of a piece, as a share.
        reads_easily_m, reads_to_m: distances to read it from [m].
    """

    text: str
    radius_mm: float
    cap_mm: float
    width_mm: float
    height_mm: float
    limit_mm: float
    pieces: tuple[Piece, ...]
    seen: tuple[Letter, ...]
    squeeze: float
    reads_easily_m: float
    reads_to_m: float


def cap_for(distance_m: float) -> float:
    """Height of capitals [mm] that reads at a glance from a distance [m]."""
    return 1000.0 * distance_m / EASY_READING


def widest_angle(gives: float = FILM_GIVES) -> float:
    """Angle from its middle [rad] at which a film's sideways squeeze uses up what it gives.

    Solves t / sin t = 1 + gives.
    """
    from scipy.optimize import brentq

    return float(brentq(lambda t: t / math.sin(t) - 1.0 - gives, 1e-6, math.pi / 2))


def lay_out(
    letters: Sequence[Letter], cap_mm: float, radius_mm: float, gives: float = FILM_GIVES
) -> Lettering:
    """Lay a line of letters out for a ball.

    Args:
        letters: as they shall look, from `letters_of`.
        cap_mm: height of capitals [mm].
        radius_mm: of the ball [mm].
        gives: share the film gives sideways.

    Raises:
        LetteringRefused: wider than the front of the ball.
    """
    from shapely.affinity import translate
    from shapely.ops import unary_union

    left, low, right, high = unary_union([letter.shape for letter in letters]).bounds
    middle = ((left + right) / 2, (low + high) / 2)
    placed = [
        Letter(letter.sign, translate(letter.shape, -middle[0], -middle[1])) for letter in letters
    ]
    reach = _reach([letter.shape for letter in placed])
    if reach > MOST_SEEN * radius_mm:
        room = 2 * MOST_SEEN * radius_mm
        fits = cap_mm * MOST_SEEN * radius_mm / reach
        raise LetteringRefused(
            message(
                "The line is {wide} mm wide; {room} mm are seen from the front.",
                wide=round(right - left),
                room=round(room),
            ),
            message(
                "Make it {fits} mm high at the most, break it into lines, or take a larger "
                "balloon.",
                fits=math.floor(fits),
            ),
        )
    angle = widest_angle(gives)
    limit = radius_mm * math.sin(angle)
    pieces = _whole(placed, radius_mm) if reach <= limit else _by_letter(placed, radius_mm)
    return Lettering(
        text="".join(letter.sign for letter in letters),
        radius_mm=radius_mm,
        cap_mm=cap_mm,
        width_mm=right - left,
        height_mm=high - low,
        limit_mm=2 * limit,
        pieces=pieces,
        seen=tuple(placed),
        squeeze=max(_squeeze(piece.shape, radius_mm) for piece in pieces),
        reads_easily_m=cap_mm * EASY_READING / 1000.0,
        reads_to_m=cap_mm * FARTHEST_READING / 1000.0,
    )


def flattened(points: np.ndarray, radius_mm: float) -> np.ndarray:
    """Points (N, 2) as seen from the front, as they lie on a film pressed on from its middle."""
    reach = np.linalg.norm(points, axis=1, keepdims=True)
    angle = np.arcsin(np.clip(reach / radius_mm, 0.0, 1.0))
    grow = np.where(reach > 1e-9, radius_mm * angle / np.maximum(reach, 1e-9), 1.0)
    return np.asarray(points * grow)


def _reach(shapes: Sequence[MultiPolygon]) -> float:
    from shapely import get_coordinates

    return max(float(np.linalg.norm(get_coordinates(shape), axis=1).max()) for shape in shapes)


def _squeeze(shape: MultiPolygon, radius_mm: float) -> float:
    angle = _reach([shape]) / radius_mm
    return angle / math.sin(angle) - 1.0 if angle > 1e-9 else 0.0


def _whole(letters: Sequence[Letter], radius_mm: float) -> tuple[Piece, ...]:
    from shapely import MultiPolygon, transform

    parts = [
        part
        for letter in letters
        for part in transform(letter.shape, lambda p: flattened(p, radius_mm)).geoms
    ]
    text = "".join(letter.sign for letter in letters)
    return (Piece(text, MultiPolygon(parts), (0.0, 0.0)),)


def _by_letter(letters: Sequence[Letter], radius_mm: float) -> tuple[Piece, ...]:
    """Each letter cut for the spot it is pressed on at, turned to the eye there.

    Seen from the front a patch at the angle t is foreshortened by cos t away from the middle:
    the letter is cut that much longer in that direction.
    """
    from shapely import transform

    pieces = []
    for letter in letters:
        left, low, right, high = letter.shape.bounds
        at = np.array([(left + right) / 2, (low + high) / 2])
        spot = float(np.linalg.norm(at))
        lean = math.sqrt(max(1.0 - (spot / radius_mm) ** 2, 0.05))
        away = at / spot if spot > 1e-9 else np.array([1.0, 0.0])

        def cut(
            points: np.ndarray, at: np.ndarray = at, away: np.ndarray = away, lean: float = lean
        ) -> np.ndarray:
            own = points - at
            along = own @ away
            own = own + np.outer(along * (1.0 / lean - 1.0), away)
            return flattened(own, radius_mm)

        shape = transform(letter.shape, cut)
        pieces.append(Piece(letter.sign, shape, (float(at[0]), float(at[1]))))
    return tuple(pieces)
