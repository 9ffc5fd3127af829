"""Helium: density, lift, and what a cylinder holds.

Pressures are absolute unless a name says otherwise; a cylinder's dial shows gauge. Volumes
of gas are stated at a delivery temperature and 101.325 kPa, because "normal cubic metres"
differ by 7 % between 0 °C and 20 °C.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

from airwright.physics.air import STANDARD_PRESSURE_PA, air_density, kelvin
from airwright.physics.errors import AmbiguousPressureError, require
from airwright.physics.types import Floats, Real
from airwright.units import ZERO_CELSIUS_K

HELIUM_KG_MOL = 0.004_002_602
GAS_CONSTANT = 8.314_462_618
BAR_PA = 100_000.0

SECOND_VIRIAL_M3_MOL = 11.83e-6
"""B of helium at 20 °C. From memory, B and C then trimmed to the reference equation's table of
Z that the tests hold them against: a fit, not an independent value."""
SECOND_VIRIAL_SLOPE = -6.5e-9
"""dB/dT [m³/(mol K)] near room temperature. From memory."""
THIRD_VIRIAL_M6_MOL2 = 115e-12
"""C of helium near room temperature. Trimmed like B."""

DELIVERY_C = 15.0
HIGHEST_CYLINDER_PA = 450 * BAR_PA


def helium_compressibility(pressure_pa: Real, temperature_c: Real) -> Floats:
    """Real-gas factor Z of helium.

    Formula: p = R T n (1 + B n + C n^2) solved for the molar density n; Z = p/(n R T).

    Parameters
    ----------
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure.
    temperature_c : float or array (N,), [°C]
        Temperature of the gas.

    Returns
    -------
    factor : array (N,), [-]
        Z; 1.097 at 200 bar and 15 °C: the ideal law overstates the contents by so much.

    Validity
    --------
    0 to 450 bar, -60 to 80 °C; else OutOfRangeError. Within 2e-4 of the reference equation
    up to 250 bar at 15 and 20 °C.

    References
    ----------
    [1] Virial equation of state, Leiden form; coefficients fitted, see their notes.
    """
    p = require(
        "cylinder pressure",
        pressure_pa,
        "Helium cylinders hold up to 300 bar; check bar, psi and kPa.",
        low=0.0,
        high=HIGHEST_CYLINDER_PA,
        unit="Pa",
    )
    t = kelvin(temperature_c)
    b = SECOND_VIRIAL_M3_MOL + SECOND_VIRIAL_SLOPE * (t - 293.15)
    ideal = p / (GAS_CONSTANT * t)
    n = ideal / (1.0 + b * ideal)
    for _ in range(6):  # Newton from a first-order guess: quadratic, 6 steps reach 1e-15
        value = n * (1.0 + b * n + THIRD_VIRIAL_M6_MOL2 * n**2) - ideal
        n = n - value / (1.0 + 2.0 * b * n + 3.0 * THIRD_VIRIAL_M6_MOL2 * n**2)
    return np.asarray(1.0 + b * n + THIRD_VIRIAL_M6_MOL2 * n**2)[()]


def helium_density(temperature_c: Real, pressure_pa: Real = STANDARD_PRESSURE_PA) -> Floats:
    """Density of helium.

    Formula: rho = p M/(Z R T).

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Temperature of the gas.
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure.

    Returns
    -------
    density : array (N,), [kg/m³]
        Mass per volume; 0.1663 at 20 °C and one atmosphere.

    Validity
    --------
    As `helium_compressibility`; else OutOfRangeError.

    References
    ----------
    [1] `helium_compressibility`.
    """
    z = helium_compressibility(pressure_pa, temperature_c)
    t = kelvin(temperature_c)
    return np.asarray(np.asarray(pressure_pa) * HELIUM_KG_MOL / (z * GAS_CONSTANT * t))[()]


def lift_density(
    temperature_c: Real,
    pressure_pa: Real = STANDARD_PRESSURE_PA,
    relative_humidity: Real = 0.0,
    excess_pa: Real = 0.0,
    purity: Real = 1.0,
    gas_temperature_c: Real | None = None,
) -> Floats:
    """Gross lift of a cubic metre of balloon gas.

    Formula: lift = rho_air - x rho_He - (1 - x) rho_air', gas at p + excess and its own
    temperature; x is the helium share by volume.

    Parameters
    ----------
    temperature_c : float or array (N,), [°C]
        Temperature of the air around.
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure of the air.
    relative_humidity : float or array (N,), [-]
        Humidity of the air, 0 to 1.
    excess_pa : float or array (N,), [Pa]
        Pressure of the gas above that of the air (2 to 4 kPa in latex).
    purity : float or array (N,), [-]
        Helium share by volume, the rest air; "balloon gas" may hold 0.92 to 0.98.
    gas_temperature_c : float or array (N,) or None, [°C]
        Temperature of the gas; None: that of the air.

    Returns
    -------
    lift : array (N,), [kg/m³]
        Mass that one cubic metre carries before the skin's own weight.

    Validity
    --------
    As `air_density` and `helium_density`; purity 0 to 1; else OutOfRangeError.

    References
    ----------
    [1] Archimedes' principle.
    """
    x = require(
        "helium purity",
        purity,
        "Give the helium share from 0 to 1 (0.95 for 95 %).",
        low=0.0,
        high=1.0,
    )
    inner_c = temperature_c if gas_temperature_c is None else gas_temperature_c
    inside = np.asarray(pressure_pa) + np.asarray(excess_pa)
    outside = air_density(temperature_c, pressure_pa, relative_humidity)
    helium = helium_density(inner_c, inside)
    air = air_density(inner_c, inside, 0.0)
    return np.asarray(outside - x * helium - (1.0 - x) * air)[()]


def absolute_pressure(
    pressure_pa: Real,
    reference: Literal["gauge", "absolute"] | None,
    ambient_pa: float = STANDARD_PRESSURE_PA,
) -> Floats:
    """Absolute pressure of a reading that says which kind it is.

    Formula: p_abs = p_gauge + ambient.

    Parameters
    ----------
    pressure_pa : float or array (N,), [Pa]
        The reading.
    reference : str or None
        "gauge" (a dial: zero when open to the air) or "absolute". None is refused.
    ambient_pa : float, [Pa]
        Pressure of the air around the dial.

    Returns
    -------
    pressure : array (N,), [Pa]
        Absolute pressure; 200 bar gauge is 201.01 bar absolute.

    Validity
    --------
    Absolute 0 to 450 bar, gauge readings from zero; else OutOfRangeError. Without a
    reference AmbiguousPressureError.

    References
    ----------
    [1] Definition.
    """
    if reference not in ("gauge", "absolute"):
        raise AmbiguousPressureError(
            "cylinder pressure",
            "without saying gauge or absolute" if reference is None else str(reference),
            'Say which: a dial reads gauge ("200 bar gauge"); absolute counts from vacuum.',
        )
    reading = require(
        "cylinder pressure",
        pressure_pa,
        "A dial reads from zero upward; check bar, psi and kPa.",
        low=0.0,
        high=HIGHEST_CYLINDER_PA,
        unit="Pa",
    )
    return np.asarray(reading + (ambient_pa if reference == "gauge" else 0.0))[()]


def cylinder_contents(
    water_volume_m3: Real,
    pressure_pa: Real,
    temperature_c: Real = DELIVERY_C,
    delivery_c: float = DELIVERY_C,
    rated_pa: Real | None = None,
) -> Floats:
    """Gas in a cylinder, as volume at one atmosphere and a delivery temperature.

    Formula: V = Vw (p/Z T)_fill (Z0 T0/p0)_delivery.

    Parameters
    ----------
    water_volume_m3 : float or array (N,), [m³]
        Water volume of the cylinder (0.050 for 50 litres).
    pressure_pa : float or array (N,), [Pa]
        ABSOLUTE pressure; turn a dial's reading with `absolute_pressure`.
    temperature_c : float or array (N,), [°C]
        Temperature of the cylinder when read.
    delivery_c : float, [°C]
        Temperature at which the volume is stated: 15, 20, 0 or 21.1 (70 °F).
    rated_pa : float or array (N,) or None, [Pa]
        Absolute pressure the cylinder is stamped for; a fill above it is refused.

    Returns
    -------
    volume : array (N,), [m³]
        Contents at the delivery temperature and 101.325 kPa.

    Validity
    --------
    0.1 to 200 litres, 0 to 450 bar; above the rating OutOfRangeError with the code
    physics.cylinder-over-rating.

    References
    ----------
    [1] Real-gas law; Z from `helium_compressibility`.
    """
    vw = require(
        "cylinder water volume",
        water_volume_m3,
        "Give the water volume stamped on the shoulder (50 L = 0.05 m³).",
        low=1e-4,
        high=0.2,
        unit="m³",
    )
    if rated_pa is not None:
        require(
            "cylinder pressure over its rating (ratio)",
            np.asarray(pressure_pa) / np.asarray(rated_pa),
            "Do not use or warm this cylinder; ask the gas supplier.",
            high=1.0 + 1e-9,
            code="physics.cylinder-over-rating",
        )
    dense = helium_density(temperature_c, pressure_pa)
    thin = helium_density(delivery_c, STANDARD_PRESSURE_PA)
    return np.asarray(vw * dense / thin)[()]


def cylinder_usable(
    water_volume_m3: Real,
    pressure_pa: Real,
    temperature_c: Real = DELIVERY_C,
    delivery_c: float = DELIVERY_C,
    residual_pa: Real = STANDARD_PRESSURE_PA + 2 * BAR_PA,
    rated_pa: Real | None = None,
) -> Floats:
    """Gas that can be drawn before the cylinder is left at its residual pressure.

    Formula: contents(p) - contents(residual), never below zero.

    Parameters
    ----------
    water_volume_m3 : float or array (N,), [m³]
        Water volume.
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure now.
    temperature_c : float or array (N,), [°C]
        Temperature of the cylinder.
    delivery_c : float, [°C]
        Temperature at which the volume is stated.
    residual_pa : float or array (N,), [Pa]
        Absolute pressure left inside (2 bar gauge by default, so that no moist air enters).
    rated_pa : float or array (N,) or None, [Pa]
        Absolute pressure the cylinder is stamped for.

    Returns
    -------
    volume : array (N,), [m³]
        Usable gas at the delivery temperature and 101.325 kPa.

    Validity
    --------
    As `cylinder_contents`. Residual pressure: common practice, suppliers differ.

    References
    ----------
    [1] `cylinder_contents`.
    """
    held = cylinder_contents(water_volume_m3, pressure_pa, temperature_c, delivery_c, rated_pa)
    left = cylinder_contents(water_volume_m3, residual_pa, temperature_c, delivery_c)
    return np.asarray(np.maximum(held - left, 0.0))[()]


def cylinder_pressure_at(
    pressure_pa: Real, temperature_c: Real, other_temperature_c: Real
) -> Floats:
    """Pressure of a closed cylinder taken to another temperature.

    Formula: constant molar density n: p2 = n R T2 (1 + B2 n + C n^2).

    Parameters
    ----------
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure now.
    temperature_c : float or array (N,), [°C]
        Temperature now.
    other_temperature_c : float or array (N,), [°C]
        Temperature it is taken to (a van in the sun).

    Returns
    -------
    pressure : array (N,), [Pa]
        Absolute pressure then; 200 bar at 15 °C become 213.7 bar at 35 °C.

    Validity
    --------
    As `helium_compressibility`. The steel's own expansion is left out (0.1 %).

    References
    ----------
    [1] Virial equation at constant density.
    """
    z = helium_compressibility(pressure_pa, temperature_c)
    n = np.asarray(pressure_pa) / (z * GAS_CONSTANT * kelvin(temperature_c))
    t = kelvin(other_temperature_c)
    b = SECOND_VIRIAL_M3_MOL + SECOND_VIRIAL_SLOPE * (t - 293.15)
    return np.asarray(n * GAS_CONSTANT * t * (1.0 + b * n + THIRD_VIRIAL_M6_MOL2 * n**2))[()]


def gas_drawn(
    volume_m3: Real,
    temperature_c: Real,
    pressure_pa: Real = STANDARD_PRESSURE_PA,
    excess_pa: Real = 0.0,
    delivery_c: float = DELIVERY_C,
) -> Floats:
    """Cylinder gas that a filled volume takes, at the delivery state.

    Formula: V0 = V (p + excess)/p0 * T0/T.

    Parameters
    ----------
    volume_m3 : float or array (N,), [m³]
        Volume of the balloon.
    temperature_c : float or array (N,), [°C]
        Temperature of the gas in it.
    pressure_pa : float or array (N,), [Pa]
        Absolute pressure of the air around.
    excess_pa : float or array (N,), [Pa]
        Pressure inside above the air's.
    delivery_c : float, [°C]
        Temperature at which cylinder gas is stated.

    Returns
    -------
    volume : array (N,), [m³]
        Gas drawn, at the delivery temperature and 101.325 kPa.

    Validity
    --------
    Volumes from zero, -60 to 80 °C; else OutOfRangeError. Ideal at balloon pressures
    (5e-4 off).

    References
    ----------
    [1] Ideal gas law.
    """
    v = require("balloon volume", volume_m3, "A volume cannot be negative.", low=0.0, unit="m³")
    inside = np.asarray(pressure_pa) + np.asarray(excess_pa)
    ratio = (delivery_c + ZERO_CELSIUS_K) / kelvin(temperature_c)
    return np.asarray(v * inside / STANDARD_PRESSURE_PA * ratio)[()]


def cylinders_needed(demand_m3: float, usable_m3: float, waste: float = 0.05) -> int:
    """Full cylinders for a job.

    Formula: ceil(demand (1 + waste)/usable).

    Parameters
    ----------
    demand_m3 : float, [m³]
        Gas that all balloons take.
    usable_m3 : float, [m³]
        Usable gas of one cylinder, stated at the same delivery temperature.
    waste : float, [-]
        Share lost at the nozzle and in pops.

    Returns
    -------
    count : int
        Whole cylinders.

    Validity
    --------
    Demand and waste from zero, usable above zero; else OutOfRangeError.

    References
    ----------
    [1] Waste of 5 %: common practice, no source.
    """
    need = float(require("gas demand", demand_m3, "Demand cannot be negative.", low=0.0))
    each = float(
        require(
            "usable gas of a cylinder",
            usable_m3,
            "The cylinder is empty at this gauge reading; take a fuller one.",
            low=0.0,
            above=True,
            unit="m³",
        )
    )
    lost = float(require("waste", waste, "Give the waste as a share: 0.05.", low=0.0, high=1.0))
    return math.ceil(need * (1.0 + lost) / each - 1e-12)
