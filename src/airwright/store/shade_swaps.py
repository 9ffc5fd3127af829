"""Shades that may stand in for others, job by job; each was ticked by somebody."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.errors import Missing
from airwright.store.jobs import Jobs
from airwright.store.stock_tables import ShadeSwapRow
from airwright.store.types import now


class ShadeSwaps:
    """Ticked substitutes, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def all(self) -> list[ShadeSwapRow]:
        """All of them, oldest first."""
        return list(self.session.scalars(select(ShadeSwapRow).order_by(ShadeSwapRow.made)))

    def tick(self, job_id: str, item: str, shade: str, instead: str, actor: str) -> None:
        """A shade may stand in for another in a job; ticked twice is once. Raises Missing."""
        Jobs(self.session).get(job_id, locked=True)
        wanted = {"job_id": job_id, "item": item[:120], "shade": shade[:60],
                  "instead": instead[:60]}  # fmt: skip
        if self.session.scalar(select(ShadeSwapRow).filter_by(**wanted)) is None:
            self.session.add(ShadeSwapRow(**wanted, made=now(), made_by=actor[:120]))
            self.session.flush()

    def untick(self, swap_id: str) -> None:
        """It may not after all. Raises Missing."""
        row = self.session.get(ShadeSwapRow, swap_id)
        if row is None:
            raise Missing("substitute")
        self.session.delete(row)
