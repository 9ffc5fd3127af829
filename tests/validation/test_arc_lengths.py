"""Arc lengths of the curves that decor follows.

Catenary: Beer & Johnston, Vector Mechanics for Engineers: Statics, sample problem 7.10
(remembered: span 500 ft, sag 100 ft, c = 328 ft, length 550 ft), and a worked example found in
a mathematics forum (through (±10, 6) above the vertex, a = 9.1889). Ellipse: perimeter 4 a E(m)
by scipy's complete elliptic integral, 10 digits. Parabola: the textbook's closed form. All
other values derived: closed forms computed here on their own.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.special import ellipe

from airwright.decor.armatures import Catenary, HalfEllipse, Parabola, half_circle, rounded_square
from tests.validation.conftest import Compare

FOOT = 0.3048


@pytest.mark.published
def test_catenary_through_two_points(compare: Compare) -> None:
    compare(
        Catenary(20, 6).parameter_m,
        9.1889,
        atol=5e-5,
        source="worked example: a catenary through (±10, 6) above its vertex",
        what="parameter of the catenary",
        unit="m",
    )


@pytest.mark.from_memory
def test_catenary_of_a_textbook_cable(compare: Compare) -> None:
    cable = Catenary(500 * FOOT, 100 * FOOT, hanging=True)
    source = "Beer & Johnston, Statics, sample 7.10 (remembered)"
    compare(cable.parameter_m / FOOT, 328, atol=0.5, source=source, what="parameter c", unit="ft")
    compare(cable.length_m / FOOT, 550, atol=0.5, source=source, what="cable length", unit="ft")


@pytest.mark.closed_form
def test_catenary_from_span_and_sag(compare: Compare) -> None:
    swag = Catenary(4, 2, hanging=True)
    source = "h = a (cosh(w/2a) - 1), S = 2 a sinh(w/2a), solved on their own"
    compare(swag.parameter_m, 1.237518, atol=5e-7, source=source, what="parameter", unit="m")
    compare(swag.length_m, 5.983335, atol=5e-7, source=source, what="length", unit="m")
    tangent = swag.tangent(np.array([swag.length_m]))[0]
    angle = float(np.degrees(np.arctan2(tangent[2], tangent[0])))
    compare(angle, 67.527, atol=5e-4, source=source, what="slope at its end", unit="degrees")


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("a", "b", "perimeter"),
    [
        (2.0, 1.0, 9.6884482205),
        (3.0, 2.0, 15.8654395893),
        (5.0, 3.0, 25.5269988634),
        (10.0, 1.0, 40.6397418010),
    ],
)
def test_ellipse_perimeters(a: float, b: float, perimeter: float, compare: Compare) -> None:
    for half_width, height in ((a, b), (b, a)):  # lying and standing
        compare(
            2 * HalfEllipse(2 * half_width, height).length_m,
            perimeter,
            atol=1e-9,
            source="4 a E(1 - b²/a²), scipy's complete elliptic integral",
            what=f"perimeter of an ellipse with half axes {half_width:g} and {height:g}",
            unit="m",
        )


@pytest.mark.closed_form
def test_ellipse_against_a_quadrature_of_our_own_making(compare: Compare) -> None:
    angle, share = 0.7, HalfEllipse(4.2, 1.9)
    length, _ = quad(lambda t: np.hypot(2.1 * np.sin(t), 1.9 * np.cos(t)), 0, angle, epsabs=1e-12)
    point = share.position(np.array([length]))[0]
    compare(
        point[[0, 2]],
        np.array([-2.1 * np.cos(angle), 1.9 * np.sin(angle)]),
        atol=1e-9,
        source="quadrature of the speed",
        what="point at that arc length of a half-ellipse",
        unit="m",
    )
    assert 4 * 2.1 * ellipe(1 - (1.9 / 2.1) ** 2) / 2 == pytest.approx(share.length_m, abs=1e-9)


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("span", "rise", "length"), [(3.0, 2.4, 5.9101024395), (10.0, 3.0, 12.0434710683)]
)
def test_parabola(span: float, rise: float, length: float, compare: Compare) -> None:
    compare(
        Parabola(span, rise).length_m,
        length,
        atol=1e-9,
        source="(L/2)(√(1+k²) + asinh(k)/k), k = 4h/L; quadrature agrees",
        what=f"length of a parabola {span:g} wide and {rise:g} high",
        unit="m",
    )


@pytest.mark.closed_form
def test_circles_and_straights(compare: Compare) -> None:
    source = "sums of straight pieces and r·angle"
    radius, half = (2**2 + 1**2) / 2, np.arcsin(2 / 2.5)
    for curve, length, what in (
        (half_circle(2, 1), np.pi, "half circle"),
        (half_circle(2, 3), np.pi + 4, "half circle on legs"),
        (half_circle(4, 1), 2 * radius * half, "segment of a circle"),
        (rounded_square(3, 2, 0.5), 2 * 1.5 + 2 + np.pi * 0.5, "rounded square"),
    ):
        compare(curve.length_m, float(length), atol=1e-9, source=source, what=what, unit="m")
