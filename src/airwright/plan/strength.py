"""What the fixing points of a hanging piece must hold: its weight, and the wind across it.

A slack line pulls sideways harder than its weight: by the catenary of its own span and length,
or, where it is tied up at more than its two ends, by its share of the weight. One hook may carry
far more than its share, because no hand spaces them evenly: the worst counts double.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final, Literal

import numpy as np

from airwright.decor.assembly import Assembly, Floats
from airwright.physics.catenary import from_span_length, line_loads
from airwright.physics.drag import CLUSTERED_COLUMN
from airwright.physics.overturning import wind_load
from airwright.physics.wind import PEOPLE_NEAR_LIMIT_M_S, velocity_pressure
from airwright.plan.silhouette import Standing
from airwright.plan.stability import WINDS, forecast_step, outline_at
from airwright.plan.surroundings import Surroundings
from airwright.plan.to_json import json_values
from airwright.units import GRAVITY_M_S2

UNEVEN: Final = 2.0
"""Worst hook over mean hook (common practice: no source)."""
ANCHOR_FACTOR: Final = 3.0
"""What a fixing point over people's heads should bear over its reckoned load. Common practice for
fixings of unknown quality; rigging codes ask for 5 to 10, and a qualified rigger decides."""
AT_ANCHOR_M: Final = 0.02
"""A line that ends so close to a fixing point is tied to it [m]."""
TAUT: Final = 1.001
"""Length over straight way below which a line counts as straight, not hanging."""


@dataclass(frozen=True, slots=True)
class Hanging:
    """One hanging piece.

    Attributes:
        how: "hangs".
        gust_m_s: gust, indoors draught, reckoned with [m/s].
        area_m2: largest outline across the wind [m²].
        mass_kg: of the whole piece, lift subtracted [kg].
        weight_n, force_n: its weight, and the wind across it [N].
        anchors: fixing points it has.
        anchor_n: largest reckoned load on one of them [N].
        anchor_should_hold_n: that times `anchor_factor` [N].
        anchor_factor: reckoned over what the fixing should bear [-].
        tension_n: largest pull in its line, None where it has none [N].
        take_in_gust_m_s, take_in_beaufort: outdoors, as of standing pieces; else None.
    """

    how: Literal["hangs"]
    gust_m_s: float
    area_m2: float
    mass_kg: float
    weight_n: float
    force_n: float
    anchors: int
    anchor_n: float
    anchor_should_hold_n: float
    anchor_factor: float
    tension_n: float | None
    take_in_gust_m_s: float | None
    take_in_beaufort: int | None

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


def hanging(assembly: Assembly, piece: Standing, around: Surroundings) -> Hanging | None:
    """Reckon one piece that hangs on anchors; None where it has none.

    Args:
        assembly: the piece.
        piece: its discs and masses, from `silhouette.standing`.
        around: gust.
    """
    anchors = np.array(
        [part.path[0] for part in assembly.hardware if part.use == "anchor"], dtype=float
    ).reshape(-1, 3)
    if len(anchors) == 0 or len(piece.disc) == 0:
        return None
    weight = max(piece.own_kg, 0.0) * GRAVITY_M_S2
    q = float(velocity_pressure(around.gust_m_s))
    shapes = [outline_at(piece, np.pi * at / WINDS) for at in range(WINDS)]
    shape = max(shapes, key=lambda one: one.area_m2)
    force = wind_load(shape, q, CLUSTERED_COLUMN)[0]
    pull = float(np.hypot(weight, force))
    tension = _line_pull(assembly, pull)
    share = max(UNEVEN / len(anchors), _crowded(assembly, anchors))
    worst = max(tension or 0.0, share * pull) if len(anchors) > 1 else pull
    take_in = PEOPLE_NEAR_LIMIT_M_S if around.outdoors else None
    return Hanging(
        how="hangs",
        gust_m_s=around.gust_m_s,
        area_m2=shape.area_m2,
        mass_kg=piece.own_kg,
        weight_n=weight,
        force_n=force,
        anchors=len(anchors),
        anchor_n=worst,
        anchor_should_hold_n=ANCHOR_FACTOR * worst,
        anchor_factor=ANCHOR_FACTOR,
        tension_n=tension,
        take_in_gust_m_s=take_in,
        take_in_beaufort=forecast_step(take_in),
    )


def _crowded(assembly: Assembly, anchors: Floats) -> float:
    """Share of all line ends that meet at the fullest point, where more than two meet; else 0."""
    ends = [
        point
        for strand in assembly.strands
        if strand.item == "garland line"
        for point in (strand.path[0], strand.path[-1])
    ]
    if not ends:
        return 0.0
    away = np.linalg.norm(np.asarray(ends)[:, None] - anchors[None], axis=2)
    most = int((away < AT_ANCHOR_M).sum(axis=0).max())
    return most / len(ends) if most > 2 else 0.0


def _line_pull(assembly: Assembly, pull: float) -> float | None:
    """Largest tension of its line [N] under a load of `pull` [N] spread evenly along all lines."""
    lines = [strand.path for strand in assembly.strands if strand.item == "garland line"]
    lines += [part.path for part in assembly.hardware if part.use == "line"]
    points = [np.asarray(path, dtype=float) for path in lines]
    longs = [float(np.linalg.norm(np.diff(path, axis=0), axis=1).sum()) for path in points]
    found = [
        _swag_pull(path, pull * long / sum(longs))
        for path, long in zip(points, longs, strict=True)
        if long > 0.0
    ]
    return max((one for one in found if one is not None), default=None)


def _swag_pull(path: Floats, pull: float) -> float | None:
    """Tension of one line, held only where it peaks and at its ends; None where it is straight."""
    if len(path) < 3:
        return None
    legs = np.linalg.norm(np.diff(path, axis=0), axis=1)
    rises = np.sign(np.diff(path[:, 2]))
    peaks = [at + 1 for at in range(len(rises) - 1) if rises[at] > 0 and rises[at + 1] < 0]
    ends = [0, *peaks, len(path) - 1]
    pulls = []
    for first, last in pairwise(ends):
        across = path[last] - path[first]
        span, rise = float(np.hypot(*across[:2])), float(across[2])
        length = float(legs[first:last].sum())
        if span < 1e-6 or length <= TAUT * float(np.hypot(span, rise)):
            continue
        loads = line_loads(from_span_length(span, length, rise), pull / float(legs.sum()))
        pulls.append(max(loads.tension_left_n, loads.tension_right_n))
    return max(pulls, default=None)
