"""Helium for a job: how much, in which cylinders, and what a leak does to the air."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any

from airwright.job.studio import Cylinder, Studio
from airwright.physics.gas import absolute_pressure, cylinder_usable
from airwright.physics.room_air import OXYGEN_LIMIT, oxygen_after_release
from airwright.plan.piece_values import Need, PackLine, PiecePlan
from airwright.plan.to_json import json_values
from airwright.units import FOOT3_M3


@dataclass(frozen=True, slots=True)
class CylinderLine:
    """Cylinders of one kind to rent; `usable_m3` of one, at 15 °C and 101.325 kPa [m³].

    `price` is one filling with its rent, `rent` what of it is rent for the job.
    """

    name: str
    count: int
    usable_m3: float
    mass_kg: float
    price: Decimal
    rent: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class GasPlan:
    """Helium of some pieces together.

    Attributes:
        balloons: floating balloons.
        gas_m3, gas_ft3: what they take, at 15 °C and 101.325 kPa [m³], cubic feet.
        waste_m3: lost at the nozzle and in pops [m³].
        cylinders: to rent, largest first.
        short_m3: what all cylinders within reach cannot fill [m³].
        left_m3: what stays in the cylinders and goes to stock [m³].
        room_oxygen, van_oxygen: share left if the fullest cylinder empties into the closed room
            or van; None where the volume is unknown or no cylinder goes along [-].
        oxygen_limit: below it air counts as lacking oxygen [-].
    """

    balloons: int
    gas_m3: float
    gas_ft3: float
    waste_m3: float
    cylinders: tuple[CylinderLine, ...]
    short_m3: float
    room_oxygen: float | None
    van_oxygen: float | None
    left_m3: float = 0.0
    oxygen_limit: float = OXYGEN_LIMIT

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


def demand(pieces: Sequence[PiecePlan]) -> float:
    """Gas all floating balloons of some pieces take [m³], counts included."""
    return sum(line.gas_m3 * line.count * piece.count for piece in pieces for line in piece.floats)


def choose_cylinders(
    demand_m3: float, offered: Sequence[Cylinder]
) -> tuple[tuple[CylinderLine, ...], float]:
    """The cheapest set that holds enough, and what stays short.

    Args:
        demand_m3: waste included [m³].
        offered: kinds within reach.

    Returns:
        Cylinders, fullest first; all of them when even they do not hold enough [m³ short].
    """
    usable = tuple(usable_m3(kind) for kind in offered)
    most = tuple(kind.most for kind in offered)
    prices = tuple(kind.price for kind in offered)
    if demand_m3 <= 0.0:
        return (), 0.0
    whole = sum(each * count for each, count in zip(usable, most, strict=True))
    counts = most if whole < demand_m3 else _cheapest(demand_m3, usable, most, prices)
    lines = [
        CylinderLine(kind.name, count, usable[at], kind.mass, kind.price, kind.rent)
        for at, (kind, count) in enumerate(zip(offered, counts, strict=True))
        if count > 0 and usable[at] > 0
    ]
    lines.sort(key=lambda line: -line.usable_m3)
    return tuple(lines), max(demand_m3 - whole, 0.0)


def usable_m3(kind: Cylinder) -> float:
    """Gas that one full cylinder gives [m³ at 15 °C and 101.325 kPa].

    It was filled at 15 °C; in a warmer workshop it holds the same gas at a higher pressure.
    """
    return float(cylinder_usable(kind.water, absolute_pressure(kind.gauge, "gauge")))


@lru_cache(maxsize=512)
def _cheapest(
    demand_m3: float,
    usable: tuple[float, ...],
    most: tuple[int, ...],
    prices: tuple[Decimal, ...],
) -> tuple[int, ...]:
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    holds = np.array(usable)
    # equal prices: fewer cylinders to carry
    cost = np.array([float(price) for price in prices]) + 1e-3
    found = milp(
        cost,
        constraints=LinearConstraint(holds[None, :], lb=demand_m3),
        integrality=np.ones(len(holds)),
        bounds=Bounds(0, np.array(most)),
    )
    return tuple(int(count) for count in np.round(found.x))


def gas_plan(
    pieces: Sequence[PiecePlan], studio: Studio, room_m3: float | None = None
) -> GasPlan | None:
    """Helium of some pieces, filled in a room of `room_m3` [m³]; None where nothing floats."""
    takes = demand(pieces)
    if takes <= 0.0:
        return None
    waste = takes * studio.helium.waste
    chosen, short = choose_cylinders(takes + waste, studio.cylinders)
    largest = max((line.usable_m3 for line in chosen), default=0.0)
    return GasPlan(
        balloons=sum(line.count * piece.count for piece in pieces for line in piece.floats),
        gas_m3=takes,
        gas_ft3=takes / FOOT3_M3,
        waste_m3=waste,
        cylinders=chosen,
        short_m3=short,
        room_oxygen=_left(largest, room_m3),
        van_oxygen=_left(largest, studio.van.room),
        left_m3=max(_held(chosen) - takes - waste, 0.0),
    )


def _held(cylinders: Sequence[CylinderLine]) -> float:
    return sum(line.usable_m3 * line.count for line in cylinders)


def gas_price(cylinders: Sequence[CylinderLine]) -> Decimal:
    """Price of one cubic metre from these cylinders, their rent taken off."""
    held = _held(cylinders)
    if held <= 0.0:
        return Decimal(0)
    paid = sum(((line.price - line.rent) * line.count for line in cylinders), Decimal(0))
    return paid / Decimal(str(held))


def _left(gas_m3: float, room_m3: float | None) -> float | None:
    if room_m3 is None or gas_m3 <= 0.0:
        return None
    return float(oxygen_after_release(gas_m3, room_m3).displaced)


def gas_needs(pieces: Sequence[PiecePlan], studio: Studio) -> tuple[Need, ...]:
    """Helium, charged by what is used and wasted, and its cylinders, charged by their rent.

    A cylinder's `packs` say what its filling costs at the supplier's; what is left is stock.
    """
    plan = gas_plan(pieces, studio)
    if plan is None:
        return ()
    rate = studio.pricing.catalog_rate
    gas = Need(
        item="helium",
        kind="gas",
        size_in=None,
        shade=None,
        used=round(plan.gas_m3, 3),
        spare=round(plan.waste_m3, 3),
        unit="m3",
        unit_cost=gas_price(plan.cylinders) * rate,
    )
    cylinders = tuple(
        Need(
            item=line.name,
            kind="cylinder",
            size_in=None,
            shade=None,
            used=line.count,
            spare=0,
            unit="each",
            packs=(PackLine(1, line.count, line.price * rate),),
            unit_cost=line.rent * rate,
            rented=True,
            mass_kg=line.mass_kg * line.count,
        )
        for line in plan.cylinders
    )
    return (gas, *cylinders)
