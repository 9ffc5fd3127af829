"""Wind, outlines, tipping and lines: symmetries and limits."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from airwright.physics import catenary as cat
from airwright.physics import drag, tether, wind
from airwright.physics import overturning as over
from airwright.physics.errors import PhysicsError

SEEDS = st.integers(0, 10_000)


def cloud(seed: int, n: int = 60) -> tuple[over.Floats, over.Floats]:
    rng = np.random.default_rng(seed)
    centre = rng.uniform([-0.6, -0.6, 0.1], [0.6, 0.6, 2.2], (n, 3))
    return centre, rng.uniform(0.04, 0.16, n)


def seen(centre: over.Floats, radius: over.Floats, azimuth: float = 0.0) -> over.Outline:
    return over.outline(over.across_wind(centre, azimuth), centre[:, 2], radius)


@given(seed=SEEDS)
def test_outline_does_not_care_for_mirror_order_or_shift(seed: int) -> None:
    centre, radius = cloud(seed)
    base = seen(centre, radius)
    mirrored = seen(centre * [-1, 1, 1], radius)
    order = np.random.default_rng(seed + 1).permutation(len(radius))
    shuffled = seen(centre[order], radius[order])
    shifted = seen(centre + np.array([3.0, -2.0, 0.0]), radius)
    for other in (mirrored, shuffled, shifted):
        assert other.width_m == pytest.approx(base.width_m, abs=1e-9)
    assert base.area_m2 <= np.pi * (radius**2).sum() * (1 + 1e-3)


@given(seed=SEEDS, turn=st.floats(-3.1, 3.1))
def test_turning_piece_and_wind_together_changes_nothing(seed: int, turn: float) -> None:
    centre, radius = cloud(seed, 20)
    c, s = np.cos(turn), np.sin(turn)
    turned = centre @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    assert seen(turned, radius, turn).width_m == pytest.approx(
        seen(centre, radius).width_m, abs=1e-9
    )


@given(seed=SEEDS)
def test_one_more_balloon_never_shrinks_the_outline(seed: int) -> None:
    centre, radius = cloud(seed)
    keep = np.argsort(centre[:, 2])  # lowest and highest stay, so the strips stay the same
    inner = keep[len(keep) // 2]
    low, high = (centre[:, 2] - radius).min(), (centre[:, 2] + radius).max()
    rest = np.delete(np.arange(len(radius)), inner)
    assume((centre[rest, 2] - radius[rest]).min() <= low)
    assume((centre[rest, 2] + radius[rest]).max() >= high)
    fewer, more = seen(centre[rest], radius[rest]), seen(centre, radius)
    assert np.all(more.width_m >= fewer.width_m - 1e-9)


def test_hidden_balloon_catches_no_wind() -> None:
    centre = np.array([[0.0, 0.0, 1.0], [0.0, 0.5, 1.0]])
    both = seen(centre, np.array([0.3, 0.1]))
    alone = seen(centre[:1], np.array([0.3]))
    assert both.area_m2 == pytest.approx(alone.area_m2)
    empty = over.outline(np.zeros(0), np.zeros(0), np.zeros(0))
    assert (empty.area_m2, empty.centroid_m) == (0.0, 0.0)
    assert over.wind_load(empty, 50.0, 1.2) == (0.0, 0.0)


@given(mass=st.floats(0.0, 100.0), more=st.floats(0.0, 50.0), lever=st.floats(0.05, 1.0))
def test_more_ballast_never_tips_earlier(mass: float, more: float, lever: float) -> None:
    load = 1.3
    gusts = [
        float(over.gust_at_limit(load, over.holding_moment(m, lever))) for m in (mass, mass + more)
    ]
    assert gusts[1] >= gusts[0]


@given(v=st.floats(1.0, 30.0), lever=st.floats(0.1, 1.0), factor=st.floats(1.0, 3.0))
def test_ballast_asked_for_holds_with_its_factor(v: float, lever: float, factor: float) -> None:
    load = 1.1
    moment = load * float(wind.velocity_pressure(v))
    mass = over.ballast_needed(moment, lever, factor)
    held = over.holding_moment(mass, lever)
    assert float(held) == pytest.approx(factor * moment)
    assert float(over.gust_at_limit(load, held)) == pytest.approx(v * np.sqrt(factor))
    wide = over.footprint_needed(moment, mass, factor)
    assert float(wide) == pytest.approx(lever)


def test_lift_counts_against_the_base() -> None:
    with_lift = over.holding_moment(np.array([5.0, -0.5]), np.array([0.3, 0.3]))
    assert with_lift < over.holding_moment(5.0, 0.3)
    assert over.gust_at_limit(1.0, -3.0) == 0.0
    assert np.isinf(over.gust_at_limit(0.0, 3.0))


@given(v=st.floats(0.0, 40.0), k=st.floats(1.0, 2.0))
def test_pressure_goes_with_the_square(v: float, k: float) -> None:
    assert wind.velocity_pressure(k * v) == pytest.approx(k**2 * wind.velocity_pressure(v))


@given(a=st.floats(0.0, 90.0), b=st.floats(0.0, 90.0))
def test_beaufort_rises_with_the_wind(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert wind.beaufort(low).number <= wind.beaufort(high).number


@given(span=st.floats(0.5, 20.0), slack=st.floats(1.01, 4.0), share=st.floats(-0.6, 0.6))
def test_mirrored_anchors_mirror_the_line(span: float, slack: float, share: float) -> None:
    rise = share * span
    length = slack * float(np.hypot(span, rise))
    one, other = (cat.from_span_length(span, length, r, -1) for r in (rise, -rise))
    assert one.a == pytest.approx(other.a)
    assert one.x0 == pytest.approx(span - other.x0, abs=1e-9 * span + 1e-9)
    assert one.vertex_m == pytest.approx(other.vertex_m + rise, abs=1e-7 * length)
    assert cat.catenary_points(one)[:, 1].max() <= one.vertex_m + 1e-9


def test_breeze_lowers_an_arch() -> None:
    line = cat.from_span_length(4.0, 7.0, 0.0, -1)
    blown = cat.blown_line(line, 2.0, np.array([0.0, 0.5, 2.0, 5.0]))
    assert blown.height_m[0] == pytest.approx(line.sag)
    assert np.all(np.diff(blown.height_m) < 0)
    assert np.all(np.diff(blown.drift_m) > 0)
    assert np.hypot(blown.height_m, blown.drift_m) == pytest.approx(np.full(4, line.sag))


def test_a_counterweight_outweighs_its_pull() -> None:
    assert tether.counterweight(0.01) == pytest.approx(0.015)
    assert tether.counterweight(-0.01) == 0.0
    assert tether.ribbon_mass(2.0, 0.001) == pytest.approx(0.002)


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: wind.velocity_pressure(-1.0), "physics.wind-speed"),
        (lambda: wind.beaufort(300.0), "physics.wind-speed"),
        (lambda: drag.sphere_drag_coefficient(1e9), "physics.out-of-range"),
        (lambda: drag.sphere_drag_coefficient(1e4, "guess"), "physics.unknown-method"),
        (lambda: over.ballast_needed(10.0, 0.0), "physics.out-of-range"),
        (lambda: over.ballast_needed(10.0, 0.3, 0.5), "physics.out-of-range"),
        (lambda: over.sliding_ballast(10.0, friction=0.0), "physics.out-of-range"),
        (lambda: over.outline(np.zeros(1), np.zeros(1), np.zeros(1)), "physics.out-of-range"),
        (lambda: cat.from_span_length(4.0, 3.9), "physics.out-of-range"),
        (lambda: cat.from_span_length(0.0, 3.9), "physics.out-of-range"),
    ],
)
def test_questions_refused(ask: object, code: str) -> None:
    with pytest.raises(PhysicsError) as caught:
        ask()  # type: ignore[operator]
    assert caught.value.code == code
    assert caught.value.cure
