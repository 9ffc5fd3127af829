"""Helium as stock: cylinders with their gauge readings, and rent that runs by the day."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from airwright.money.amount import rounded
from airwright.physics.gas import DELIVERY_C, absolute_pressure, cylinder_usable


@dataclass(frozen=True, slots=True)
class Cylinder:
    """A rented cylinder.

    Attributes:
        name: what it is called.
        water_m3: water volume stamped on its shoulder [m³].
        gauge_pa: last reading of its dial [Pa above the air].
        temperature_c: of the cylinder when it was read [°C].
        since, returned: the days it came and went back.
        rent_a_day: what it costs a day.
    """

    name: str
    water_m3: float
    gauge_pa: float
    temperature_c: float = DELIVERY_C
    since: dt.date | None = None
    returned: dt.date | None = None
    rent_a_day: Decimal = Decimal(0)

    @property
    def usable_litres(self) -> float:
        """Gas that can still be drawn, as volume at 15 °C and 101.325 kPa [L]."""
        whole = float(absolute_pressure(self.gauge_pa, "gauge"))
        return 1000 * float(cylinder_usable(self.water_m3, whole, self.temperature_c))

    def rent(self, today: dt.date, currency: str) -> Decimal:
        """Rent so far: every day begun counts, the first and the last one too."""
        if self.since is None or self.since > today:
            return rounded(Decimal(0), currency)
        days = (min(self.returned or today, today) - self.since).days + 1
        return rounded(self.rent_a_day * days, currency)


def usable_litres(cylinders: tuple[Cylinder, ...], today: dt.date) -> float:
    """Gas in all cylinders that are here [L at 15 °C and 101.325 kPa]."""
    return sum(
        one.usable_litres
        for one in cylinders
        if (one.since is None or one.since <= today)
        and (one.returned is None or one.returned > today)
    )
