"""What a cylinder holds, how many balloons that fills, how many cylinders a job takes."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from airwright.language import message
from airwright.physics.air import STANDARD_PRESSURE_PA
from airwright.physics.gas import (
    BAR_PA,
    DELIVERY_C,
    absolute_pressure,
    cylinder_contents,
    cylinder_pressure_at,
    cylinder_usable,
    cylinders_needed,
    helium_compressibility,
)
from airwright.plan.answers.base import Answer
from airwright.units import FOOT3_M3

HOT_VAN_C: Final = 50.0
"""A van in the sun; its cylinders are told at this temperature."""


@dataclass(frozen=True, slots=True)
class CylinderAnswer(Answer):
    """One cylinder; volumes of gas at 15 °C and 101.325 kPa.

    Attributes:
        water_m3: water volume [m³].
        reading_pa, reference: as read [Pa], "gauge" or "absolute".
        absolute_pa, temperature_c: pressure and temperature of the gas [Pa], [°C].
        compressibility: real-gas factor Z [-].
        contents_m3, contents_ft3, usable_m3, usable_ft3: in it, and down to the residual.
        ideal_m3: what the ideal law would say [m³].
        residual_pa: absolute pressure left inside [Pa].
        hot_pa: absolute pressure in a van at 50 °C [Pa].
        each_m3, waste: gas one balloon takes, and share lost; None without balloons.
        fills: balloons it still fills, None without balloons.
        wanted, cylinders: balloons wanted, and cylinders like this one for them, else None.
    """

    water_m3: float
    reading_pa: float
    reference: str
    absolute_pa: float
    temperature_c: float
    compressibility: float
    contents_m3: float
    contents_ft3: float
    usable_m3: float
    usable_ft3: float
    ideal_m3: float
    residual_pa: float
    hot_pa: float
    each_m3: float | None
    waste: float
    fills: int | None
    wanted: int | None
    cylinders: int | None
    doubts: tuple[str, ...]


def cylinder_answer(
    water_m3: float,
    reading_pa: float,
    reference: Literal["gauge", "absolute"] | None,
    temperature_c: float = DELIVERY_C,
    *,
    rated_pa: float | None = None,
    each_m3: float | None = None,
    wanted: int | None = None,
    waste: float = 0.05,
) -> CylinderAnswer:
    """Reckon one cylinder.

    Args:
        water_m3: water volume [m³].
        reading_pa: pressure read [Pa].
        reference: "gauge" or "absolute"; None is refused.
        temperature_c: of the cylinder when read [°C].
        rated_pa: pressure it is stamped for, in the same reference [Pa].
        each_m3: gas one balloon takes [m³].
        wanted: balloons wanted.
        waste: share lost at the nozzle and in pops [-].

    Raises:
        PhysicsError: no reference, over its rating, out of range.
    """
    whole = float(absolute_pressure(reading_pa, reference))
    stamped = None if rated_pa is None else float(absolute_pressure(rated_pa, reference))
    held = float(cylinder_contents(water_m3, whole, temperature_c, rated_pa=stamped))
    usable = float(cylinder_usable(water_m3, whole, temperature_c, rated_pa=stamped))
    warm = (temperature_c + 273.15) / (DELIVERY_C + 273.15)
    fills = None if each_m3 is None else math.floor(usable / (each_m3 * (1 + waste)) + 1e-9)
    needed = None
    if each_m3 is not None and wanted is not None:
        needed = cylinders_needed(wanted * each_m3, usable, waste)
    return CylinderAnswer(
        water_m3=water_m3,
        reading_pa=reading_pa,
        reference=str(reference),
        absolute_pa=whole,
        temperature_c=temperature_c,
        compressibility=float(helium_compressibility(whole, temperature_c)),
        contents_m3=held,
        contents_ft3=held / FOOT3_M3,
        usable_m3=usable,
        usable_ft3=usable / FOOT3_M3,
        ideal_m3=water_m3 * whole / STANDARD_PRESSURE_PA / warm,
        residual_pa=STANDARD_PRESSURE_PA + 2 * BAR_PA,
        hot_pa=float(cylinder_pressure_at(whole, temperature_c, HOT_VAN_C)),
        each_m3=each_m3,
        waste=waste,
        fills=fills,
        wanted=wanted,
        cylinders=needed,
        doubts=(
            message(
                "Contents are good to 0.1 %; a dial is good to 2 % of its full scale, about 4 bar."
            ),
            "2 bar gauge stay inside so that no damp air gets in; suppliers differ.",
        ),
    )
