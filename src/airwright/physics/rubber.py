"""Rubber membranes: the pressure in a thin sphere for a registry of material models.

A sphere of slack radius R0 and wall H0, blown up to the stretch L = R/R0, holds the excess
pressure p = (H0/R0) f(L). Every model is its reduced curve f(L) [Pa] with the range of
stretch in which it may be trusted.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import numpy as np

from airwright.physics.errors import OutOfRangeError, UnknownMethodError, require
from airwright.physics.types import Floats, Real

RUBBER_KG_M3 = 930.0
"""Density of natural rubber film, 910 to 930 in handbooks. From memory."""


@dataclass(frozen=True)
class RubberModel:
    """One material: a family, its constants, the stretch it holds for, and whence."""

    name: str
    family: str
    constants: tuple[float, ...]
    lowest: float
    highest: float
    source: str


def _neo_hookean(stretch: Floats, c: tuple[float, ...]) -> Floats:
    return np.asarray(2.0 * c[0] * (stretch**-1 - stretch**-7))


def _mooney_rivlin(stretch: Floats, c: tuple[float, ...]) -> Floats:
    return np.asarray(4.0 * (stretch**-1 - stretch**-7) * (c[0] + c[1] * stretch**2))


def _gent(stretch: Floats, c: tuple[float, ...]) -> Floats:
    room = c[1] - (2.0 * stretch**2 + stretch**-4 - 3.0)
    return np.asarray(2.0 * c[0] * (stretch**-1 - stretch**-7) * c[1] / room)


def _ogden(stretch: Floats, c: tuple[float, ...]) -> Floats:
    total = np.zeros_like(stretch)
    for mu, alpha in zip(c[0::2], c[1::2], strict=True):
        total += mu * (stretch ** (alpha - 3.0) - stretch ** (-2.0 * alpha - 3.0))
    return 2.0 * total


FAMILIES: dict[str, Callable[[Floats, tuple[float, ...]], Floats]] = {
    "neo-hookean": _neo_hookean,
    "mooney-rivlin": _mooney_rivlin,
    "gent": _gent,
    "ogden": _ogden,
}
"""Family -> reduced curve f(stretch, constants)."""

_KGF_CM2 = 98_066.5

MODELS: dict[str, RubberModel] = {
    m.name: m
    for m in (
        RubberModel(
            "neo-hookean",
            "neo-hookean",
            (0.333e6,),
            1.0,
            2.0,
            "fit of Treloar 1944 uniaxial data up to a stretch of 2",
        ),
        RubberModel(
            "mooney-rivlin",
            "mooney-rivlin",
            (0.15e6, 0.015e6),
            1.0,
            5.0,
            "Müller and Strehlow, Rubber and Rubber Balloons (2004), s1 = 3 bar; from memory",
        ),
        RubberModel(
            "gent",
            "gent",
            (0.248e6, 79.45),
            1.0,
            6.3,
            "least-squares fit of Treloar 1944 uniaxial data (Gent 1996 form)",
        ),
        RubberModel(
            "ogden",
            "ogden",
            (6.3 * _KGF_CM2, 1.3, 0.012 * _KGF_CM2, 5.0, -0.1 * _KGF_CM2, -2.0),
            1.0,
            7.0,
            "Ogden 1972, constants for Treloar's data; from memory, checked on the data",
        ),
    )
}
"""The registry; `sphere_curve` dispatches from it."""


def rubber_model(name: str) -> RubberModel:
    """Look a model up in the registry.

    Formula: none, a look-up.

    Parameters
    ----------
    name : str
        "neo-hookean", "mooney-rivlin", "gent" or "ogden".

    Returns
    -------
    model : RubberModel
        Family, constants, range and source.

    Validity
    --------
    Registered names; else UnknownMethodError.

    References
    ----------
    [1] `MODELS`.
    """
    if name not in MODELS:
        raise UnknownMethodError("rubber model", name, f"Choose one of {', '.join(MODELS)}.")
    return MODELS[name]


def sphere_curve(stretch: Real, model: RubberModel) -> Floats:
    """Reduced pressure curve of a thin spherical balloon.

    Formula: f = p R0/H0, with neo-Hooke 2 mu (1/L - 1/L^7); Mooney-Rivlin
    4 (1/L - 1/L^7)(C1 + C2 L^2); Gent neo-Hooke times Jm/(Jm - 2 L^2 - 1/L^4 + 3); Ogden
    2 sum mu (L^(a-3) - L^(-2a-3)).

    Parameters
    ----------
    stretch : float or array (N,), [-]
        L = R/R0, radius over slack radius.
    model : RubberModel
        Constants and range.

    Returns
    -------
    curve : array (N,), [Pa]
        f; times H0/R0 it is the excess pressure.

    Validity
    --------
    The model's own range of stretch; else OutOfRangeError.

    References
    ----------
    [1] R. W. Ogden, Proc. R. Soc. A 326 (1972) 565.
    [2] A. N. Gent, Rubber Chem. Technol. 69 (1996) 59.
    [3] I. Müller, P. Strehlow, Rubber and Rubber Balloons, Springer 2004.
    """
    x = require(
        "stretch of the rubber",
        stretch,
        f"The {model.name} model holds from {model.lowest:g} to {model.highest:g}; inflate "
        "within it or take another model.",
        low=model.lowest,
        high=model.highest,
        code="physics.stretch",
    )
    return np.asarray(FAMILIES[model.family](x, model.constants))[()]


def sphere_pressure(
    stretch: Real, slack_wall_m: Real, slack_radius_m: Real, model: RubberModel
) -> Floats:
    """Excess pressure in a thin spherical balloon.

    Formula: p = (H0/R0) f(L).

    Parameters
    ----------
    stretch : float or array (N,), [-]
        L = R/R0.
    slack_wall_m : float or array (N,), [m]
        Wall H0 of the slack balloon.
    slack_radius_m : float or array (N,), [m]
        Radius R0 of the slack balloon.
    model : RubberModel
        Constants and range.

    Returns
    -------
    pressure : array (N,), [Pa]
        Inside less outside.

    Validity
    --------
    As `sphere_curve`; wall and radius above zero; else OutOfRangeError. First inflation at
    rest: a second inflation is softer by up to a quarter (Mullins effect).

    References
    ----------
    [1] Membrane balance of a thin sphere, as in `sphere_curve`.
    """
    wall = require(
        "slack wall", slack_wall_m, "Check the balloon's mass.", low=0.0, above=True, unit="m"
    )
    radius = require(
        "slack radius", slack_radius_m, "Check the flat width.", low=0.0, above=True, unit="m"
    )
    return np.asarray(wall / radius * sphere_curve(stretch, model))[()]


def pressure_extrema(model: RubberModel) -> tuple[tuple[str, float, float], ...]:
    """Where the pressure curve of a model peaks and dips.

    Formula: f'(L) = 0, from a fine scan refined by bounded minimisation.

    Parameters
    ----------
    model : RubberModel
        Constants and range.

    Returns
    -------
    extrema : tuple
        ("max" or "min", stretch [-], f [Pa]) in order of stretch; empty when monotone.

    Validity
    --------
    Within the model's range of stretch. Raises nothing.

    References
    ----------
    [1] `sphere_curve`.
    """
    from scipy.optimize import minimize_scalar

    curve = FAMILIES[model.family]
    top: float = model.highest
    if model.family == "gent":
        top = min(top, float(gent_limit(model.constants[1])) * (1.0 - 1e-6))
    grid = np.linspace(model.lowest, top, 4001)
    rise = np.sign(np.diff(curve(grid, model.constants)))
    found = []
    for i in np.flatnonzero(rise[1:] != rise[:-1]):
        sign = -1.0 if rise[i] > 0 else 1.0
        best = minimize_scalar(
            partial(_signed_curve, model, sign),
            bounds=(grid[i], grid[i + 2]),
            method="bounded",
            options={"xatol": 1e-10},
        )
        found.append(("max" if sign < 0 else "min", float(best.x), float(sign * best.fun)))
    return tuple(found)


def _signed_curve(model: RubberModel, sign: float, stretch: float) -> float:
    return sign * float(FAMILIES[model.family](np.asarray(stretch), model.constants))


def gent_limit(limit_invariant: Real) -> Floats:
    """Stretch at which a Gent sphere locks.

    Formula: 2 L^2 + L^-4 - 3 = Jm.

    Parameters
    ----------
    limit_invariant : float or array (N,), [-]
        Jm.

    Returns
    -------
    stretch : array (N,), [-]
        Locking stretch; 7.078 for Jm = 97.2.

    Validity
    --------
    Jm > 0; else OutOfRangeError.

    References
    ----------
    [1] A. N. Gent 1996.
    """
    j = require("Jm", limit_invariant, "Jm is above zero.", low=0.0, above=True)
    x = np.sqrt((j + 3.0) / 2.0)
    for _ in range(40):  # L^-4 is small: a contraction, exact to rounding
        x = np.sqrt((j + 3.0 - x**-4) / 2.0)
    return np.asarray(x)[()]


def gent_invariant(stretch: Real) -> Floats:
    """Jm of a Gent sphere that locks at a stretch.

    Formula: Jm = 2 L^2 + L^-4 - 3.

    Parameters
    ----------
    stretch : float or array (N,), [-]
        Locking stretch.

    Returns
    -------
    limit_invariant : array (N,), [-]
        Jm.

    Validity
    --------
    stretch > 1; else OutOfRangeError.

    References
    ----------
    [1] A. N. Gent 1996.
    """
    x = require("locking stretch", stretch, "It is above 1.", low=1.0, above=True)
    return np.asarray(2.0 * x**2 + x**-4 - 3.0)[()]


def curve_from_data(stretch: Real, nominal_stress_pa: Real) -> Floats:
    """Reduced pressure curve straight from equibiaxial test data, no model.

    Formula: f = p R0/H0 = 2 P/L^2, P the nominal stress.

    Parameters
    ----------
    stretch : float or array (N,), [-]
        Equibiaxial stretch.
    nominal_stress_pa : float or array (N,), [Pa]
        Force per slack cross-section.

    Returns
    -------
    curve : array (N,), [Pa]
        f as in `sphere_curve`.

    Validity
    --------
    stretch >= 1; else OutOfRangeError.

    References
    ----------
    [1] Laplace: p = 2 t h/R with true stress t = P L, h = H0/L^2, R = L R0.
    """
    x = require("stretch", stretch, "Stretch starts at 1.", low=1.0)
    return np.asarray(2.0 * np.asarray(nominal_stress_pa) / x**2)[()]


def check_below_burst(diameter_m: Real, burst_m: Real) -> None:
    """Refuse a diameter at or beyond bursting.

    Formula: d < d_burst.

    Parameters
    ----------
    diameter_m : float or array (N,), [m]
        Diameter asked for.
    burst_m : float or array (N,), [m]
        Diameter at which the skin is taken to burst.

    Returns
    -------
    nothing : None
        Passes silently.

    Validity
    --------
    Else OutOfRangeError with the code physics.bursts.

    References
    ----------
    [1] Common practice, see `inflation.BURST_OVER_NOMINAL`.
    """
    share = np.asarray(diameter_m, dtype=np.float64) / np.asarray(burst_m, dtype=np.float64)
    if np.any(share >= 1.0):
        row = int(np.argmax(share.ravel()))
        raise OutOfRangeError(
            "diameter over the diameter at which it bursts (ratio)",
            float(share.ravel()[row]),
            "Inflate smaller, or take a larger balloon.",
            high=1.0,
            index=row if share.ndim else None,
            code="physics.bursts",
        )
