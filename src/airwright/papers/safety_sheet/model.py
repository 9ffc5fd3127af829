"""What a safety sheet says, as plain values; figures are those of the plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from airwright.language import message
from airwright.papers.common.dangers import Warned, everyday
from airwright.papers.common.parts import Masthead, Occasion, Swatch, masthead, occasion, swatches
from airwright.physics.ladder import ladder_length, ladder_setting
from airwright.physics.lifting import frequency_multiplier, recommended_weight
from airwright.physics.room_air import OXYGEN_LIMIT
from airwright.plan.cautions import REACH_M
from airwright.plan.gas import CylinderLine
from airwright.plan.stability import Stability, forecast_step
from airwright.plan.strength import Hanging
from airwright.plan.surroundings import surroundings
from airwright.plan.values import PiecePlan, Plan

TOP_GAP_M: Final = 0.5
"""Hands reach this far above where a leaning ladder rests (common practice)."""
LEAST_SUPPORT_M: Final = 0.6
MOST_SUPPORT_M: Final = 6.0
"""Above this no ladder is leaned for decor: a platform or lift is hired."""

LIFT_REACH_M: Final = 0.40
LIFT_FROM_M: Final = 0.15
LIFT_TRAVEL_M: Final = 0.60
LIFTS_PER_MINUTE: Final = 0.5
"""The lift a crew does most: a base or cylinder off the floor into the van, arms a little out."""


@dataclass(frozen=True, slots=True)
class Held:
    """Pieces that are held down alike.

    Attributes:
        pieces: names, with how many of each.
        ballast_kg: on all bases of each [kg]; for floating pieces the weight of each.
        bases: base plates of each.
        needed_kg: filling and sandbags together, or what a floating piece takes [kg].
        sandbags_kg: what lies on the bases beside their filling [kg].
        holds: whether the base takes what is needed.
        take_in_gust_m_s: take them in above; None indoors.
        floats: whether it is a floating piece on a weight.
    """

    pieces: tuple[tuple[str, int], ...]
    ballast_kg: float
    bases: int
    needed_kg: float
    holds: bool
    sandbags_kg: float
    take_in_gust_m_s: float | None
    floats: bool


@dataclass(frozen=True, slots=True)
class Hung:
    """A hanging piece: what each of its fixing points must hold [N]."""

    name: str
    count: int
    points: int
    should_hold_n: float


@dataclass(frozen=True, slots=True)
class Leaning:
    """A leaning ladder for the highest work: rests at, length, foot out from the wall [m]."""

    work_m: float
    support_m: float
    length_m: float
    foot_out_m: float


@dataclass(frozen=True, slots=True)
class Heavy:
    """Something heavy: what, mass of one [kg], how many, and whether it holds a filling."""

    name: str
    mass_kg: float
    count: int
    filled: bool = False


@dataclass(frozen=True, slots=True)
class SafetySheet:
    """A whole safety sheet.

    Attributes:
        outdoors, indoors: whether anything stands there.
        gust_m_s, gust_said: gust or draught reckoned with, and whether the job names it.
        factor: factor of safety.
        held: pieces on bases and weights, the weakest first.
        hung: pieces on hooks, the hardest pull first.
        take_in_gust_m_s, take_in_beaufort: the lowest limit of all pieces, None indoors.
        work_m: highest point hands reach, what rises by itself left out [m].
        ladder: None where nobody needs one, or where it is too high for one.
        cylinders: helium that goes along.
        room_oxygen, van_oxygen: left if the fullest cylinder empties there, None unknown [-].
        oxygen_limit: [-].
        lift_limit_kg: what one person lifts off the floor, recommended [kg].
        heavy: what is heavier than that, or nearly, the heaviest first.
        everyday: children, allergy, flying off, foil, live wires; helium has its own part.
    """

    masthead: Masthead
    occasion: Occasion
    swatches: tuple[Swatch, ...]
    outdoors: bool
    indoors: bool
    gust_m_s: float
    gust_said: bool
    factor: float
    held: tuple[Held, ...]
    hung: tuple[Hung, ...]
    take_in_gust_m_s: float | None
    take_in_beaufort: int | None
    work_m: float
    ladder: Leaning | None
    cylinders: tuple[CylinderLine, ...]
    room_oxygen: float | None
    van_oxygen: float | None
    oxygen_limit: float
    lift_limit_kg: float
    heavy: tuple[Heavy, ...]
    everyday: tuple[Warned, ...] = ()


def safety_sheet_of(plan: Plan) -> SafetySheet:
    """Read a safety sheet off a plan: the pieces in scope."""
    pieces = plan.in_scope
    job = plan.job
    settings = dict.fromkeys(job.setting_of(piece.spec) for piece in pieces)
    arounds = [surroundings(job, plan.studio, setting) for setting in settings]
    outside = [around for around in arounds if around.outdoors]
    around = (outside or arounds or [surroundings(job, plan.studio)])[0]
    gas = plan.physics.gas if plan.physics is not None else None
    held = _held(pieces)
    limits = [piece.take_in_gust_m_s for piece in pieces]
    lowest = min((limit for limit in limits if limit is not None), default=None)
    built = (piece.assembly.height_m for piece in pieces if not piece.rises_by_itself)
    work = max(built, default=0.0)
    limit = lift_limit()
    return SafetySheet(
        masthead=masthead(plan),
        occasion=occasion(plan),
        swatches=swatches(pieces),
        outdoors=bool(outside),
        indoors=len(outside) < len(arounds),
        gust_m_s=around.gust_m_s,
        gust_said=around.gust_said,
        factor=around.factor,
        held=held,
        hung=_hung(pieces),
        take_in_gust_m_s=lowest,
        take_in_beaufort=forecast_step(lowest),
        work_m=work,
        ladder=_ladder(work),
        cylinders=() if gas is None else gas.cylinders,
        room_oxygen=None if gas is None else gas.room_oxygen,
        van_oxygen=None if gas is None else gas.van_oxygen,
        oxygen_limit=OXYGEN_LIMIT if gas is None else gas.oxygen_limit,
        lift_limit_kg=limit,
        heavy=_heavy(plan, limit),
        everyday=tuple(everyday(plan, gas=False)),
    )


def lift_limit() -> float:
    """Weight one person may lift off the floor into the van, by the revised NIOSH equation [kg]."""
    how_often = frequency_multiplier(LIFTS_PER_MINUTE, 1, LIFT_FROM_M)
    return float(
        recommended_weight(
            LIFT_REACH_M, LIFT_FROM_M, LIFT_TRAVEL_M, frequency=how_often, coupling="fair"
        )
    )


def _held(pieces: tuple[PiecePlan, ...]) -> tuple[Held, ...]:
    """Pieces on bases and weights; those held alike share a row."""
    rows: dict[tuple[object, ...], Held] = {}
    for piece in pieces:
        one = _held_one(piece)
        if one is None:
            continue
        key = (
            one.ballast_kg,
            one.bases,
            one.holds,
            one.sandbags_kg,
            one.floats,
            None if one.take_in_gust_m_s is None else int(one.take_in_gust_m_s * 2),
        )
        rows[key] = one if key not in rows else _weaker(rows[key], one)
    return tuple(sorted(rows.values(), key=lambda row: (row.holds, row.take_in_gust_m_s or 99.0)))


def _held_one(piece: PiecePlan) -> Held | None:
    name = ((piece.name, piece.count),)
    stands, holds = piece.stability, piece.weighting
    if isinstance(stands, Stability):
        return Held(
            name,
            stands.ballast_kg,
            stands.bases,
            stands.weight_kg,
            stands.holds,
            stands.sandbags_kg,
            stands.take_in_gust_m_s,
            floats=False,
        )
    if holds is not None:
        weight = round(max(holds.needed_kg, holds.there_kg), 3)
        gust = holds.take_in_gust_m_s
        return Held(name, weight, 1, holds.needed_kg, True, 0.0, gust, floats=True)
    return None


def _hung(pieces: tuple[PiecePlan, ...]) -> tuple[Hung, ...]:
    rows = [
        Hung(piece.name, piece.count, one.anchors, one.anchor_should_hold_n)
        for piece in pieces
        if isinstance(one := piece.stability, Hanging)
    ]
    return tuple(sorted(rows, key=lambda row: -row.should_hold_n))


def _weaker(first: Held, other: Held) -> Held:
    """Two rows as one; each figure on the safe side."""
    weak = min(first, other, key=lambda row: row.take_in_gust_m_s or 0.0)
    return Held(
        (*first.pieces, *other.pieces),
        first.ballast_kg,
        first.bases,
        max(first.needed_kg, other.needed_kg),
        first.holds,
        max(first.sandbags_kg, other.sandbags_kg),
        weak.take_in_gust_m_s,
        first.floats,
    )


def _ladder(work_m: float) -> Leaning | None:
    support = max(work_m - TOP_GAP_M, LEAST_SUPPORT_M)
    if work_m <= REACH_M or support > MOST_SUPPORT_M:
        return None
    length = float(ladder_length(support))
    return Leaning(work_m, support, length, float(ladder_setting(length).foot_out_m))


def _heavy(plan: Plan, limit: float) -> tuple[Heavy, ...]:
    """Single things of more than half the limit; ballast is carried in portions and left out."""
    rows = []
    for need in plan.needs:
        if need.unit != "each" or need.kind in ("balloon", "gas") or need.total <= 0:
            continue
        one = need.mass_kg / need.total
        if one >= limit / 2:
            rows.append(Heavy(need.item, one, round(need.total)))
    for piece in plan.in_scope:
        if isinstance(piece.stability, Stability):
            whole = piece.stability.own_mass_kg + piece.stability.ballast_kg
            if whole >= limit:
                filled = piece.stability.ballast_kg > 0
                name = message("{piece}, base filled", piece=piece.name) if filled else piece.name
                rows.append(Heavy(name, whole, piece.count, filled))
    return tuple(sorted(rows, key=lambda row: (-row.mass_kg, row.name)))
