"""The suppliers' file, orders to suppliers, and what came of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, get_args

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.operations.buying.answer import Order
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import Expected
from airwright.store.errors import Missing, Overtaken, StoreError
from airwright.store.stock import Said, Stock
from airwright.store.stock_tables import (
    PurchaseLineRow,
    PurchaseRow,
    StockMovementRow,
    SuppliersRow,
)
from airwright.store.types import now

State = Literal["sent", "confirmed", "part", "received", "cancelled"]
STATES: tuple[State, ...] = get_args(State)
OPEN: tuple[State, ...] = ("sent", "confirmed", "part")
"""Orders of which something is still to come."""


@dataclass(frozen=True, slots=True)
class PurchaseLine:
    """A line of an order: what is still to come of it, in packs."""

    row: PurchaseLineRow
    received: int

    @property
    def open(self) -> int:
        """Packs still to come."""
        return max(0, self.row.packs - self.received)


class Suppliers:
    """The suppliers' file, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def get(self) -> tuple[str, int]:
        """The file's text and version; "" and 0 before there is one."""
        row = self.session.get(SuppliersRow, 1)
        return ("", 0) if row is None else (row.text, row.version)

    def put(self, text: str, base: int) -> int:
        """A new text; returns its version. Raises Overtaken when `base` no longer stands."""
        row = self.session.get(SuppliersRow, 1, with_for_update=True)
        version = 0 if row is None else row.version
        if version != base:
            raise Overtaken(version, message("Somebody else changed the suppliers first."))
        if row is None:
            self.session.add(SuppliersRow(id=1, text=text, version=1, changed=now()))
        else:
            row.text, row.version, row.changed = text, version + 1, now()
        self.session.flush()
        return version + 1


class Purchases:
    """Orders to suppliers, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def place(
        self, order: Order, currency: str, key: str, actor: str, sent_on: dt.date | None = None
    ) -> PurchaseRow:
        """Write an order down as sent; the same key gives the order that is there already.

        Args:
            order: what is ordered; it is due when it says, however early it was sent.
            currency: of its prices.
            key: of the order.
            actor: who sent it.
            sent_on: the day; the planned one where nothing is said.
        """
        row = self.session.scalar(select(PurchaseRow).where(PurchaseRow.key == key))
        if row is not None:
            return row
        row = PurchaseRow(
            supplier=order.supplier[:120],
            state="sent",
            order_on=sent_on or order.order_on,
            arrives_on=order.arrives_on,
            currency=currency,
            freight=order.freight,
            key=key,
            made=now(),
            made_by=actor[:120],
        )
        self.session.add(row)
        self.session.flush()
        for line in order.lines:
            self.session.add(
                PurchaseLineRow(
                    purchase_id=row.id,
                    item=line.goods.shown_item[:120],
                    shade=line.goods.shown_shade[:60],
                    pack=line.pack,
                    packs=line.packs,
                    price=line.price,
                )
            )
        self.session.flush()
        return row

    def all(self) -> list[PurchaseRow]:
        """All orders, those still to come first, then by day."""
        rows = self.session.scalars(select(PurchaseRow).order_by(PurchaseRow.arrives_on.desc()))
        return sorted(rows, key=lambda row: row.state not in OPEN)

    def get(self, purchase_id: str, *, locked: bool = False) -> PurchaseRow:
        """One order; `locked` makes others wait. Raises Missing."""
        query = select(PurchaseRow).where(PurchaseRow.id == purchase_id)
        row = self.session.scalar(query.with_for_update() if locked else query)
        if row is None:
            raise Missing("order")
        return row

    def lines(self, purchase_id: str) -> list[PurchaseLine]:
        """The lines of an order, with what came of each."""
        came = (
            select(StockMovementRow.line_id, func.sum(StockMovementRow.quantity).label("units"))
            .where(StockMovementRow.line_id.is_not(None))
            .group_by(StockMovementRow.line_id)
            .subquery()
        )
        rows = self.session.execute(
            select(PurchaseLineRow, came.c.units)
            .outerjoin(came, came.c.line_id == PurchaseLineRow.id)
            .where(PurchaseLineRow.purchase_id == purchase_id)
            .order_by(PurchaseLineRow.item, PurchaseLineRow.shade, PurchaseLineRow.pack)
        )
        return [PurchaseLine(row, int(units or 0) // row.pack) for row, units in rows]

    def change_state(self, purchase_id: str, state: State) -> None:
        """Confirmed or cancelled. Raises StoreError where goods have come already."""
        row = self.get(purchase_id, locked=True)
        if row.state not in OPEN or (state == "cancelled" and row.state == "part"):
            raise StoreError(
                message("Goods of this order have come already."),
                message("Write down what came instead."),
            )
        row.state = state

    def receive(
        self,
        purchase_id: str,
        packs: Mapping[str, int],
        said: Said,
        place: str = "",
        paid: Mapping[str, Decimal] | None = None,
    ) -> int:
        """Write down a parcel: packs by line. All of it is kept, or none; twice counts once.

        Args:
            purchase_id: which order.
            packs: line → packs that came; other lines brought none.
            said: who, when, and the parcel's own key.
            place: where it is put.
            paid: line → price of a pack by the delivery note, where it is not as ordered.

        Returns:
            Packs that are new by it.
        """
        order = self.get(purchase_id, locked=True)
        stock = Stock(self.session)
        new = 0
        for line in self.lines(purchase_id):
            count = packs.get(line.row.id, 0)
            if count <= 0:
                continue
            row = line.row
            each = (paid or {}).get(row.id, row.price / row.packs) / row.pack
            part = Said(f"{said.key}:{row.id}", said.actor, said.day)
            goods = Goods.named(row.item, row.shade)
            made = stock.add_lot(
                goods, count * row.pack, part, place=place, each=each, line_id=row.id
            )
            new += count if made is not None else 0
        if order.state in OPEN:
            lines = self.lines(purchase_id)
            if all(line.open == 0 for line in lines):
                order.state = "received"
            elif any(line.received for line in lines):
                order.state = "part"
        return new

    def expected(self) -> tuple[Expected, ...]:
        """Everything that is still to come."""
        found = []
        for order in self.all():
            if order.state in OPEN:
                found += [
                    Expected(
                        Goods.named(line.row.item, line.row.shade),
                        line.open * line.row.pack,
                        order.arrives_on,
                        order.id,
                    )
                    for line in self.lines(order.id)
                    if line.open
                ]
        return tuple(found)

    def late(self, today: dt.date) -> Sequence[PurchaseRow]:
        """Orders that should have come."""
        return [row for row in self.all() if row.state in OPEN and row.arrives_on < today]

    def cost(self, purchase_id: str) -> Decimal:
        """Goods and freight of an order."""
        lines = self.lines(purchase_id)
        return sum((line.row.price for line in lines), self.get(purchase_id).freight)
