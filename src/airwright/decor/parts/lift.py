"""What a helium balloon carries: plain values at room temperature, for building by.

The plan's own reckoning (temperature, altitude, gas, time) is a matter of `airwright.physics`;
here it only has to tell how hard a balloon pulls on its ribbon and which weight holds it.
"""

from __future__ import annotations

from airwright.catalog import Family
from airwright.decor.assembly import Stock
from airwright.decor.foil_body import letter_volume
from airwright.physics.bodies import foil_profile
from airwright.physics.gas import lift_density
from airwright.physics.shape import pear_volume_factor, volume_factor

ROOM_C = 20.0
"""Temperature lift is reckoned at for building [°C]."""

FOIL_SHARE = {"round": 1.0, "heart": 0.85, "star": 0.75}
"""Volume of a foil outline against a round one of the same width (from memory)."""

OTHER_FOIL_SHARE = 0.6


def volume(stock: Stock) -> float:
    """Gas in one balloon [m³].

    Args:
        stock: size, family and inflated diameter; foil by its width.
    """
    radius = stock.inflated_m / 2
    letter = letter_volume(stock)
    if letter is not None:
        return letter
    if stock.family is Family.FOIL:
        share = FOIL_SHARE.get(stock.outline or "round", OTHER_FOIL_SHARE)
        return share * volume_factor(foil_profile()) * radius**3
    return float(pear_volume_factor(stock.inflated_m / stock.nominal_m)) * radius**3


def net_lift(stock: Stock, mass_g: float, excess_pa: float) -> float:
    """What one balloon carries beyond its own skin [kg], at 20 °C and sea level.

    Args:
        stock: the balloon.
        mass_g: of its rubber or film [g].
        excess_pa: excess pressure inside latex [Pa]; foil is taken as slack.
    """
    inside = 0.0 if stock.family is Family.FOIL else excess_pa
    return volume(stock) * float(lift_density(ROOM_C, excess_pa=inside)) - mass_g / 1000
