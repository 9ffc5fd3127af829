"""Rented cylinders of helium and what their dials showed. A reading is never changed."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.operations.stock.helium import Cylinder
from airwright.physics.gas import DELIVERY_C
from airwright.store.errors import Missing, StoreError
from airwright.store.stock import Said
from airwright.store.stock_tables import CylinderReadingRow, CylinderRow
from airwright.store.types import now


@dataclass(frozen=True, slots=True)
class KeptCylinder:
    """A cylinder as it stands, with the day and the reader of its last reading."""

    id: str
    cylinder: Cylinder
    place: str
    read_on: dt.date
    read_by: str


class Cylinders:
    """Cylinders, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def add(
        self, name: str, water_m3: float, gauge_pa: float, said: Said, *, since: dt.date,
        rent_a_day: Decimal = Decimal(0), place: str = "",
    ) -> bool:  # fmt: skip
        """A cylinder that came, with what its dial shows; False when its cause is known."""
        if self._known(said.key):
            return False
        row = CylinderRow(
            name=name[:80],
            water_m3=water_m3,
            since=since,
            rent_a_day=rent_a_day,
            place=place[:60],
            made=now(),
            made_by=said.actor[:120],
        )
        self.session.add(row)
        self.session.flush()
        return self._write(row.id, gauge_pa, DELIVERY_C, said)

    def read(self, cylinder_id: str, gauge_pa: float, temperature_c: float, said: Said) -> bool:
        """What a dial shows now; False when this cause is known already. Raises Missing."""
        if self._known(said.key):
            return False
        if self._get(cylinder_id).returned is not None:
            raise StoreError("This cylinder went back already.", "Nothing was changed.")
        return self._write(cylinder_id, gauge_pa, temperature_c, said)

    def give_back(self, cylinder_id: str, day: dt.date) -> None:
        """It went back to the supplier; its rent ends that day. Raises Missing."""
        row = self._get(cylinder_id)
        row.returned = row.returned or max(day, row.since)

    def all(self, *, here: bool = True) -> list[KeptCylinder]:
        """Cylinders with their newest reading: those that are here, or all."""
        query = select(CylinderRow).order_by(CylinderRow.since, CylinderRow.name)
        rows = [row for row in self.session.scalars(query) if not here or row.returned is None]
        newest: dict[str, CylinderReadingRow] = {}
        readings = select(CylinderReadingRow).order_by(CylinderReadingRow.at)
        for reading in self.session.scalars(readings):
            newest[reading.cylinder_id] = reading
        return [_kept(row, newest[row.id]) for row in rows if row.id in newest]

    def _get(self, cylinder_id: str) -> CylinderRow:
        row = self.session.get(CylinderRow, cylinder_id, with_for_update=True)
        if row is None:
            raise Missing("cylinder")
        return row

    def _known(self, key: str) -> bool:
        query = select(CylinderReadingRow.id).where(CylinderReadingRow.key == key[:64])
        return self.session.scalar(query) is not None

    def _write(self, cylinder_id: str, gauge_pa: float, temperature_c: float, said: Said) -> bool:
        self.session.add(
            CylinderReadingRow(
                cylinder_id=cylinder_id,
                key=said.key[:64],
                day=said.day,
                gauge_pa=gauge_pa,
                temperature_c=temperature_c,
                actor=said.actor[:120],
                at=now(),
            )
        )
        self.session.flush()
        return True


def _kept(row: CylinderRow, reading: CylinderReadingRow) -> KeptCylinder:
    cylinder = Cylinder(
        row.name,
        row.water_m3,
        reading.gauge_pa,
        reading.temperature_c,
        row.since,
        row.returned,
        row.rent_a_day,
    )
    return KeptCylinder(row.id, cylinder, row.place, reading.day, reading.actor)
