"""The arch that a string of floating balloons takes between two weights."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.language import message
from airwright.physics.air import air_viscosity
from airwright.physics.catenary import blown_line, catenary_points, from_span_length, line_loads
from airwright.physics.drag import drag_force, reynolds, sphere_drag_coefficient
from airwright.physics.errors import OutOfRangeError, require
from airwright.physics.tether import WEIGHT_FACTOR
from airwright.physics.types import Floats
from airwright.physics.wind import CODE_AIR_KG_M3, velocity_pressure
from airwright.plan.answers.base import Answer
from airwright.units import GRAVITY_M_S2


@dataclass(frozen=True, slots=True)
class StringAnswer(Answer):
    """A buoyant line between two level anchors.

    Attributes:
        span_m, length_m: between the anchors, and along the line [m].
        balloons, net_lift_kg: on it, and net lift of one [kg].
        line_kg: the line itself [kg].
        lift_n_m: net lift a metre of line, line subtracted [N/m].
        height_m: top of the line above the anchors, still air [m].
        tension_n, horizontal_n, upward_n: at an anchor, still air [N].
        breeze_m_s, tilt_rad, blown_height_m, drift_m: in the breeze across it [m/s], [rad], [m].
        blown_tension_n: at an anchor in the breeze [N].
        weight_kg: on each anchor, against lifting off and sliding, with the factor [kg].
        friction, weight_factor: reckoned with [-].
        residual: of the line's length [-].
    """

    span_m: float
    length_m: float
    balloons: int
    net_lift_kg: float
    line_kg: float
    lift_n_m: float
    height_m: float
    tension_n: float
    horizontal_n: float
    upward_n: float
    breeze_m_s: float
    tilt_rad: float
    blown_height_m: float
    drift_m: float
    blown_tension_n: float
    weight_kg: float
    friction: float
    weight_factor: float
    residual: float
    doubts: tuple[str, ...]


def string_answer(
    span_m: float,
    length_m: float,
    balloons: int,
    net_lift_kg: float,
    across_m: float,
    *,
    line_kg_m: float = 0.0006,
    breeze_m_s: float = 0.0,
    friction: float = 0.3,
    factor: float = WEIGHT_FACTOR,
) -> StringAnswer:
    """Reckon one string.

    Args:
        span_m, length_m: between the anchors, along the line [m].
        balloons: on the line, evenly spread.
        net_lift_kg: of one balloon [kg].
        across_m: its diameter [m].
        line_kg_m: mass of the line a metre [kg/m].
        breeze_m_s: wind across the arch [m/s].
        friction: between anchors and floor [-].
        factor: weight over what pulls [-].

    Raises:
        PhysicsError: a line shorter than its span, balloons that lift nothing, out of range.
    """
    require("span", span_m, "10 cm to 200 m.", low=0.1, high=200.0, unit="m")
    require("length of the line", length_m, "10 cm to 2 km.", low=0.1, high=2000.0, unit="m")
    lift = (balloons * net_lift_kg / length_m - line_kg_m) * GRAVITY_M_S2
    if lift <= 0.0:
        raise OutOfRangeError(
            "net lift a metre of line",
            float(lift),
            message("This string does not float: fill larger, or put more balloons on it."),
            unit="N/m",
        )
    require(
        "friction",
        friction,
        message("Give 0.3 for a smooth floor, 0.1 for a wet one."),
        low=0.05,
        high=1.5,
    )
    line = from_span_length(span_m, length_m, 0.0, sign=-1)
    still = line_loads(line, lift)
    q = velocity_pressure(breeze_m_s)
    side = 0.0
    if breeze_m_s > 0:
        speed = reynolds(breeze_m_s, across_m, CODE_AIR_KG_M3, air_viscosity(20.0))
        each = drag_force(sphere_drag_coefficient(speed), np.pi / 4 * across_m**2, q)
        side = float(each) * balloons / length_m
    blown = blown_line(line, lift, side)
    loads = line_loads(line, float(blown.load_n_m))
    tilt = float(blown.tilt_rad)
    up = loads.vertical_left_n * float(np.cos(tilt))
    along = float(np.hypot(loads.horizontal_n, loads.vertical_left_n * np.sin(tilt)))
    return StringAnswer(
        span_m=span_m,
        length_m=length_m,
        balloons=balloons,
        net_lift_kg=net_lift_kg,
        line_kg=line_kg_m * length_m,
        lift_n_m=float(lift),
        height_m=line.sag,
        tension_n=still.tension_left_n,
        horizontal_n=still.horizontal_n,
        upward_n=still.vertical_left_n,
        breeze_m_s=breeze_m_s,
        tilt_rad=tilt,
        blown_height_m=float(blown.height_m),
        drift_m=float(blown.drift_m),
        blown_tension_n=loads.tension_left_n,
        weight_kg=factor * (up + along / friction) / GRAVITY_M_S2,
        friction=friction,
        weight_factor=factor,
        residual=line.residual,
        doubts=(
            message(
                "The lift is taken as spread evenly; balloons in clusters make corners "
                "in the curve."
            ),
            message(
                "The breeze is taken as even along the arch; gusts jerk, so take it in "
                "before they do."
            ),
        ),
    )


def string_points(span_m: float, length_m: float, points: int = 65) -> Floats:
    """Points (n, 2) of the arch [m], for a chart."""
    return catenary_points(from_span_length(span_m, length_m, 0.0, sign=-1), points)
