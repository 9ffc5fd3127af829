"""Money that came in and went back. A row is never changed: a slip is taken back by another."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.errors import Missing, StoreError
from airwright.store.offer_tables import PaymentRow
from airwright.store.types import now

MEANS = ("transfer", "card", "cash", "cheque", "other")
"""How money comes."""


class BookedTwice(StoreError):
    """A payment that is on the books already."""


@dataclass(frozen=True, slots=True)
class NewPayment:
    """A payment to book; `key` is that of the form, so that the same form books once."""

    key: str
    amount: Decimal
    currency: str
    date: dt.date
    means: str = "transfer"
    invoice: str = ""
    reference: str = ""
    job_id: str | None = None


class Payments:
    """Payments, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def book(self, new: NewPayment, actor: str, *, surely: bool = False) -> PaymentRow:
        """Book a payment.

        Args:
            new: what came in; negative for what went back.
            actor: who books it.
            surely: book it even though one of the same day, sum and reference is there.

        Raises:
            BookedTwice: the same form was sent twice, or it looks like one that is booked.
        """
        if self.session.scalar(select(PaymentRow).where(PaymentRow.key == new.key)) is not None:
            raise BookedTwice(
                message("This payment is on the books already."), message("Nothing was added.")
            )
        like = None if surely else self._like(new)
        if like is not None:
            raise BookedTwice(
                message(
                    "A payment of {amount} {currency} on {day} is on the books already.",
                    amount=f"{like.amount:f}",
                    currency=like.currency,
                    day=like.date.isoformat(),
                ),
                message('If it really came twice, tick "It came twice" and book it again.'),
            )
        return self._add(new, actor, None)

    def _like(self, new: NewPayment) -> PaymentRow | None:
        query = select(PaymentRow).where(
            PaymentRow.job_id == new.job_id,
            PaymentRow.date == new.date,
            PaymentRow.currency == new.currency,
            PaymentRow.amount == new.amount,
            PaymentRow.takes_back.is_(None),
        )
        back = select(PaymentRow.takes_back).where(PaymentRow.takes_back.is_not(None))
        same = self.session.scalars(query.where(PaymentRow.id.not_in(back)))
        wanted = new.reference.strip().lower()
        return next((row for row in same if row.reference.strip().lower() == wanted), None)

    def take_back(self, payment_id: str, actor: str, today: dt.date) -> PaymentRow:
        """Cancel a slip by a row of the opposite sum. Raises BookedTwice when it was done."""
        row = self.session.get(PaymentRow, payment_id, with_for_update=True)
        if row is None:
            raise Missing("payment")
        done = select(PaymentRow).where(PaymentRow.takes_back == payment_id)
        if row.takes_back is not None or self.session.scalar(done) is not None:
            raise BookedTwice(
                message("This payment was taken back already."), message("Nothing was changed.")
            )
        new = NewPayment(
            f"back-{row.id}",
            -row.amount,
            row.currency,
            row.date,
            row.means,
            row.invoice,
            row.reference,
            row.job_id,
        )
        return self._add(new, actor, payment_id)

    def _add(self, new: NewPayment, actor: str, takes_back: str | None) -> PaymentRow:
        row = PaymentRow(
            key=new.key[:64],
            job_id=new.job_id,
            invoice=new.invoice,
            amount=new.amount,
            currency=new.currency,
            date=new.date,
            means=new.means if new.means in MEANS else "other",
            reference=new.reference[:140],
            takes_back=takes_back,
            made=now(),
            made_by=actor[:120],
        )
        self.session.add(row)
        try:
            self.session.flush()
        except IntegrityError as problem:  # the same form, by another hand at the same moment
            raise BookedTwice(
                message("This payment is on the books already."), message("Nothing was added.")
            ) from problem
        return row

    def of_job(self, job_id: str) -> list[PaymentRow]:
        """A job's payments, oldest first."""
        query = select(PaymentRow).where(PaymentRow.job_id == job_id)
        return list(self.session.scalars(query.order_by(PaymentRow.date, PaymentRow.made)))

    def all(self, since: dt.date | None = None, until: dt.date | None = None) -> list[PaymentRow]:
        """Payments of a span of days, both included."""
        query = select(PaymentRow)
        if since is not None:
            query = query.where(PaymentRow.date >= since)
        if until is not None:
            query = query.where(PaymentRow.date <= until)
        return list(self.session.scalars(query.order_by(PaymentRow.date, PaymentRow.made)))
