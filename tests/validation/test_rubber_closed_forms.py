"""Pressure maxima and minima of the membrane models in closed form.

Sources of the forms: Ogden 1972, Gent 1996/1999, Müller and Strehlow 2004 (constants from
memory), and the printed Mooney-Rivlin formula of an open finite-element code's example.
"""

from __future__ import annotations

import numpy as np
import pytest

from airwright.physics import rubber
from tests.validation.conftest import Compare

WIDE = 7.0


def model(family: str, constants: tuple[float, ...], highest: float = WIDE) -> rubber.RubberModel:
    return rubber.RubberModel(family, family, constants, 1.0, highest, "test")


@pytest.mark.closed_form
def test_neo_hookean_maximum(compare: Compare) -> None:
    ((kind, stretch, value),) = rubber.pressure_extrema(model("neo-hookean", (1.0,)))
    assert kind == "max"
    compare(
        stretch,
        7 ** (1 / 6),
        rtol=1e-6,
        source="derivative set to zero",
        what="neo-Hooke: stretch at peak",
        unit="-",
    )
    compare(
        value,
        12 / 7 * 7 ** (-1 / 6),
        rtol=1e-9,
        source="derivative set to zero",
        what="neo-Hooke: p R0/(mu H0)",
        unit="-",
    )


@pytest.mark.closed_form
def test_mooney_rivlin_extrema(compare: Compare) -> None:
    peak, dip = rubber.pressure_extrema(model("mooney-rivlin", (1.0, 0.1)))
    source = "Mooney-Rivlin membrane, derivative set to zero"
    compare(
        np.array(peak[1:]),
        np.array([1.4761, 4 * 0.74531]),
        rtol=1e-4,
        source=source,
        what="C2/C1 = 0.1: peak",
        unit="-",
    )
    compare(
        np.array(dip[1:]),
        np.array([3.1426, 4 * 0.63181]),
        rtol=1e-4,
        source=source,
        what="C2/C1 = 0.1: dip",
        unit="-",
    )


@pytest.mark.closed_form
def test_mooney_rivlin_loses_its_peak() -> None:
    """Critical ratio 0.214458 (literature: 0.2145)."""
    assert len(rubber.pressure_extrema(model("mooney-rivlin", (1.0, 0.2143)))) == 2
    assert rubber.pressure_extrema(model("mooney-rivlin", (1.0, 0.2147))) == ()


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("jm", "peak", "dip", "limit"),
    [
        (97.2, (1.3977, 1.25408), (4.085, 0.71202), 7.0781),
        (30.0, (1.4451, None), (2.318, None), 4.0618),
    ],
)
def test_gent(
    jm: float,
    peak: tuple[float, float | None],
    dip: tuple[float, float | None],
    limit: float,
    compare: Compare,
) -> None:
    source = f"Gent membrane, Jm = {jm:g}"
    compare(
        float(rubber.gent_limit(jm)),
        limit,
        rtol=2e-5,
        source=source,
        what="locking stretch",
        unit="-",
    )
    found = rubber.pressure_extrema(model("gent", (1.0, jm)))
    for (_, stretch, value), (at, height) in zip(found, (peak, dip), strict=True):
        compare(stretch, at, rtol=2e-4, source=source, what="stretch at extremum", unit="-")
        if height is not None:
            compare(
                value, height, rtol=1e-4, source=source, what="p R0/(mu H0) at extremum", unit="-"
            )


@pytest.mark.closed_form
def test_gent_loses_its_peak() -> None:
    """Critical Jm 17.638; Gent 1999 says 17.6."""
    assert len(rubber.pressure_extrema(model("gent", (1.0, 17.7)))) == 2
    assert rubber.pressure_extrema(model("gent", (1.0, 17.6))) == ()


@pytest.mark.from_memory
def test_ogden_constants_for_treloar(compare: Compare) -> None:
    peak, dip = rubber.pressure_extrema(rubber.rubber_model("ogden"))
    source = "Ogden 1972, constants remembered"
    compare(peak[1], 1.374, atol=5e-4, source=source, what="stretch at peak", unit="-")
    compare(peak[2] / 1e6, 0.53879, rtol=1e-4, source=source, what="p R0/H0 at peak", unit="MPa")
    compare(dip[1], 4.3203, atol=5e-4, source=source, what="stretch at dip", unit="-")
    compare(dip[2] / 1e6, 0.2310, rtol=1e-3, source=source, what="p R0/H0 at dip", unit="MPa")
    mu, alpha = np.array(rubber.MODELS["ogden"].constants).reshape(3, 2).T
    compare(
        float(0.5 * (mu * alpha).sum()) / 1e6,
        0.41433,
        rtol=1e-4,
        source=source,
        what="initial shear modulus",
        unit="MPa",
    )


@pytest.mark.from_memory
def test_mueller_strehlow_balloon(compare: Compare) -> None:
    stretch = np.array([1.2, 1.5, 2.0, 3.0, 5.0])
    p = rubber.sphere_pressure(stretch, 0.2e-3, 30e-3, rubber.rubber_model("mooney-rivlin"))
    # rounding to whole pascal in the table; s1 = 3 bar is 2 C1, s-1 = -0.3 bar is -2 C2
    compare(
        p,
        np.array([2536.0, 2980, 2756, 2530, 2800]),
        atol=1.0,
        source="Müller and Strehlow 2004, constants remembered",
        what="pressure of a 0.2 mm, 30 mm balloon",
        unit="Pa",
    )


@pytest.mark.from_memory
def test_toy_balloon_band() -> None:
    """Several kPa, at most about 5: a physics-olympiad task and an amateur measurement."""
    from airwright.physics import inflation

    balloon = inflation.skin(0.2794, 0.0028, 0.0991)
    state = inflation.inflate(balloon, np.array([0.2, 0.24, 0.27]))
    assert np.all(state.excess_pa * (1 + inflation.PRESSURE_DOUBT) > 1500)
    assert np.all(state.excess_pa * (1 - inflation.PRESSURE_DOUBT) < 5000)
