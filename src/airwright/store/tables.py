"""The tables. A job's file text is the truth; the columns beside it only make lists quick."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from sqlalchemy import (
    JSON,
    ForeignKey,
    Index,
    LargeBinary,
    MetaData,
    String,
    Text,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, deferred, mapped_column

from airwright.store.types import Exact, Instant, new_id, now

NAMING = {
    "ix": "ix_%(column_0_label)s",
    "uq": "uq_%(table_name)s_%(column_0_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

Key = String(16)


class Base(DeclarativeBase):
    """All tables."""

    metadata = MetaData(naming_convention=NAMING)
    type_annotation_map = {dt.datetime: Instant(), Decimal: Exact(), dict[str, Any]: JSON()}


class Person(Base):
    """Somebody with a way in: an owner, a designer or one of the crew."""

    __tablename__ = "people"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    login: Mapped[str] = mapped_column(String(120), unique=True)
    name: Mapped[str] = mapped_column(String(120))
    role: Mapped[str] = mapped_column(String(12))
    secret: Mapped[str] = mapped_column(String(300))
    active: Mapped[bool] = mapped_column(default=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)


class LoginSession(Base):
    """A person at the desk, from entering to leaving. Only the token's digest is kept."""

    __tablename__ = "sittings"

    token_digest: Mapped[str] = mapped_column(String(64), primary_key=True)
    person_id: Mapped[str] = mapped_column(ForeignKey("people.id", ondelete="CASCADE"), index=True)
    started: Mapped[dt.datetime] = mapped_column(default=now)
    seen: Mapped[dt.datetime] = mapped_column(default=now)
    ends: Mapped[dt.datetime]
    proved: Mapped[dt.datetime | None]
    address: Mapped[str] = mapped_column(String(64), default="", server_default="")
    browser: Mapped[str] = mapped_column(String(120), default="", server_default="")


class LoginAttempt(Base):
    """One try to enter; failures in a row slow the next one down."""

    __tablename__ = "knocks"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    login: Mapped[str] = mapped_column(String(120), index=True)
    address: Mapped[str] = mapped_column(String(64), index=True)
    at: Mapped[dt.datetime] = mapped_column(default=now)
    succeeded: Mapped[bool]


class JobRow(Base):
    """A job: its file, and what lists show of it."""

    __tablename__ = "jobs"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    text: Mapped[str] = mapped_column(Text)
    version: Mapped[int] = mapped_column(default=1)
    last_version: Mapped[int] = mapped_column(default=1)
    stage: Mapped[str] = mapped_column(String(12), default="call")
    title: Mapped[str] = mapped_column(String(200))
    client: Mapped[str] = mapped_column(String(200), default="")
    venue: Mapped[str] = mapped_column(String(200), default="")
    date: Mapped[dt.date | None]
    errors: Mapped[int] = mapped_column(default=0)
    cautions: Mapped[int] = mapped_column(default=0)
    balloons: Mapped[int] = mapped_column(default=0)
    hours: Mapped[float] = mapped_column(default=0.0)
    currency: Mapped[str] = mapped_column(String(3), default="USD")
    price: Mapped[Decimal | None]
    deposit: Mapped[Decimal | None]
    deposit_paid: Mapped[dt.datetime | None]
    swatches: Mapped[dict[str, Any] | None]
    archived: Mapped[dt.datetime | None]
    sample: Mapped[bool] = mapped_column(default=False)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    changed: Mapped[dt.datetime] = mapped_column(default=now)
    folded: Mapped[str] = deferred(
        mapped_column(Text, default="", server_default="", nullable=False)
    )

    __table_args__ = (Index("ix_jobs_stage_date", "stage", "date"), Index("ix_jobs_date", "date"))


class JobVersion(Base):
    """Every text a job ever had; `undoes` names the version that this one takes back.

    `packed` is the text, compressed; most of them against the text of the version `base`, which
    stands whole. `Jobs.version` reads them.
    """

    __tablename__ = "job_versions"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True)
    number: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    parent: Mapped[int | None]
    base: Mapped[int | None]
    packed: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
    label: Mapped[str] = mapped_column(String(200))
    actor: Mapped[str] = mapped_column(String(120))
    at: Mapped[dt.datetime] = mapped_column(default=now)
    undoes: Mapped[int | None]


class SavedDesign(Base):
    """A piece kept for later jobs, with what it came to."""

    __tablename__ = "saved_designs"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    name: Mapped[str] = mapped_column(String(120))
    kind: Mapped[str] = mapped_column(String(40))
    text: Mapped[str] = mapped_column(Text)
    currency: Mapped[str] = mapped_column(String(3))
    price: Mapped[Decimal | None]
    balloons: Mapped[int] = mapped_column(default=0)
    hours: Mapped[float] = mapped_column(default=0.0)
    made: Mapped[dt.datetime] = mapped_column(default=now)


class ClientLink(Base):
    """A page for one client; the link itself is not kept, only its digest."""

    __tablename__ = "client_links"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    token_digest: Mapped[str] = mapped_column(String(64), unique=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    ends: Mapped[dt.datetime]
    withdrawn: Mapped[dt.datetime | None]
    edition_id: Mapped[str | None] = mapped_column(String(16), index=True)
    recipient: Mapped[str] = mapped_column(String(200), default="", server_default="")
    choice: Mapped[str | None] = mapped_column(String(80))
    chosen: Mapped[dt.datetime | None]
    note: Mapped[str] = mapped_column(String(1000), default="")


class TaskRow(Base):
    """Long work done in the background: a pack of papers, a photograph."""

    __tablename__ = "tasks"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str] = mapped_column(String(20))
    order: Mapped[dict[str, Any]]
    state: Mapped[str] = mapped_column(String(12), default="waiting", index=True)
    done: Mapped[int] = mapped_column(default=0)
    total: Mapped[int] = mapped_column(default=0)
    note: Mapped[str] = mapped_column(String(300), default="")
    cancel: Mapped[bool] = mapped_column(default=False)
    tries: Mapped[int] = mapped_column(default=0)
    worker: Mapped[str] = mapped_column(String(80), default="")
    made: Mapped[dt.datetime] = mapped_column(default=now)
    beat: Mapped[dt.datetime | None]
    ended: Mapped[dt.datetime | None]


class StoredFile(Base):
    """A file made for a job, or a picture sent in. Kept here so that a backup holds it all."""

    __tablename__ = "files"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str | None] = mapped_column(
        ForeignKey("jobs.id", ondelete="CASCADE"), index=True
    )
    use: Mapped[str] = mapped_column(String(40))
    name: Mapped[str] = mapped_column(String(200))
    media: Mapped[str] = mapped_column(String(80))
    size: Mapped[int]
    version: Mapped[int | None]
    holds_money: Mapped[bool] = mapped_column(default=False)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    content: Mapped[bytes] = deferred(mapped_column(LargeBinary))


class Tick(Base):
    """One line of the day's lists, ticked or not; the latest word wins."""

    __tablename__ = "ticks"

    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), primary_key=True)
    item: Mapped[str] = mapped_column(String(200), primary_key=True)
    ticked: Mapped[bool]
    at: Mapped[dt.datetime]
    actor: Mapped[str] = mapped_column(String(120))


class Actual(Base):
    """What a job really took: hours worked, things bought, money received."""

    __tablename__ = "actuals"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"), index=True)
    kind: Mapped[str] = mapped_column(String(12))
    what: Mapped[str] = mapped_column(String(200))
    amount: Mapped[Decimal]
    actor: Mapped[str] = mapped_column(String(120))
    at: Mapped[dt.datetime] = mapped_column(default=now)


class StudioRow(Base):
    """The studio file; one row."""

    __tablename__ = "studio"

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    text: Mapped[str] = mapped_column(Text)
    version: Mapped[int] = mapped_column(default=1)
    changed: Mapped[dt.datetime] = mapped_column(default=now)


class Fact(Base):
    """A small thing the desk remembers about itself: its key, whether the tour was seen."""

    __tablename__ = "facts"

    name: Mapped[str] = mapped_column(String(60), primary_key=True)
    value: Mapped[str] = mapped_column(Text)
