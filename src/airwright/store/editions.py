"""Offers as sent: frozen, opened, remarked on, and accepted once."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.language.figures import said_date
from airwright.store.errors import Missing, Overtaken, StoreError
from airwright.store.jobs import Jobs
from airwright.store.offer_tables import (
    Acceptance,
    EditionFile,
    EditionRow,
    LinkOpening,
    OfferRemark,
)
from airwright.store.tables import ClientLink, JobRow
from airwright.store.types import now

Standing = Literal["open", "accepted", "overtaken", "withdrawn", "expired"]
"""How an edition stands."""

OPENING_EVERY = dt.timedelta(minutes=10)
"""A page loaded again within this time counts as the same opening."""

BEFORE_YES = ("call", "drawn")


class Refusal(StoreError):
    """An acceptance that cannot be taken; its words are for the client."""


@dataclass(frozen=True, slots=True)
class FrozenFile:
    """A file that belongs to an edition or an invoice."""

    name: str
    media: str
    content: bytes

    @property
    def sha256(self) -> str:
        """Digest of its bytes."""
        return hashlib.sha256(self.content).hexdigest()


@dataclass(frozen=True, slots=True)
class Yes:
    """What the client sends with the acceptance."""

    option: str
    name: str
    mail: str = ""
    note: str = ""
    link_id: str | None = None
    taken_by: str = ""


class Editions:
    """Editions of offers, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def freeze(
        self,
        job_id: str,
        content: bytes,
        files: Mapping[str, FrozenFile] | None = None,
        *,
        after: int,
        planned: dict[str, Any],
        version: int,
        valid_until: dt.date,
        actor: str,
    ) -> EditionRow:
        """Keep an edition for ever.

        Args:
            job_id: of which job.
            content: its bytes; their SHA-256 is its fingerprint.
            files: pictures and PDF by name.
            after: number of the newest edition that the sender knows; 0 for none.
            planned: the studio's own side: hours and costs.
            version: of the job's file.
            valid_until: last day on which it may be accepted.
            actor: who sends it.

        Raises:
            Overtaken: another was sent meanwhile; nothing was written.
        """
        job = Jobs(self.session).get(job_id, locked=True)
        last = self.last_number(job_id)
        if last != after:
            raise Overtaken(last, self._sent_meanwhile(job_id, actor))
        row = EditionRow(
            job_id=job_id,
            number=last + 1,
            content=content,
            fingerprint=hashlib.sha256(content).hexdigest(),
            planned=planned,
            job_version=version,
            valid_until=valid_until,
            made=now(),
            made_by=actor[:120],
        )
        self.session.add(row)
        self.session.flush()
        for file in (files or {}).values():
            self.add_file(row.id, file)
        if job.stage in BEFORE_YES:
            job.stage = "offered"
        return row

    def _sent_meanwhile(self, job_id: str, actor: str) -> str:
        """Who sent the newest edition, as somebody is told who was about to send one."""
        newest = self.latest(job_id)
        if newest is None:
            return message("The editions of this job are gone.")
        if newest.made_by == actor[:120]:
            return message("You sent edition {n} already, in another window.", n=newest.number)
        return message("{who} sent edition {n} meanwhile.", who=newest.made_by, n=newest.number)

    def add_file(self, edition_id: str, file: FrozenFile) -> None:
        """Keep a file with an edition."""
        self.session.add(
            EditionFile(
                edition_id=edition_id,
                name=file.name[:120],
                media=file.media,
                sha256=file.sha256,
                content=file.content,
            )
        )
        self.session.flush()

    def last_number(self, job_id: str) -> int:
        """Number of a job's newest edition; 0 for none."""
        query = select(func.max(EditionRow.number)).where(EditionRow.job_id == job_id)
        return self.session.scalar(query) or 0

    def of_job(self, job_id: str) -> list[EditionRow]:
        """All editions of a job, newest first."""
        query = select(EditionRow).where(EditionRow.job_id == job_id)
        return list(self.session.scalars(query.order_by(EditionRow.number.desc())))

    def get(self, edition_id: str, job_id: str | None = None) -> EditionRow:
        """One edition (of a job). Raises Missing."""
        row = self.session.get(EditionRow, edition_id)
        if row is None or (job_id is not None and row.job_id != job_id):
            raise Missing("edition")
        return row

    def latest(self, job_id: str) -> EditionRow | None:
        """A job's newest edition."""
        return next(iter(self.of_job(job_id)), None)

    def file(self, edition_id: str, name: str) -> EditionFile:
        """One of an edition's files. Raises Missing."""
        row = self.session.get(EditionFile, (edition_id, name))
        if row is None:
            raise Missing("file")
        return row

    def file_names(self, edition_id: str) -> list[str]:
        """Names of an edition's files."""
        query = select(EditionFile.name).where(EditionFile.edition_id == edition_id)
        return list(self.session.scalars(query.order_by(EditionFile.name)))

    def withdraw(self, job_id: str, edition_id: str) -> EditionRow:
        """Take an offer back. Raises Refusal once it was accepted."""
        row = self.get(edition_id, job_id)
        if self.acceptance(edition_id) is not None:
            raise Refusal(
                message("This edition was accepted and cannot be withdrawn."),
                message("Send a new edition with what was agreed instead."),
            )
        row.withdrawn = row.withdrawn or now()
        return row

    # ---- the client's side -------------------------------------------------------------------

    def acceptance(self, edition_id: str) -> Acceptance | None:
        """The yes to an edition."""
        return self.session.get(Acceptance, edition_id)

    def accepted_of(self, job_id: str) -> tuple[EditionRow, Acceptance] | None:
        """The newest accepted edition of a job, and the yes to it."""
        query = (
            select(EditionRow, Acceptance)
            .join(Acceptance, Acceptance.edition_id == EditionRow.id)
            .where(EditionRow.job_id == job_id)
            .order_by(EditionRow.number.desc())
            .limit(1)
        )
        found = self.session.execute(query).first()
        return None if found is None else (found[0], found[1])

    def standing(self, row: EditionRow, today: dt.date) -> Standing:
        """How an edition stands today."""
        if self.acceptance(row.id) is not None:
            return "accepted"
        if row.withdrawn is not None:
            return "withdrawn"
        if row.number < self.last_number(row.job_id):
            return "overtaken"
        return "expired" if today > row.valid_until else "open"

    def accept(self, edition_id: str, yes: Yes, today: dt.date) -> Acceptance:
        """Take the client's yes, once and for good. Raises Refusal with words for the client."""
        row = self.get(edition_id)
        job = Jobs(self.session).get(row.job_id, locked=True)  # one answer at a time
        refused = self._refusal(row, today)
        if refused is not None:
            raise refused
        found = Acceptance(
            edition_id=edition_id,
            option=yes.option[:80],
            name=yes.name[:120],
            mail=yes.mail[:254],
            note=yes.note[:1000],
            at=now(),
            link_id=yes.link_id,
            taken_by=yes.taken_by[:120],
        )
        self.session.add(found)
        self.session.flush()
        if job.stage in (*BEFORE_YES, "offered"):
            job.stage = "accepted"
        return found

    def _refusal(self, row: EditionRow, today: dt.date) -> Refusal | None:
        standing = self.standing(row, today)
        if standing == "accepted":
            yes = self.acceptance(row.id)
            assert yes is not None
            return Refusal(
                message(
                    'This offer was accepted on {day} by {name}: "{option}". That stands.',
                    day=said_date(yes.at.date(), "long"),
                    name=yes.name,
                    option=yes.option,
                ),
                message("Call the studio if something should change."),
            )
        words = {
            "withdrawn": message("The studio has withdrawn this offer."),
            "overtaken": message(
                "A newer edition of this offer has been sent; this one is no longer open."
            ),
            "expired": message(
                "This offer was open until {day}.", day=said_date(row.valid_until, "long")
            ),
        }
        if standing == "open":
            return None
        return Refusal(words[standing], message("Ask the studio for a new link."))

    def remark(self, edition_id: str, name: str, text: str) -> OfferRemark:
        """Keep what a client writes."""
        row = OfferRemark(edition_id=edition_id, name=name[:120], text=text[:2000], at=now())
        self.session.add(row)
        self.session.flush()
        return row

    def remarks(self, job_id: str) -> list[tuple[int, OfferRemark]]:
        """What clients wrote, with the edition's number, newest first."""
        query = (
            select(EditionRow.number, OfferRemark)
            .join(OfferRemark, OfferRemark.edition_id == EditionRow.id)
            .where(EditionRow.job_id == job_id)
            .order_by(OfferRemark.at.desc())
            .limit(100)
        )
        return [(number, remark) for number, remark in self.session.execute(query)]

    def opened(self, link: ClientLink) -> None:
        """The client opened the page."""
        query = select(func.max(LinkOpening.at)).where(LinkOpening.link_id == link.id)
        last = self.session.scalar(query)
        if last is None or last < now() - OPENING_EVERY:
            self.session.add(LinkOpening(link_id=link.id, at=now()))
            self.session.flush()

    def openings(self, job_id: str) -> dict[str, list[dt.datetime]]:
        """When each link of a job was opened, newest first."""
        query = (
            select(LinkOpening.link_id, LinkOpening.at)
            .join(ClientLink, ClientLink.id == LinkOpening.link_id)
            .where(ClientLink.job_id == job_id)
            .order_by(LinkOpening.at.desc())
        )
        found: dict[str, list[dt.datetime]] = {}
        for link_id, at in self.session.execute(query):
            found.setdefault(link_id, []).append(at)
        return found

    def planned_of(self, job: JobRow) -> tuple[EditionRow, Acceptance | None] | None:
        """The edition that a job's result is measured against: accepted, else the newest."""
        accepted = self.accepted_of(job.id)
        if accepted is not None:
            return accepted
        latest = self.latest(job.id)
        return None if latest is None else (latest, None)
