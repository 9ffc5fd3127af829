"""Jobs: their files, all versions of them, and the columns that lists are made from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal, get_args

from sqlalchemy import ColumnElement, FromClause, and_, case, func, or_, select, update
from sqlalchemy.orm import Session, defer

from airwright.store.errors import Missing, Overtaken, StoreError
from airwright.store.offer_tables import Acceptance, EditionRow, InvoiceRow, PaymentRow
from airwright.store.tables import JobRow, JobVersion
from airwright.store.types import now

Stage = Literal["call", "drawn", "offered", "accepted", "booked", "built", "settled"]
STAGES: tuple[Stage, ...] = get_args(Stage)
"""A job's way: the call came, it is drawn, offered, accepted, booked (the deposit is here), built,
and settled (paid)."""

OPEN_STAGES: tuple[Stage, ...] = ("call", "drawn", "offered", "accepted", "booked", "built")

DEPOSIT_DAYS = 21
"""A booked job this near without its deposit needs attention."""


@dataclass(frozen=True, slots=True)
class Head:
    """What lists show of a job's file."""

    title: str
    client: str = ""
    venue: str = ""
    date: dt.date | None = None
    currency: str = "USD"


@dataclass(frozen=True, slots=True)
class Summary:
    """What building and planning a job came to, for lists."""

    errors: int = 0
    cautions: int = 0
    balloons: int = 0
    hours: float = 0.0
    price: Decimal | None = None
    deposit: Decimal | None = None
    swatches: dict[str, Any] = field(default_factory=dict)


_YES = select(EditionRow.job_id).join(Acceptance, Acceptance.edition_id == EditionRow.id).subquery()
_KEPT: tuple[tuple[FromClause, str], ...] = (
    (InvoiceRow.__table__, "invoices"),
    (PaymentRow.__table__, "payments"),
    (_YES, "an accepted offer"),
)
"""What keeps a job from being taken out."""


class Jobs:
    """Jobs, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    # ---- one job -----------------------------------------------------------------------------

    def add(
        self, text: str, head: Head, actor: str, *, stage: Stage = "call", sample: bool = False
    ) -> JobRow:
        """A new job with its first version."""
        row = JobRow(text=text, stage=stage, sample=sample, made=now(), changed=now())
        _write_head(row, head)
        self.session.add(row)
        self.session.flush()
        self._remember(row, 1, None, text, "Started", actor)
        return row

    def get(self, job_id: str, *, locked: bool = False) -> JobRow:
        """One job; `locked` keeps others from changing it until this transaction ends.

        Raises:
            Missing: there is no such job.
        """
        query = select(JobRow).where(JobRow.id == job_id)
        row = self.session.scalar(query.with_for_update() if locked else query)
        if row is None:
            raise Missing("job")
        return row

    def change(
        self, job_id: str, base: int, text: str, head: Head, label: str, actor: str
    ) -> JobRow:
        """Give a job a new text.

        Args:
            job_id: which.
            base: the version the text was made from.
            text, head: the new file and what lists show of it.
            label: what was changed, for the undo button.
            actor: by whom.

        Raises:
            Overtaken: the job's version is no longer `base`; nothing was written.
        """
        row = self.get(job_id, locked=True)
        if row.version != base:
            raise Overtaken(row.version)
        if text == row.text:
            return row
        number = row.last_version + 1
        self._remember(row, number, row.version, text, label, actor)
        row.text, row.version, row.last_version, row.changed = text, number, number, now()
        _write_head(row, head)
        return row

    def undo(self, job_id: str) -> tuple[JobRow, JobVersion | None]:
        """Go back to the text before the last change; returns what was undone, or None."""
        row = self.get(job_id, locked=True)
        here = self.version(job_id, row.version)
        if here.parent is None:
            return row, None
        self._stand_at(row, self.version(job_id, here.parent))
        return row, here

    def redo(self, job_id: str) -> tuple[JobRow, JobVersion | None]:
        """Go forward to the newest change made from here; returns it, or None."""
        row = self.get(job_id, locked=True)
        ahead = self._ahead(row)
        if ahead is not None:
            self._stand_at(row, ahead)
        return row, ahead

    def neighbours(self, row: JobRow) -> tuple[str | None, str | None]:
        """Labels of what undo and redo would do."""
        here = self.version(row.id, row.version)
        ahead = self._ahead(row)
        back = here.label if here.parent is not None else None
        return back, ahead.label if ahead is not None else None

    def version(self, job_id: str, number: int) -> JobVersion:
        """One version. Raises Missing."""
        found = self.session.get(JobVersion, (job_id, number))
        if found is None:
            raise Missing("version")
        return found

    def history(self, job_id: str, limit: int = 60) -> list[JobVersion]:
        """The latest versions, newest first, without their texts."""
        query = (
            select(JobVersion)
            .where(JobVersion.job_id == job_id)
            .options(defer(JobVersion.text))
            .order_by(JobVersion.number.desc())
            .limit(limit)
        )
        return list(self.session.scalars(query))

    def summarise(self, job_id: str, version: int, summary: Summary) -> None:
        """Keep what a version came to; nothing happens when the job has moved on."""
        self.session.execute(
            update(JobRow)
            .where(JobRow.id == job_id, JobRow.version == version)
            .values(
                errors=summary.errors,
                cautions=summary.cautions,
                balloons=summary.balloons,
                hours=summary.hours,
                price=summary.price,
                deposit=summary.deposit,
                swatches=summary.swatches,
            )
        )

    def set_stage(self, job_id: str, stage: Stage) -> JobRow:
        """Move a job on (or back)."""
        row = self.get(job_id, locked=True)
        row.stage = stage
        return row

    def set_deposit_paid(self, job_id: str, at: dt.datetime | None) -> JobRow:
        """When the deposit came, or that it did not."""
        row = self.get(job_id, locked=True)
        row.deposit_paid = at
        return row

    def remove(self, job_id: str) -> None:
        """Take a job out for good, with everything that belongs to it.

        Raises:
            StoreError: it has invoices, payments or a yes of its client, which must be kept.
        """
        row = self.get(job_id, locked=True)
        for table, words in _KEPT:
            if self.session.scalar(
                select(func.count()).select_from(table).where(table.c.job_id == job_id)
            ):
                raise StoreError(
                    f"This job has {words}, which must be kept.", 'Move it to "settled" instead.'
                )
        self.session.delete(row)
        self.session.flush()

    def texts(self, job_id: str, *numbers: int) -> Sequence[str]:
        """The texts of some versions, in the order asked for."""
        return [self.version(job_id, number).text for number in numbers]

    # ---- many jobs ---------------------------------------------------------------------------

    def search(
        self,
        words: str = "",
        stage: Stage | None = None,
        *,
        today: dt.date,
        limit: int = 40,
        offset: int = 0,
    ) -> list[JobRow]:
        """Jobs, what needs attention first, then by date; without their texts."""
        query = (
            select(JobRow)
            .where(*_matching(words, stage))
            .options(defer(JobRow.text))
            .order_by(
                JobRow.stage == "settled",
                attention(today),
                JobRow.date.is_(None),
                JobRow.date,
                JobRow.title,
                JobRow.id,
            )
            .limit(limit)
            .offset(offset)
        )
        return list(self.session.scalars(query))

    def in_hand(self, limit: int) -> list[tuple[str, str]]:
        """Title and text of the jobs that are not paid yet, the next event first."""
        rows = self.session.execute(
            select(JobRow.title, JobRow.text)
            .where(JobRow.stage.in_(OPEN_STAGES))
            .order_by(JobRow.date.is_(None), JobRow.date, JobRow.id)
            .limit(limit)
        )
        return [(str(title), str(text)) for title, text in rows]

    def count(self, words: str = "", stage: Stage | None = None) -> int:
        """How many jobs a search finds."""
        query = select(func.count()).select_from(JobRow).where(*_matching(words, stage))
        return self.session.scalar(query) or 0

    def count_by_stage(self) -> dict[str, int]:
        """How many jobs stand at each stage."""
        rows = self.session.execute(select(JobRow.stage, func.count()).group_by(JobRow.stage))
        counts: dict[str, int] = dict(iter(rows))
        return {stage: counts.get(stage, 0) for stage in STAGES}

    # ---- within ------------------------------------------------------------------------------

    def _ahead(self, row: JobRow) -> JobVersion | None:
        return self.session.scalar(
            select(JobVersion)
            .where(JobVersion.job_id == row.id, JobVersion.parent == row.version)
            .order_by(JobVersion.number.desc())
            .limit(1)
        )

    def _stand_at(self, row: JobRow, version: JobVersion) -> None:
        row.text, row.version, row.changed = version.text, version.number, now()

    def _remember(
        self, row: JobRow, number: int, parent: int | None, text: str, label: str, actor: str
    ) -> None:
        self.session.add(
            JobVersion(
                job_id=row.id,
                number=number,
                parent=parent,
                text=text,
                label=label[:200],
                actor=actor[:120],
                at=now(),
            )
        )


def attention(today: dt.date) -> ColumnElement[int]:
    """0 errors, 1 past but not built, 2 deposit due, 3 cautions, 4 nothing; settled jobs last."""
    open_job = JobRow.stage.in_(OPEN_STAGES)
    soon = today + dt.timedelta(days=DEPOSIT_DAYS)
    return case(
        (and_(open_job, JobRow.errors > 0), 0),
        (and_(open_job, JobRow.stage != "built", JobRow.date < today), 1),
        (
            and_(
                JobRow.stage.in_(("accepted", "booked")),
                JobRow.deposit_paid.is_(None),
                JobRow.date <= soon,
            ),
            2,
        ),
        (and_(open_job, JobRow.cautions > 0), 3),
        else_=4,
    )


def _matching(words: str, stage: Stage | None) -> list[ColumnElement[bool]]:
    conditions: list[ColumnElement[bool]] = []
    for word in words.split()[:8]:
        like = "%" + word.replace("\\", "\\\\").replace("%", r"\%").replace("_", r"\_") + "%"
        conditions.append(
            or_(
                *(
                    column.ilike(like, escape="\\")
                    for column in (JobRow.title, JobRow.client, JobRow.venue)
                )
            )
        )
    if stage is not None:
        conditions.append(JobRow.stage == stage)
    return conditions


def _write_head(row: JobRow, head: Head) -> None:
    row.title, row.client, row.venue = head.title[:200], head.client[:200], head.venue[:200]
    row.date, row.currency = head.date, head.currency[:3]
