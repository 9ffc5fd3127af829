"""The day's ticks: made on phones that may be offline, merged line by line when they are back."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.tables import Tick
from airwright.store.types import now


@dataclass(frozen=True, slots=True)
class Ticked:
    """One line ticked or unticked, when, and by whom."""

    item: str
    ticked: bool
    at: dt.datetime
    actor: str


class Ticks:
    """Ticks, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def of_job(self, job_id: str) -> list[Tick]:
        """All ticks of a job."""
        query = select(Tick).where(Tick.job_id == job_id)
        return list(self.session.scalars(query.order_by(Tick.item)))

    def merge(self, job_id: str, news: Iterable[Ticked]) -> int:
        """Take in ticks; the latest word on each line wins, whatever order they come in.

        Returns:
            How many of them were news. A time in the future counts as now: a phone whose clock
            runs fast must not have the last word for ever.
        """
        known = {tick.item: tick for tick in self.of_job(job_id)}
        moment, changed = now(), 0
        for word in sorted(news, key=lambda w: (w.at, w.actor, w.ticked)):
            at = min(word.at, moment)
            row = known.get(word.item)
            if row is None:
                row = Tick(job_id=job_id, item=word.item[:200], ticked=False, at=at, actor="")
                self.session.add(row)
                known[word.item] = row
            elif (at, word.actor) <= (row.at, row.actor):
                continue
            row.ticked, row.at, row.actor = word.ticked, at, word.actor[:120]
            changed += 1
        return changed
