"""Pieces of one option that stand inside each other where the job puts them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np

from airwright.decor.assembly import Assembly, Floats, Ints
from airwright.decor.standing import MEETS_M, Piece, stand
from airwright.job.findings import Finding, caution
from airwright.job.models import Job
from airwright.language import message
from airwright.plan.piece_values import PiecePlan
from airwright.plan.values import OptionPlan


def standing(pieces: Sequence[PiecePlan], job: Job) -> list[Piece]:
    """The pieces as the rule of places knows them, the venue's door behind them."""
    rule = [Piece.of(piece.assembly, piece.count, piece.spec) for piece in pieces]
    return rule if job.venue.door is None else [*rule, Piece.gate(job.venue.door)]


def inside_each_other(options: Sequence[OptionPlan], job: Job) -> list[Finding]:
    """One caution for each two pieces whose balloons would be in the same place.

    Only pieces with a place in the job can meet: all others are stood apart.
    """
    told: dict[tuple[str, str], Finding] = {}
    for option in options:
        for one, other in _meeting(option.pieces, job):
            if (one.name, other.name) in told:
                continue
            what = message(
                '"{one}" and "{other}" stand inside each other in "{option}".',
                one=one.name,
                other=other.name,
                option=option.name,
            )
            mend = message("Give one of them another spot on the floor plan.")
            both = (one.name, other.name)
            place = f"{other.place}.spot"
            told[both] = caution("inside-each-other", place, what, mend, pieces=both)
    return list(told.values())


def _meeting(pieces: Sequence[PiecePlan], job: Job) -> Iterator[tuple[PiecePlan, PiecePlan]]:
    stood = [s for s in stand(standing(pieces, job)) if s.settled and s.piece < len(pieces)]
    placed = []
    for at in stood:
        body = pieces[at.piece].assembly.moved((at.x, at.y, 0.0), at.turn_rad)
        placed.append((pieces[at.piece], body, body.bounds))
    for (one, a, box_a), (other, b, box_b) in combinations(placed, 2):
        low, high = np.maximum(box_a[0], box_b[0]), np.minimum(box_a[1], box_b[1])
        if one is not other and (high - low).min() > MEETS_M and _overlap(a, b, low, high):
            yield one, other


def _overlap(a: Assembly, b: Assembly, low: Floats, high: Floats) -> bool:
    """Whether a balloon of one is deeper in one of the other, within a box, than neighbours
    press."""
    near_a, near_b = _within(a, low, high), _within(b, low, high)
    if not len(near_a) or not len(near_b):
        return False
    return _deepest(a, near_a, b, near_b) > MEETS_M


def _within(one: Assembly, low: Floats, high: Floats) -> Ints:
    """Rows whose balloons reach into a box."""
    reach = one.radius[:, None]
    touches = ((one.centre + reach > low) & (one.centre - reach < high)).all(axis=1)
    return np.flatnonzero(touches).astype(np.int32)


def _deepest(a: Assembly, rows: Ints, b: Assembly, others: Ints) -> float:
    """How far two balloons run into each other at the worst [m]."""
    from scipy.spatial import cKDTree

    tree = cKDTree(b.centre[others])
    far, at = tree.query(a.centre[rows])
    return float((a.radius[rows] + b.radius[others][at] - far).max())
