"""Kubelka and Munk's films: closed forms, and quinacridone rose after Curtis et al. 1997.

The closed forms are computed here once more by other means (two coupled differential equations
for the film, a sum over the light's ways to and fro for two films).  The constants of
quinacridone rose (K 0.22 1.47 0.57, S 0.05 0.003 0.03) were read in a public shader's comment.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_bvp

from airwright.physics.films import Film, before, film, over
from tests.validation.conftest import Compare

KM = "Kubelka and Munk, closed form"
ROSE_K, ROSE_S = np.array([0.22, 1.47, 0.57]), np.array([0.05, 0.003, 0.03])


def by_fluxes(k: float, s: float, x: float) -> tuple[float, float]:
    """R and T from the differential equations of the two fluxes, solved numerically."""

    def flow(_depth: np.ndarray, light: np.ndarray) -> np.ndarray:
        down, up = light
        return np.vstack([-(k + s) * down + s * up, (k + s) * up - s * down])

    def ends(top: np.ndarray, bottom: np.ndarray) -> np.ndarray:
        return np.array([top[0] - 1.0, bottom[1]])

    depth = np.linspace(0.0, x, 60)
    found = solve_bvp(flow, ends, depth, np.full((2, 60), 0.5), tol=1e-9, max_nodes=20000)
    assert found.success
    return float(found.sol(0.0)[1]), float(found.sol(x)[0])


@pytest.mark.closed_form
@pytest.mark.parametrize(("k", "s", "x"), [(0.5, 1.0, 1.0), (0.1, 0.4, 1.0), (2.0, 0.3, 0.7)])
def test_a_film_is_what_its_two_fluxes_come_to(
    compare: Compare, k: float, s: float, x: float
) -> None:
    made = film(k, s, x)
    reflects, through = by_fluxes(k, s, x)
    what = f"film K {k:g} S {s:g} X {x:g}"
    compare(float(made.reflects), reflects, rtol=1e-6, source=KM, what=f"{what}: R", unit="-")
    compare(float(made.lets_through), through, rtol=1e-6, source=KM, what=f"{what}: T", unit="-")


@pytest.mark.closed_form
def test_limits_without_absorption_and_without_scattering(compare: Compare) -> None:
    white = film(0.0, 0.7, 1.0)
    compare(float(white.reflects), 0.7 / 1.7, rtol=1e-6, source=KM, what="R = S/(1+S)", unit="-")
    assert float(white.reflects + white.lets_through) == pytest.approx(1.0, abs=1e-6)
    clear = film(0.5, 0.0, 1.0)
    compare(float(clear.lets_through), float(np.exp(-0.5)), rtol=1e-9,
            source="Beer and Lambert", what="T without scattering", unit="-")  # fmt: skip
    assert float(clear.reflects) == 0.0


@pytest.mark.published
def test_quinacridone_rose(compare: Compare) -> None:
    made = film(ROSE_K, ROSE_S, 1.0)
    rows = ((0, 0.0386591, 0.7641835, 0.6461194), (1, 0.0009648, 0.2292372, 0.0535653))
    for band, reflects, through, on_white in rows:
        source = "Curtis et al. 1997, constants of quinacridone rose"
        compare(float(made.reflects[band]), reflects, rtol=2e-4, source=source,
                what=f"R, band {band}", unit="-")  # fmt: skip
        compare(float(made.lets_through[band]), through, rtol=1e-5, source=source,
                what=f"T, band {band}", unit="-")  # fmt: skip
        compare(float(before(made, 1.0)[band]), on_white, rtol=1e-5, source=source,
                what=f"over white, band {band}", unit="-")  # fmt: skip


@pytest.mark.closed_form
@pytest.mark.parametrize("thickness", [0.5, 1.0, 2.0])
def test_two_layers_are_one_twice_as_thick(compare: Compare, thickness: float) -> None:
    layer = film(ROSE_K, ROSE_S, thickness)
    twice, one = over(layer, layer), film(ROSE_K, ROSE_S, 2 * thickness)
    compare(float(twice.reflects[0]), float(one.reflects[0]), rtol=1e-12, source=KM,
            what=f"two layers X {thickness:g} as one", unit="-")  # fmt: skip
    np.testing.assert_allclose(twice.lets_through, one.lets_through, rtol=1e-12)


@pytest.mark.closed_form
def test_two_unlike_films(compare: Compare) -> None:
    outer, inner = film(0.1, 0.4, 1.0), film(0.8, 0.6, 1.0)
    both, swapped = over(outer, inner), over(inner, outer)
    # the light's ways to and fro, summed one by one
    r1, t1 = float(outer.reflects), float(outer.lets_through)
    r2, t2 = float(inner.reflects), float(inner.lets_through)
    back = r1 + sum(t1 * t1 * r2 * (r1 * r2) ** n for n in range(200))
    through = sum(t1 * t2 * (r1 * r2) ** n for n in range(200))
    compare(float(both.reflects), back, rtol=1e-12, source=KM, what="two films, R", unit="-")
    compare(float(both.lets_through), through, rtol=1e-12, source=KM, what="two films, T", unit="-")
    compare(float(both.reflects), 0.352709, atol=1e-6, source=KM, what="R12", unit="-")
    compare(float(before(both, 1.0)), 0.404572, atol=1e-6, source=KM, what="over white", unit="-")
    # swapping the films changes what comes back, not what comes through
    assert float(swapped.lets_through) == pytest.approx(through)
    assert abs(float(swapped.reflects) - back) > 0.05


@pytest.mark.closed_form
def test_a_stretched_film(compare: Compare) -> None:
    made = film(0.5, 1.0, 1.0 / 2.0**2)  # stretched twofold both ways: a quarter as thick
    compare(float(made.reflects), 0.178456, atol=1e-6, source=KM, what="stretch 2: R", unit="-")
    compare(float(made.lets_through), 0.704613, atol=1e-6, source=KM, what="stretch 2: T",
            unit="-")  # fmt: skip
    compare(float(before(made, 1.0)), 0.782780, atol=1e-6, source=KM, what="stretch 2 on white",
            unit="-")  # fmt: skip


@pytest.mark.closed_form
def test_no_light_is_made() -> None:
    rng = np.random.default_rng(11)
    k, s, x = (10.0 ** rng.uniform(-3, 2, 2000) for _ in range(3))
    one = film(k, s, x)
    other = Film(one.reflects[::-1], one.lets_through[::-1])
    for made in (one, over(one, other)):
        total = made.reflects + made.lets_through
        assert np.all(total <= 1.0 + 1e-9)
        assert np.all(made.reflects >= 0.0)
        assert np.all(made.lets_through >= 0.0)
