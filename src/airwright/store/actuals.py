"""What a job really took and brought in: did it pay?"""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, get_args

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.errors import Missing
from airwright.store.tables import Actual
from airwright.store.types import now

Kind = Literal["hours", "bought", "spent", "received"]
KINDS: tuple[Kind, ...] = get_args(Kind)
"""Hours worked; balloons and hardware bought; other spending; money received."""


class Actuals:
    """Actuals, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def of_job(self, job_id: str) -> list[Actual]:
        """A job's actuals in the order they were saved."""
        query = select(Actual).where(Actual.job_id == job_id)
        return list(self.session.scalars(query.order_by(Actual.at, Actual.id)))

    def add(self, job_id: str, kind: Kind, what: str, amount: Decimal, actor: str) -> Actual:
        """Write one down."""
        row = Actual(
            job_id=job_id, kind=kind, what=what[:200], amount=amount, actor=actor[:120], at=now()
        )
        self.session.add(row)
        self.session.flush()
        return row

    def drop(self, job_id: str, actual_id: str, of: str | None = None) -> None:
        """Strike one out, one's own alone where `of` names somebody. Raises Missing."""
        row = self.session.get(Actual, actual_id)
        if row is None or row.job_id != job_id or (of is not None and row.actor != of):
            raise Missing("entry")
        self.session.delete(row)
