"""What the crew must know about danger, short; figures are those of the plan.

Findings speak to whoever designs the job and name rules and remedies; hands need what to do.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airwright.language import Text, counted, listing, message, sentences
from airwright.papers.common.dangers import Warned, everyday
from airwright.plan.cautions import REACH_M
from airwright.plan.stability import Stability
from airwright.plan.strength import Hanging
from airwright.plan.values import PiecePlan, Plan
from airwright.plan.wording import Words


def warnings_of(plan: Plan) -> tuple[Warned, ...]:
    """All dangers of a job, for the one page of them."""
    words = Words(plan.studio.studio.units)
    pieces = plan.in_scope
    return (
        *_filling(pieces, words),
        *_too_light(pieces, words),
        *_wind(pieces, words),
        *_hanging(pieces, words),
        *_ladder(pieces, words),
        *everyday(plan),
        *_over_tight(plan, words),
    )


def _standing(pieces: Sequence[PiecePlan]) -> list[tuple[PiecePlan, Stability]]:
    return [(p, p.stability) for p in pieces if isinstance(p.stability, Stability)]


def fill_words(one: Stability, words: Words) -> Text:
    """How much goes into the base or bases of one piece."""
    each = words.mass(one.ballast_kg / one.bases)
    if one.bases == 1:
        return message("{mass} of water or sand in the base", mass=each)
    return message("{mass} of water or sand in each of the {n} bases", mass=each, n=one.bases)


def _filling(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Warned]:
    loaded = [(piece, one) for piece, one in _standing(pieces) if one.ballast_kg > 0]
    if not loaded:
        return
    rows = [
        message("{piece}: {fill}.", piece=piece.name, fill=fill_words(one, words))
        for piece, one in loaded
    ]
    yield Warned(
        message("Fill every base before any balloon goes on."),
        sentences(
            *rows,
            message("Keep the pieces out of walkways: none holds up a person who falls on it."),
        ),
    )


def _too_light(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Warned]:
    weak = [(piece, one) for piece, one in _standing(pieces) if not one.holds]
    if not weak:
        return
    rows = [
        message(
            "{piece}: {more} on the base of each one.",
            piece=piece.name,
            more=words.mass(one.sandbags_kg),
        )
        if one.bases == 1
        else message(
            "{piece}: {more} in all on the {n} bases of each one.",
            piece=piece.name,
            more=words.mass(one.sandbags_kg),
            n=one.bases,
        )
        for piece, one in weak
    ]
    yield Warned(
        message("Full bases alone are too light here: lay sandbags on them."),
        sentences(*rows, message("Without the sandbags these pieces are not put up.")),
    )


def _wind(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Warned]:
    limits = [(p, p.take_in_gust_m_s) for p in pieces if p.take_in_gust_m_s is not None]
    if not limits:
        return
    rows = [
        message("{piece}: gusts above {limit}.", piece=piece.name, limit=words.limit(limit))
        for piece, limit in sorted(limits, key=lambda row: row[1])
    ]
    yield Warned(
        message("Take these in when the wind gets up."),
        sentences(
            *rows,
            message("One named person watches forecast and wind all day and may decide alone."),
        ),
    )


def _hanging(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Warned]:
    rows = [(p, p.stability) for p in pieces if isinstance(p.stability, Hanging)]
    if not rows:
        return
    told = [
        counted(
            "{piece}: {n} fixing point that holds {hold}.",
            "{piece}: {n} fixing points, each of which holds {hold}.",
            one.anchors,
            piece=piece.name,
            hold=words.force(one.anchor_should_hold_n),
        )
        for piece, one in rows
    ]
    yield Warned(
        message("What hangs above people must hold."),
        sentences(
            *told,
            message(
                "Adhesive hooks let go without warning. Above people a qualified rigger decides."
            ),
        ),
    )


def _ladder(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Warned]:
    tall = [p for p in pieces if p.assembly.height_m > REACH_M and not p.rises_by_itself]
    if tall:
        yield Warned(
            message(
                "Work from a ladder, up to {top}: {pieces}.",
                top=words.size(max(p.assembly.height_m for p in tall)),
                pieces=listing([p.name for p in tall]),
            ),
            message(
                "A step ladder on firm floor, locked open; one person on it and a second one "
                "holding it."
            ),
        )


def _over_tight(plan: Plan, words: Words) -> Iterator[Warned]:
    if plan.physics is None:
        return
    tight = [row for row in plan.physics.sizes if row.over_tight and row.family != "foil"]
    if tight:
        rows = [
            message(
                "{size} {shade}: no larger than {across}.",
                size=row.size,
                shade=row.shade,
                across=words.size(row.inflate_to_m),
            )
            for row in tight[:6]
        ]
        yield Warned(
            message("In this warmth these get too tight, and may burst, if they are too large."),
            sentences(*rows),
        )
    if any(row.over_tight and row.family == "foil" for row in plan.physics.sizes):
        yield Warned(
            message("Foil bursts in the warmth if it is full."),
            message("Fill it until it still shows wrinkles at the seam."),
        )
