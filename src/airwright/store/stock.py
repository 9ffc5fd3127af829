"""The shelf in the database: lots, movements, bar codes. Nothing is overwritten."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.operations.goods import Goods, good_until
from airwright.operations.stock.ledger import (
    LEAVES,
    Expected,
    Kind,
    Movement,
    Shelf,
    ShelfLot,
    taking,
)
from airwright.store.errors import Missing, StoreError
from airwright.store.stock_tables import StockCodeRow, StockLotRow, StockMovementRow
from airwright.store.types import now


@dataclass(frozen=True, slots=True)
class Said:
    """Who wrote something down, when, and for what cause; the same cause counts once."""

    key: str
    actor: str
    day: dt.date


class Stock:
    """The shelf, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    # ---- looking ------------------------------------------------------------------------------

    def shelf(self, expected: Iterable[Expected] = ()) -> Shelf:
        """All lots and movements, with what is on its way."""
        lots = {row.id: _lot(row) for row in self.session.scalars(select(StockLotRow))}
        made = StockMovementRow
        rows = self.session.execute(
            select(
                made.day, made.kind, made.item, made.shade, made.quantity, made.lot_id,
                made.job_id, made.due,
            ).order_by(made.at, made.id)
        )  # fmt: skip
        known: dict[tuple[str, str], Goods] = {}
        movements = []
        for day, kind, item, shade, quantity, lot, job, due in rows:
            goods = known.get((item, shade))
            if goods is None:
                goods = known[item, shade] = Goods.named(item, shade)
            movements.append(Movement(day, Kind(kind), goods, quantity, lot or "", job or "", due))
        return Shelf(lots, movements, tuple(expected))

    def in_use(self) -> bool:
        """Whether anything was ever put on the shelf."""
        return self.session.scalar(select(StockLotRow.id).limit(1)) is not None

    def lot(self, lot_id: str, *, locked: bool = False) -> StockLotRow:
        """One lot; `locked` makes others wait. Raises Missing."""
        query = select(StockLotRow).where(StockLotRow.id == lot_id)
        row = self.session.scalar(query.with_for_update() if locked else query)
        if row is None:
            raise Missing("lot")
        return row

    def history(self, item: str, shade: str) -> list[StockMovementRow]:
        """All that happened to goods, newest first."""
        query = select(StockMovementRow).where(
            StockMovementRow.item == item, StockMovementRow.shade == shade
        )
        return list(self.session.scalars(query.order_by(StockMovementRow.at.desc())))

    def there(self, lot_id: str) -> int:
        """How many of a lot are there."""
        rows = self.session.execute(
            select(StockMovementRow.kind, StockMovementRow.quantity).where(
                StockMovementRow.lot_id == lot_id
            )
        )
        goods = Goods("")
        moved = [Movement(dt.date.min, Kind(kind), goods, n, lot_id) for kind, n in rows]
        return Shelf({}, moved).by_lot().get(lot_id, 0)

    # ---- writing down -------------------------------------------------------------------------

    def known(self, key: str) -> bool:
        """Whether a cause has been saved already."""
        query = select(StockMovementRow.id).where(StockMovementRow.key == key)
        return self.session.scalar(query) is not None

    def add_lot(
        self,
        goods: Goods,
        quantity: int,
        said: Said,
        *,
        place: str = "",
        each: Decimal | None = None,
        keeps_until: dt.date | None = None,
        opened: bool = False,
        condition: str = "",
        line_id: str | None = None,
    ) -> StockLotRow | None:
        """A new lot that came today; None when its cause is known already."""
        if self.known(said.key):
            return None
        if quantity <= 0:
            raise StoreError(message("That is nothing."), message("Write a number above zero."))
        row = StockLotRow(
            item=goods.shown_item[:120],
            shade=goods.shown_shade[:60],
            since=said.day,
            good_until=keeps_until or good_until(goods.item, said.day),
            each=each,
            place=place[:60],
            opened=opened,
            condition=condition[:200],
            made=now(),
        )
        self.session.add(row)
        self.session.flush()
        self._write(row, Kind.RECEIVED, quantity, said, line_id=line_id)
        return row

    def move(
        self, lot_id: str, kind: Kind, quantity: int, said: Said, *, job_id: str | None = None,
        note: str = "", anyway: bool = False,
    ) -> bool:  # fmt: skip
        """Something that happened to a lot.

        Args:
            lot_id: which.
            kind: taken, brought back, popped, thrown away.
            quantity: how many, above zero.
            said: who, when, which cause.
            job_id, note: what for.
            anyway: whether more may be taken than the ledger holds.

        Returns:
            False when this cause is known already.

        Raises:
            StoreError: more than there is would be taken, and `anyway` was not said.
        """
        row = self.lot(lot_id, locked=True)
        if self.known(said.key):
            return False
        if quantity <= 0:
            raise StoreError(message("That is nothing."), message("Write a number above zero."))
        left = self.there(lot_id)
        if kind in LEAVES and quantity > left and not anyway:
            raise StoreError(
                message(
                    "Only {left} are there by the ledger; {quantity} would leave less than "
                    "nothing.",
                    left=left,
                    quantity=quantity,
                ),
                message("Take fewer, or count the shelf first."),
            )
        self._write(row, kind, quantity, said, job_id=job_id, note=note)
        return True

    def count(self, lot_id: str, seen: int, said: Said) -> int:
        """What was counted of a lot; posts the difference and returns it."""
        row = self.lot(lot_id, locked=True)
        if self.known(said.key):
            return 0
        if seen < 0:
            raise StoreError(
                message("There cannot be fewer than none."), message("Write what you counted.")
            )
        difference = seen - self.there(lot_id)
        if difference:
            self._write(row, Kind.COUNTED, difference, said)
        return difference

    def describe(self, lot_id: str, condition: str, said: Said) -> bool:
        """How a lot is now, in words; what it was stays in its history. False when known."""
        row = self.lot(lot_id, locked=True)
        if self.known(said.key) or row.condition == condition:
            return False
        row.condition = condition[:200]
        words = f"condition: {condition}" if condition else "in order again"
        self._write(row, Kind.COUNTED, 0, said, note=words)
        return True

    def take(self, goods: Goods, quantity: int, job_id: str, said: Said) -> int:
        """Take for a job, what ages first in front; returns how many are lacking."""
        parts, lacking = taking(self.shelf(), goods, quantity, said.day)
        for lot_id, part in parts.items():
            key = f"{said.key}:{lot_id}"
            self.move(lot_id, Kind.TAKEN, part, Said(key, said.actor, said.day), job_id=job_id)
        return lacking

    def promise(
        self, job_id: str, goods: Goods, quantity: int, due: dt.date, said: Said, *, firm: bool
    ) -> bool:
        """Promise goods to a job; False when this cause is known already."""
        return self._promise(
            Kind.RESERVED if firm else Kind.WANTED, job_id, goods, quantity, due, said
        )

    def release(self, job_id: str, goods: Goods, quantity: int, said: Said, *, firm: bool) -> bool:
        """End a promise, or a part of one; False when this cause is known already."""
        kind = Kind.RELEASED if firm else Kind.UNWANTED
        return self._promise(kind, job_id, goods, quantity, None, said)

    def bring_back(self, job_id: str, lot_id: str, quantity: int, said: Said) -> bool:
        """What a job brings back of a lot it took; False when this cause is known already.

        Raises:
            StoreError: more than it took and still has.
        """
        row = self.lot(lot_id, locked=True)
        if self.known(said.key):
            return False
        out = self.shelf().lots_out(job_id).get(lot_id, 0)
        if not 0 < quantity <= out:
            raise StoreError(
                message(
                    "{quantity} of {goods} cannot come back: {out} were taken.",
                    quantity=quantity,
                    goods=str(Goods.named(row.item, row.shade)),
                    out=out,
                ),
                message("Write what is in your hands, or count the shelf."),
            )
        self._write(row, Kind.BROUGHT_BACK, quantity, said, job_id=job_id)
        return True

    def _promise(
        self, kind: Kind, job_id: str, goods: Goods, quantity: int, due: dt.date | None, said: Said
    ) -> bool:
        if self.known(said.key[:120]) or quantity <= 0:
            return False
        self.session.add(
            StockMovementRow(
                key=said.key[:120],
                day=said.day,
                kind=kind.value,
                item=goods.shown_item[:120],
                shade=goods.shown_shade[:60],
                quantity=quantity,
                job_id=job_id,
                due=due,
                actor=said.actor[:120],
                at=now(),
            )
        )
        self.session.flush()
        return True

    def _write(
        self, row: StockLotRow, kind: Kind, quantity: int, said: Said, *,
        job_id: str | None = None, note: str = "", line_id: str | None = None,
    ) -> None:  # fmt: skip
        self.session.add(
            StockMovementRow(
                key=said.key[:120],
                day=said.day,
                kind=kind.value,
                item=row.item,
                shade=row.shade,
                quantity=quantity,
                lot_id=row.id,
                job_id=job_id,
                line_id=line_id,
                note=note[:200],
                actor=said.actor[:120],
                at=now(),
            )
        )
        self.session.flush()

    # ---- bar codes ----------------------------------------------------------------------------

    def tie_code(self, code: str, goods: Goods, pack: int) -> None:
        """What a bar code means from now on."""
        self.session.merge(
            StockCodeRow(
                code=code[:60], item=goods.shown_item[:120], shade=goods.shown_shade[:60], pack=pack
            )
        )

    def meaning(self, code: str) -> StockCodeRow | None:
        """What a bar code means, if it is known."""
        return self.session.get(StockCodeRow, code)


def _lot(row: StockLotRow) -> ShelfLot:
    return ShelfLot(
        row.id,
        Goods.named(row.item, row.shade),
        row.since,
        row.good_until,
        row.each,
        row.place,
        row.opened,
        row.condition,
    )
