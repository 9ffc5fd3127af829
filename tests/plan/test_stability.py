"""Standing and hanging: closed forms, symmetry, and what more ballast must do."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.catalog import default_catalog
from airwright.decor.assembly import Assembly, merge
from airwright.physics.wind import PEOPLE_NEAR_LIMIT_M_S
from airwright.plan.answers.wind import wind_answer
from airwright.plan.silhouette import standing
from airwright.plan.stability import Stability, stability
from airwright.plan.strength import Hanging
from airwright.plan.surroundings import EVERYDAY
from airwright.plan.values import PiecePlan
from tests.plan.samples import column, plan

G = 9.80665
OUTSIDE = replace(EVERYDAY, setting="open air", gust_m_s=8.0)
ARCH = (
    '\n[[pieces]]\nname = "Gate"\nkind = "arch"\nwidth = "11 ft"\nheight = "8 ft"\n'
    'body = ["4 x 11in @ 9.5in"]\nshades = ["coral", "sand"]\n'
)
SWAG = (
    '\n[[pieces]]\nname = "Rope"\nkind = "garland"\npath = "swag"\nwidth = "10 ft"\n'
    'height = "8 ft"\nsag = "2 ft"\nshades = ["coral"]\n'
    'mix = [{ balloon = "11in @ 9.5in", share = 1 }]\n'
)


def outdoors(text: str, gust: str = "8 m/s") -> str:
    return text.replace('"indoor" ', '"open air"').replace('"0 m/s"', f'"{gust}"')


def the(text: str, name: str = "Column") -> PiecePlan:
    return plan(text).piece(name)


def stands(piece: PiecePlan) -> Stability:
    assert isinstance(piece.stability, Stability)
    return piece.stability


@pytest.mark.closed_form
def test_a_rectangle_tips_slides_and_asks_ballast_as_statics_says() -> None:
    height, width, mass, base, gust = 2.1, 0.5, 6.0, 0.4, 8.0
    found = wind_answer(height, width, mass, base, OUTSIDE).found
    q = 0.5 * 1.225 * gust**2
    force = q * 1.2 * height * width
    moment = force * height / 2
    ballast = (1.5 * moment / G - mass * base / 2) / (base / 2)
    assert found.area_m2 == pytest.approx(height * width, rel=1e-9)
    assert found.force_n == pytest.approx(force, rel=1e-9)
    assert found.moment_nm == pytest.approx(moment, rel=1e-4)  # midpoint rule in height
    assert found.ballast_needed_kg == pytest.approx(ballast, rel=1e-4)
    on = found.ballast_kg
    per_pascal = 1.2 * height * width
    tips = math.sqrt(2 * (mass + on) * G * base / 2 / (1.225 * per_pascal * height / 2))
    assert found.tips_at_m_s == pytest.approx(tips, rel=1e-4)
    slides = math.sqrt(2 * 0.3 * (mass + on) * G / (1.225 * per_pascal))
    assert found.slides_at_m_s == pytest.approx(slides, rel=1e-9)
    limit = min(tips, slides) / math.sqrt(1.5)
    assert found.take_in_gust_m_s == pytest.approx(min(limit, PEOPLE_NEAR_LIMIT_M_S), rel=1e-4)


@pytest.mark.closed_form
def test_a_push_indoors_asks_ballast_as_statics_says() -> None:
    found = wind_answer(2.0, 0.4, 6.0, 0.4, EVERYDAY).found
    assert found.case == "push"
    assert found.ballast_needed_kg == pytest.approx((1.5 * 25.0 / G - 6.0 * 0.2) / 0.2)
    assert found.take_in_gust_m_s is None


def test_with_the_gust_it_is_taken_in_at_the_factor_is_reached() -> None:
    first = wind_answer(2.1, 0.5, 6.0, 0.6, OUTSIDE, ballast_kg=30.0).found
    assert first.take_in_gust_m_s is not None
    assert first.take_in_gust_m_s < PEOPLE_NEAR_LIMIT_M_S
    there = replace(OUTSIDE, gust_m_s=first.take_in_gust_m_s, push_n=0.0)
    again = wind_answer(2.1, 0.5, 6.0, 0.6, there, ballast_kg=30.0).found
    assert again.factor_reached == pytest.approx(1.5, rel=1e-6)


@given(st.floats(0.0, 200.0), st.floats(0.1, 100.0))
@settings(max_examples=25, deadline=None)
def test_more_ballast_never_tips_earlier(less: float, more: float) -> None:
    light, heavy = (
        wind_answer(2.0, 0.5, 6.0, 0.4, OUTSIDE, ballast_kg=kg).found for kg in (less, less + more)
    )
    assert heavy.tips_at_m_s >= light.tips_at_m_s
    assert heavy.slides_at_m_s >= light.slides_at_m_s
    assert heavy.factor_reached >= light.factor_reached


def test_weights_of_the_silhouette_are_those_of_the_piece() -> None:
    for piece in plan().pieces:
        body = standing(piece.assembly, default_catalog())
        assert body.own_kg == pytest.approx(piece.mass_kg, abs=1e-3)  # strips to the mm


def test_overlaps_are_counted_once() -> None:
    assembly = the(column()).assembly
    double = merge("double", "column", [assembly, assembly])
    once = stability(standing(assembly, default_catalog()), OUTSIDE)
    twice = stability(standing(double, default_catalog()), OUTSIDE)
    assert once is not None
    assert twice is not None
    assert twice.area_m2 == pytest.approx(once.area_m2, rel=1e-9)
    circles = float(np.pi * (assembly.radius**2).sum())
    assert once.area_m2 < 0.7 * circles


def mirrored(assembly: Assembly) -> Assembly:
    flip = np.array([-1.0, 1.0, 1.0])
    return replace(
        assembly,
        centre=assembly.centre * flip,
        axis=assembly.axis * flip,
        hardware=tuple(
            replace(part, path=tuple((-x, y, z) for x, y, z in part.path))
            for part in assembly.hardware
        ),
        strands=tuple(
            replace(part, path=tuple((-x, y, z) for x, y, z in part.path))
            for part in assembly.strands
        ),
    )


@pytest.mark.parametrize("text", [column(), column() + ARCH])
def test_turning_and_mirroring_change_nothing(text: str) -> None:
    assembly = plan(text).pieces[-1].assembly
    first = stability(standing(assembly, default_catalog()), OUTSIDE)
    assert first is not None
    turned = [assembly.moved((0.0, 0.0, 0.0), angle) for angle in (0.3, 1.2, np.pi / 2, 2.9)]
    for other in (*turned, mirrored(assembly), assembly.moved((3.0, -2.0, 0.0))):
        found = stability(standing(other, default_catalog()), OUTSIDE)
        assert found is not None
        assert found.area_m2 == pytest.approx(first.area_m2, rel=5e-3)
        assert found.ballast_needed_kg == pytest.approx(first.ballast_needed_kg, rel=5e-3)
        assert found.tips_at_m_s == pytest.approx(first.tips_at_m_s, rel=5e-3)


def test_an_arch_tips_over_its_front_not_along_its_feet() -> None:
    piece = the(column() + ARCH, "Gate")
    body = standing(piece.assembly, default_catalog())
    found = stability(body, OUTSIDE)
    assert found is not None
    assert found.bases == 2
    radius = float(body.base_radius_m[0])
    front = (1.5 * found.moment_nm / G - body.own_kg * radius) / radius
    assert found.ballast_needed_kg == pytest.approx(front, rel=0.02)


def test_stronger_gusts_ask_more_ballast() -> None:
    needed = [
        stands(the(outdoors(column(), gust))).ballast_needed_kg
        for gust in ("4 m/s", "8 m/s", "12 m/s")
    ]
    assert needed == sorted(needed)
    assert needed[0] < needed[-1]


def test_lift_makes_a_piece_lighter_on_its_base() -> None:
    assembly = the(column()).assembly
    lift = np.full(len(assembly), 0.005)
    plain, lifted = (
        standing(assembly, default_catalog()),
        standing(assembly, default_catalog(), lift),
    )
    assert lifted.own_kg == pytest.approx(plain.own_kg - 0.005 * len(assembly))
    first, second = stability(plain, OUTSIDE), stability(lifted, OUTSIDE)
    assert first is not None
    assert second is not None
    assert second.tips_bare_m_s < first.tips_bare_m_s


def test_ballast_goes_to_the_needs_times_the_count() -> None:
    text = column(count="3")
    made = plan(text)
    needs = {need.item: need for need in made.needs}
    per_piece = stands(made.pieces[0]).ballast_kg
    assert needs["water or sand for the bases"].total == pytest.approx(3 * per_piece)
    assert needs["water or sand for the bases"].purchase == 0


@pytest.mark.closed_form
def test_a_flat_swag_pulls_as_a_parabola_does() -> None:
    piece = the(column() + SWAG, "Rope")
    hung = piece.stability
    assert isinstance(hung, Hanging)
    assert hung.tension_n is not None
    span, sag = 10 * 0.3048, 2 * 0.3048
    load = math.hypot(hung.weight_n, hung.force_n) / span
    across = load * span**2 / (8 * sag)
    at_end = math.hypot(across, load * span / 2)
    # a parabola spreads its load along the span, a catenary along its own length: 5 % apart here
    assert hung.tension_n == pytest.approx(at_end, rel=0.05)
    assert hung.anchor_should_hold_n == pytest.approx(3 * hung.anchor_n)


def test_outdoors_a_piece_is_taken_in_before_it_tips() -> None:
    found = stands(the(outdoors(column(), "6 m/s")))
    assert found.take_in_gust_m_s is not None
    assert found.take_in_gust_m_s <= min(found.tips_at_m_s, found.slides_at_m_s)
    assert found.take_in_gust_m_s <= PEOPLE_NEAR_LIMIT_M_S
    assert found.take_in_beaufort in range(6)
