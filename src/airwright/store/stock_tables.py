"""Tables of the shelf and of orders to suppliers. A movement is never changed or taken out."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from sqlalchemy import ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from airwright.store.tables import Base, Key
from airwright.store.types import new_id, now


class StockLotRow(Base):
    """Some of one goods that came together."""

    __tablename__ = "stock_lots"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    item: Mapped[str] = mapped_column(String(120), index=True)
    shade: Mapped[str] = mapped_column(String(60), default="")
    since: Mapped[dt.date | None]
    good_until: Mapped[dt.date | None]
    each: Mapped[Decimal | None]
    place: Mapped[str] = mapped_column(String(60), default="")
    opened: Mapped[bool] = mapped_column(default=False)
    condition: Mapped[str] = mapped_column(String(200), default="")
    made: Mapped[dt.datetime] = mapped_column(default=now)


class StockMovementRow(Base):
    """Something that happened to the shelf. `key` is of its cause: the same one counts once."""

    __tablename__ = "stock_movements"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    key: Mapped[str] = mapped_column(String(120), unique=True)
    day: Mapped[dt.date]
    kind: Mapped[str] = mapped_column(String(16))
    item: Mapped[str] = mapped_column(String(120))
    shade: Mapped[str] = mapped_column(String(60), default="")
    quantity: Mapped[int]
    lot_id: Mapped[str | None] = mapped_column(ForeignKey("stock_lots.id"), index=True)
    job_id: Mapped[str | None] = mapped_column(
        ForeignKey("jobs.id", ondelete="SET NULL"), index=True
    )
    line_id: Mapped[str | None] = mapped_column(ForeignKey("purchase_lines.id"), index=True)
    due: Mapped[dt.date | None]
    note: Mapped[str] = mapped_column(String(200), default="")
    actor: Mapped[str] = mapped_column(String(120))
    at: Mapped[dt.datetime] = mapped_column(default=now)

    __table_args__ = (Index("ix_stock_movements_item_shade", "item", "shade"),)


class StockCodeRow(Base):
    """A bar code (EAN or UPC) and what of ours it means."""

    __tablename__ = "stock_codes"

    code: Mapped[str] = mapped_column(String(60), primary_key=True)
    item: Mapped[str] = mapped_column(String(120))
    shade: Mapped[str] = mapped_column(String(60), default="")
    pack: Mapped[int] = mapped_column(default=1)


class SuppliersRow(Base):
    """The suppliers' file; one row."""

    __tablename__ = "suppliers"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str] = mapped_column(Text)
    version: Mapped[int] = mapped_column(default=1)
    changed: Mapped[dt.datetime] = mapped_column(default=now)


class PurchaseRow(Base):
    """An order to a supplier."""

    __tablename__ = "purchases"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    supplier: Mapped[str] = mapped_column(String(120))
    state: Mapped[str] = mapped_column(String(12), default="sent")
    order_on: Mapped[dt.date]
    arrives_on: Mapped[dt.date]
    currency: Mapped[str] = mapped_column(String(3))
    freight: Mapped[Decimal]
    key: Mapped[str] = mapped_column(String(64), unique=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))


class PurchaseLineRow(Base):
    """A line of an order. What came of it is in the movements."""

    __tablename__ = "purchase_lines"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    purchase_id: Mapped[str] = mapped_column(ForeignKey("purchases.id"), index=True)
    item: Mapped[str] = mapped_column(String(120))
    shade: Mapped[str] = mapped_column(String(60), default="")
    pack: Mapped[int]
    packs: Mapped[int]
    price: Mapped[Decimal]


class CylinderRow(Base):
    """A rented cylinder of helium."""

    __tablename__ = "cylinders"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(String(80))
    water_m3: Mapped[float]
    since: Mapped[dt.date]
    returned: Mapped[dt.date | None]
    rent_a_day: Mapped[Decimal]
    place: Mapped[str] = mapped_column(String(60), default="")
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))


class CylinderReadingRow(Base):
    """What a cylinder's dial showed; never changed, the newest one counts."""

    __tablename__ = "cylinder_readings"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    cylinder_id: Mapped[str] = mapped_column(ForeignKey("cylinders.id"), index=True)
    key: Mapped[str] = mapped_column(String(64), unique=True)
    day: Mapped[dt.date]
    gauge_pa: Mapped[float]
    temperature_c: Mapped[float]
    actor: Mapped[str] = mapped_column(String(120))
    at: Mapped[dt.datetime] = mapped_column(default=now)


class ShadeSwapRow(Base):
    """A shade that may stand in for another in one job; somebody ticked it."""

    __tablename__ = "shade_swaps"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"))
    item: Mapped[str] = mapped_column(String(120))
    shade: Mapped[str] = mapped_column(String(60))
    instead: Mapped[str] = mapped_column(String(60))
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))

    __table_args__ = (UniqueConstraint("job_id", "item", "shade", "instead"),)
