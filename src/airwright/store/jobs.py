"""Jobs: their files, all versions of them, and the columns that lists are made from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal, get_args

from sqlalchemy import ColumnElement, FromClause, and_, case, func, select, update
from sqlalchemy.orm import Session, defer, undefer

from airwright.language import message, say
from airwright.store.compact import packed, smaller, unpacked
from airwright.store.errors import Missing, Overtaken, StoreError
from airwright.store.folding import folded, words_of
from airwright.store.offer_tables import Acceptance, EditionRow, InvoiceRow, PaymentRow
from airwright.store.tables import ClientLink, JobRow, JobVersion
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
    (InvoiceRow.__table__, message("invoices")),
    (PaymentRow.__table__, message("payments")),
    (_YES, message("an accepted offer")),
)
"""What keeps a job from being taken out."""


@dataclass(frozen=True, slots=True)
class OwnStep:
    """A version somebody made, and what it changed."""

    number: int
    label: str


@dataclass(frozen=True, slots=True)
class Steps:
    """What one person would undo and redo next."""

    undo: OwnStep | None
    redo: OwnStep | None


@dataclass(frozen=True, slots=True)
class Version:
    """A text a job once had, and how it came about."""

    number: int
    parent: int | None
    text: str
    label: str
    actor: str
    at: dt.datetime
    undoes: int | None


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
        _write_head(row, head, text)
        self.session.add(row)
        self.session.flush()
        self._remember(row, 1, None, text, say(message("Started")), actor)
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
        self,
        job_id: str,
        base: int,
        text: str,
        head: Head,
        label: str,
        actor: str,
        *,
        undoes: int | None = None,
    ) -> JobRow:
        """Give a job a new text.

        Args:
            job_id: which.
            base: the version the text was made from.
            text, head: the new file and what lists show of it.
            label: what was changed, for the undo button.
            actor: by whom.
            undoes: the version this one takes back, if it does.

        Raises:
            Overtaken: the job's version is no longer `base`; nothing was written.
        """
        row = self.get(job_id, locked=True)
        if row.version != base:
            raise Overtaken(row.version)
        if text == row.text and undoes is None:
            return row
        number = row.last_version + 1
        self._remember(row, number, row.version, text, label, actor, undoes)
        row.text, row.version, row.last_version, row.changed = text, number, number, now()
        _write_head(row, head, text)
        return row

    def own_steps(self, row: JobRow, actor: str) -> Steps:
        """What undo and redo would take back for one person.

        Each person's changes are a stack of their own: an undo takes the last one off, a redo is
        the undo of an undo, and a new change forgets what could be redone.
        """
        columns = (JobVersion.number, JobVersion.parent, JobVersion.actor, JobVersion.undoes)
        query = select(*columns, JobVersion.label).where(JobVersion.job_id == row.id)
        known = {found.number: found for found in self.session.execute(query)}
        chain = []
        at: int | None = row.version
        while at is not None and at in known:
            chain.append(known[at])
            at = known[at].parent
        done: list[OwnStep] = []
        taken_back: list[OwnStep] = []
        for found in reversed(chain):
            if found.actor != actor or found.parent is None:
                continue
            step = OwnStep(found.number, found.label)
            if found.undoes is None:
                done.append(step)
                taken_back.clear()
            elif done and done[-1].number == found.undoes:
                taken_back.append(OwnStep(found.number, done.pop().label))
            elif taken_back and taken_back[-1].number == found.undoes:
                done.append(OwnStep(found.number, taken_back.pop().label))
        return Steps(done[-1] if done else None, taken_back[-1] if taken_back else None)

    def since(self, row: JobRow, number: int, most: int) -> list[Version]:
        """Versions from the one after `number` to the present, oldest first.

        Raises:
            Overtaken: more than `most`, or the job never stood at `number`.
        """
        chain: list[Version] = []
        at = row.version
        while at != number:
            found = self.version(row.id, at)
            if found.parent is None or len(chain) >= most:
                raise Overtaken(row.version)
            chain.append(found)
            at = found.parent
        return chain[::-1]

    def version(self, job_id: str, number: int) -> Version:
        """One version. Raises Missing."""
        found = self._kept(job_id, number)
        text = self._text(found)
        return Version(number, found.parent, text, found.label, found.actor, found.at, found.undoes)

    def _kept(self, job_id: str, number: int) -> JobVersion:
        found = self.session.get(JobVersion, (job_id, number), options=[undefer(JobVersion.packed)])
        if found is None:
            raise Missing("version")
        return found

    def _text(self, found: JobVersion) -> str:
        whole = None if found.base is None else self._kept(found.job_id, found.base)
        return unpacked(found.packed, None if whole is None else unpacked(whole.packed))

    def history(self, job_id: str, limit: int = 60) -> list[JobVersion]:
        """The latest versions, newest first, without their texts."""
        query = (
            select(JobVersion)
            .where(JobVersion.job_id == job_id)
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

    def archive(self, job_id: str, at: dt.datetime | None) -> JobRow:
        """Put a job out of the lists, or back into them (None)."""
        row = self.get(job_id, locked=True)
        row.archived = at
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
                    message("This job has {words}, which must be kept.", words=words),
                    message('Move it to "settled" instead.'),
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
        archived: bool = False,
    ) -> list[JobRow]:
        """Jobs, what somebody waits for first, then by date; without their texts."""
        query = (
            select(JobRow)
            .where(*_matching(words, stage, archived=archived))
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

    def between(self, first: dt.date, last: dt.date, *, texts: bool = False) -> list[JobRow]:
        """Jobs of some days that are not archived, by date; their texts only if asked for."""
        query = (
            select(JobRow)
            .where(JobRow.archived.is_(None), JobRow.date >= first, JobRow.date <= last)
            .order_by(JobRow.date, JobRow.title, JobRow.id)
        )
        return list(self.session.scalars(query if texts else query.options(defer(JobRow.text))))

    def count(self, words: str = "", stage: Stage | None = None, *, archived: bool = False) -> int:
        """How many jobs a search finds."""
        matching = _matching(words, stage, archived=archived)
        query = select(func.count()).select_from(JobRow).where(*matching)
        return self.session.scalar(query) or 0

    def count_by_stage(self) -> dict[str, int]:
        """How many jobs stand at each stage."""
        query = select(JobRow.stage, func.count()).where(JobRow.archived.is_(None))
        rows = self.session.execute(query.group_by(JobRow.stage))
        counts: dict[str, int] = dict(iter(rows))
        return {stage: counts.get(stage, 0) for stage in STAGES}

    # ---- within ------------------------------------------------------------------------------

    def _remember(
        self,
        row: JobRow,
        number: int,
        parent: int | None,
        text: str,
        label: str,
        actor: str,
        undoes: int | None = None,
    ) -> None:
        base, data = self._small(row.id, parent, text)
        self.session.add(
            JobVersion(
                job_id=row.id,
                number=number,
                parent=parent,
                base=base,
                packed=data,
                label=label[:200],
                actor=actor[:120],
                at=now(),
                undoes=undoes,
            )
        )

    def _small(self, job_id: str, parent: int | None, text: str) -> tuple[int | None, bytes]:
        """A text against the last one that stands whole, or whole where that is no gain."""
        if parent is None:
            return None, packed(text)
        before = self._kept(job_id, parent)
        whole = before if before.base is None else self._kept(job_id, before.base)
        found = smaller(text, unpacked(whole.packed))
        return (None, packed(text)) if found is None else (whole.number, found)


UNDECIDED: tuple[Stage, ...] = ("call", "drawn", "offered")
"""Stages in which a client's choice on their page waits for an answer."""


def attention(today: dt.date) -> ColumnElement[int]:
    """0 a client chose and waits, 1 errors, 2 past but not built, 3 deposit due, 4 nothing.

    Cautions do not count: every job has some.
    """
    open_job = JobRow.stage.in_(OPEN_STAGES)
    soon = today + dt.timedelta(days=DEPOSIT_DAYS)
    chose = (
        select(ClientLink.id)
        .where(
            ClientLink.job_id == JobRow.id,
            ClientLink.choice.is_not(None),
            ClientLink.withdrawn.is_(None),
        )
        .exists()
    )
    return case(
        (and_(JobRow.stage.in_(UNDECIDED), chose), 0),
        (and_(open_job, JobRow.errors > 0), 1),
        (and_(open_job, JobRow.stage != "built", JobRow.date < today), 2),
        (
            and_(
                JobRow.stage.in_(("accepted", "booked")),
                JobRow.deposit_paid.is_(None),
                JobRow.date <= soon,
            ),
            2,
        ),
        else_=4,
    )


def like(word: str) -> str:
    """A pattern that finds a word anywhere, whatever signs are in it."""
    return "%" + word.replace("\\", "\\\\").replace("%", r"\%").replace("_", r"\_") + "%"


def _matching(
    words: str, stage: Stage | None, *, archived: bool = False
) -> list[ColumnElement[bool]]:
    conditions: list[ColumnElement[bool]] = [
        JobRow.archived.is_not(None) if archived else JobRow.archived.is_(None)
    ]
    conditions += [
        JobRow.folded.like(like(folded(word)), escape="\\") for word in words.split()[:8]
    ]
    if stage is not None:
        conditions.append(JobRow.stage == stage)
    return conditions


def _write_head(row: JobRow, head: Head, text: str) -> None:
    row.folded = words_of(head.title, head.client, head.venue, text)
    row.title, row.client, row.venue = head.title[:200], head.client[:200], head.venue[:200]
    row.date, row.currency = head.date, head.currency[:3]
