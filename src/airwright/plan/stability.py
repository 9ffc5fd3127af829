"""Does a piece stand? Wind from every side or a guest's push, against its weight and base.

For each wind direction w and each edge of the footprint with outward normal d (d.w > 0):

    tips it:   factor * M(w) * (d.w)             M(w): moment of the wind, or of the push
    holds it:  g * [own * (h(d) - c.d) + ballast * (h(d) - b.d)]

h(d) is how far the base plates reach in direction d, c the centre of mass, b the middle of the
plates. Square plates count as the disc inside them: no direction is let off lightly. Directions
are laid out from the piece's own axis, so that turning or mirroring it changes nothing.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any, Final, Literal

import numpy as np

from airwright.decor.assembly import Floats
from airwright.physics.drag import CLUSTERED_COLUMN
from airwright.physics.overturning import (
    GUEST_PUSH_HEIGHT_M,
    Outline,
    across_wind,
    ballast_needed,
    footprint_needed,
    gust_at_limit,
    holding_moment,
    outline,
    sliding_ballast,
    wind_load,
)
from airwright.physics.wind import PEOPLE_NEAR_LIMIT_M_S, beaufort, velocity_pressure
from airwright.plan.silhouette import Standing
from airwright.plan.surroundings import Surroundings
from airwright.plan.to_json import json_values
from airwright.units import GRAVITY_M_S2

WINDS: Final = 8
"""Wind directions in a half circle; the other half sees the same outline from behind."""
STRIPS: Final = 120
"""Lines over the height of a piece: its area within 0.5 %."""
EDGES: Final = 32
"""Directions in which a footprint's edges are looked for."""
GUST_OVER_MEAN: Final = 1.5
"""Gust over ten-minute mean in open country: sqrt(1 + 7 Iv) at 10 m, terrain II, EN 1991-1-4.
The Beaufort scale, and most forecasts, name the mean."""
SHORT_M: Final = 0.3
"""Lower pieces are not pushed over [m]."""


@dataclass(frozen=True, slots=True)
class Stability:
    """One standing piece.

    Attributes:
        how: "stands".
        case: what asks for most ballast: "wind", "draught" or "push".
        gust_m_s: gust, indoors draught, reckoned with [m/s].
        area_m2, centre_m: largest outline across the wind, overlaps counted once, and the
            height of its middle [m²], [m].
        force_n, moment_nm: of that gust on that outline, about the floor [N], [N·m].
        push_n, push_height_m: a guest's push and the height it acts at [N], [m].
        factor_of_safety: asked for.
        factor_reached: with `ballast_kg` on the base, against tipping.
        own_mass_kg: on the floor without ballast, lift subtracted [kg].
        bases: how many plates it stands on.
        base_width_m: of the narrowest base plate [m].
        ballast_needed_kg: against tipping, and outdoors sliding too, all plates together [kg].
        ballast_room_kg: what the plates take [kg].
        ballast_kg: what to put in: needed rounded up to whole kilograms, at most the room [kg].
        holds: whether that is enough.
        footprint_m: width of a base that would do with `ballast_kg` on it [m].
        footprint_bare_m: width of a base that would do without ballast [m].
        tie_back_n, tie_back_height_m: pull a line at that height must hold if nothing else
            does [N], [m].
        tips_bare_m_s, tips_at_m_s: gust that tips it without and with `ballast_kg`, no factor
            [m/s].
        slides_at_m_s: gust that moves it with `ballast_kg`, no factor [m/s].
        take_in_gust_m_s: outdoors: take it in above this gust, factor included; None indoors.
        take_in_beaufort: the step of the Beaufort scale (mean wind) that brings such gusts.
    """

    how: Literal["stands"]
    case: Literal["wind", "draught", "push"]
    gust_m_s: float
    area_m2: float
    centre_m: float
    force_n: float
    moment_nm: float
    push_n: float
    push_height_m: float
    factor_of_safety: float
    factor_reached: float
    own_mass_kg: float
    bases: int
    base_width_m: float
    ballast_needed_kg: float
    ballast_room_kg: float
    ballast_kg: float
    holds: bool
    footprint_m: float
    footprint_bare_m: float
    tie_back_n: float
    tie_back_height_m: float
    tips_bare_m_s: float
    tips_at_m_s: float
    slides_at_m_s: float
    take_in_gust_m_s: float | None
    take_in_beaufort: int | None

    @property
    def sandbags_kg(self) -> float:
        """What has to lie on the plates beside their filling, in whole kilograms [kg]."""
        return float(math.ceil(max(self.ballast_needed_kg - self.ballast_kg, 0.0) - 1e-9))

    @property
    def weight_kg(self) -> float:
        """Filling and sandbags together, as they are put on [kg]."""
        return self.ballast_kg + self.sandbags_kg

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json; an endless speed becomes null."""
        return {
            **json_values(self),
            "sandbags_kg": self.sandbags_kg,
            "weight_kg": self.weight_kg,
        }


@dataclass(frozen=True, slots=True, eq=False)
class _Directions:
    """Winds (W, 2) and edges (E, 2) as unit vectors, outlines of the winds, levers by edge.

    `share` (W, E) is how much of a wind's moment works about an edge, 0 where none.
    """

    share: Floats
    outlines: tuple[Outline, ...]
    own_lever: Floats
    ballast_lever: Floats


def stability(
    piece: Standing, around: Surroundings, ballast_kg: float | None = None
) -> Stability | None:
    """Reckon one piece; None where nothing stands.

    Args:
        piece: from `silhouette.standing`.
        around: gust, push, factor, friction.
        ballast_kg: what lies on its base; None: what is needed, as far as the base takes it [kg].
    """
    if not piece.stands or piece.top_m <= 0.0 or piece.own_kg <= 0.0:
        return None
    ways = _directions(piece)
    q = float(velocity_pressure(around.gust_m_s))
    loads = np.array([wind_load(shape, 1.0, CLUSTERED_COLUMN) for shape in ways.outlines])
    force_1, moment_1 = np.tile(loads[:, 0], 2), np.tile(loads[:, 1], 2)  # both halves
    push_at = min(GUEST_PUSH_HEIGHT_M, piece.top_m)
    push = around.push_n if piece.top_m >= SHORT_M else 0.0
    by_wind = _ballast(piece, ways, q * moment_1, around.factor)
    by_push = _ballast(piece, ways, np.full(2 * WINDS, push * push_at), around.factor)
    worst_force = float(force_1.max())
    slide = float(sliding_ballast(q * worst_force, piece.own_kg, around.friction, around.factor))
    needed = max(by_wind, by_push, slide if around.outdoors else 0.0)
    ballast = ballast_kg
    if ballast is None:
        ballast = min(float(math.ceil(needed - 1e-9)), piece.ballast_room_kg)
    largest = int(np.argmax(moment_1))
    most = max(q * float(moment_1.max()), push * push_at)
    tips = _tipping_gust(piece, ways, moment_1, ballast)
    slides = _sliding_gust(piece, worst_force, ballast, around.friction)
    take_in = None
    if around.outdoors:
        take_in = min(min(tips, slides) / math.sqrt(around.factor), PEOPLE_NEAR_LIMIT_M_S)
    shape = ways.outlines[largest % WINDS]
    return Stability(
        how="stands",
        case=_case(by_wind, by_push, slide, around.outdoors),
        gust_m_s=around.gust_m_s,
        area_m2=shape.area_m2,
        centre_m=shape.centroid_m,
        force_n=q * float(force_1[largest]),
        moment_nm=q * float(moment_1[largest]),
        push_n=push,
        push_height_m=push_at,
        factor_of_safety=around.factor,
        factor_reached=_factor(piece, ways, q * moment_1, push * push_at, ballast),
        own_mass_kg=piece.own_kg,
        bases=len(piece.base),
        base_width_m=2 * float(piece.base_radius_m.min()),
        ballast_needed_kg=needed,
        ballast_room_kg=piece.ballast_room_kg,
        ballast_kg=ballast,
        holds=needed <= ballast + 1e-9,
        footprint_m=2 * float(footprint_needed(most, piece.own_kg + ballast, around.factor)),
        footprint_bare_m=2 * float(footprint_needed(most, piece.own_kg, around.factor)),
        tie_back_n=around.factor * most / (0.8 * piece.top_m),
        tie_back_height_m=0.8 * piece.top_m,
        tips_bare_m_s=_tipping_gust(piece, ways, moment_1, 0.0),
        tips_at_m_s=tips,
        slides_at_m_s=slides,
        take_in_gust_m_s=take_in,
        take_in_beaufort=forecast_step(take_in),
    )


def forecast_step(gust_m_s: float | None) -> int | None:
    """The step of the Beaufort scale, which names the mean wind, that brings such gusts."""
    return None if gust_m_s is None else beaufort(gust_m_s / GUST_OVER_MEAN).number


def _case(
    by_wind: float, by_push: float, slide: float, outdoors: bool
) -> Literal["wind", "draught", "push"]:
    if outdoors:
        return "wind" if max(by_wind, slide) >= by_push else "push"
    return "draught" if by_wind > by_push else "push"


def _directions(piece: Standing) -> _Directions:
    first = _axis(piece)
    around = first + np.pi * np.arange(WINDS) / WINDS
    blows = np.concatenate([around, around + np.pi])
    winds = np.column_stack([-np.sin(blows), np.cos(blows)])
    edges_at = first + 2 * np.pi * np.arange(EDGES) / EDGES
    edges = np.column_stack([-np.sin(edges_at), np.cos(edges_at)])
    reach = (piece.base @ edges.T + piece.base_radius_m[:, None]).max(axis=0)
    return _Directions(
        share=np.maximum(winds @ edges.T, 0.0),
        outlines=tuple(outline_at(piece, float(a)) for a in around),
        own_lever=reach - edges @ piece.centre,
        ballast_lever=reach - edges @ piece.base.mean(axis=0),
    )


def outline_at(piece: Standing, azimuth: float) -> Outline:
    """Silhouette of a piece in a wind along (-sin a, cos a)."""
    if piece.known is not None:
        return piece.known
    across = across_wind(piece.disc, azimuth)
    return outline(across, piece.disc[:, 2], piece.disc_radius_m, STRIPS)


def _axis(piece: Standing) -> float:
    """The piece's own direction on the floor [rad]: along its plates, else its longest extent."""
    points = piece.base if len(piece.base) > 1 else piece.disc[:, :2]
    if len(points) == 0:
        return 0.0
    spread = points - points.mean(axis=0)
    values, vectors = np.linalg.eigh(spread.T @ spread)
    if values[1] - values[0] <= 1e-9 * max(values[1], 1e-12):
        return 0.0
    return float(np.arctan2(vectors[1, 1], vectors[0, 1]))


def _ballast(piece: Standing, ways: _Directions, moment: Floats, factor: float) -> float:
    """Least ballast [kg] so that no direction tips it at that factor."""
    needed = ballast_needed(
        moment[:, None] * ways.share,
        ways.ballast_lever,
        factor,
        holding_moment(piece.own_kg, ways.own_lever[:, None]),
    )
    return float(np.max(needed))


def _held(piece: Standing, ways: _Directions, ballast: float) -> Floats:
    """Moment (E,) that holds about each edge [N·m]."""
    levers = np.column_stack([ways.own_lever, ways.ballast_lever])
    return holding_moment(np.array([piece.own_kg, ballast]), levers)


def _factor(
    piece: Standing, ways: _Directions, by_wind: Floats, by_push: float, ballast: float
) -> float:
    moment = np.maximum(by_wind, by_push)[:, None] * ways.share
    held = _held(piece, ways, ballast)[None, :]
    with np.errstate(divide="ignore", invalid="ignore"):
        factor = np.where(moment > 1e-9, held / moment, np.inf)
    return float(factor.min())


def _tipping_gust(piece: Standing, ways: _Directions, moment_1: Floats, ballast: float) -> float:
    held = np.broadcast_to(_held(piece, ways, ballast), ways.share.shape)
    working = ways.share > 1e-9
    speeds = gust_at_limit((moment_1[:, None] * ways.share)[working], held[working])
    return float(np.min(speeds))


def _sliding_gust(piece: Standing, force_1: float, ballast: float, friction: float) -> float:
    return float(gust_at_limit(force_1, friction * GRAVITY_M_S2 * (piece.own_kg + ballast)))
