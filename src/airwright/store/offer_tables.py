"""Tables of offers as sent, invoices, money in and mail. What is sent is never written again."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

from sqlalchemy import ForeignKey, Index, LargeBinary, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, deferred, mapped_column

from airwright.store.tables import Base, Key
from airwright.store.types import new_id, now


class EditionRow(Base):
    """An offer as sent: its content byte for byte, and the fingerprint of these bytes.

    `planned` is the studio's own side of it (hours, costs), never shown to a client.
    """

    __tablename__ = "offer_editions"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str] = mapped_column(ForeignKey("jobs.id", ondelete="CASCADE"))
    number: Mapped[int]
    content: Mapped[bytes] = mapped_column(LargeBinary)
    fingerprint: Mapped[str] = mapped_column(String(64))
    planned: Mapped[dict[str, Any]]
    job_version: Mapped[int]
    valid_until: Mapped[dt.date]
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))
    withdrawn: Mapped[dt.datetime | None]

    __table_args__ = (UniqueConstraint("job_id", "number"),)


class EditionFile(Base):
    """A picture or the PDF of an edition."""

    __tablename__ = "edition_files"

    edition_id: Mapped[str] = mapped_column(
        ForeignKey("offer_editions.id", ondelete="CASCADE"), primary_key=True
    )
    name: Mapped[str] = mapped_column(String(120), primary_key=True)
    media: Mapped[str] = mapped_column(String(80))
    sha256: Mapped[str] = mapped_column(String(64))
    content: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))


class LinkOpening(Base):
    """A client's link was opened."""

    __tablename__ = "link_openings"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    link_id: Mapped[str] = mapped_column(
        ForeignKey("client_links.id", ondelete="CASCADE"), index=True
    )
    at: Mapped[dt.datetime] = mapped_column(default=now)


class OfferRemark(Base):
    """What a client wrote on the page of an edition, without accepting it yet."""

    __tablename__ = "offer_remarks"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    edition_id: Mapped[str] = mapped_column(
        ForeignKey("offer_editions.id", ondelete="CASCADE"), index=True
    )
    name: Mapped[str] = mapped_column(String(120))
    text: Mapped[str] = mapped_column(String(2000))
    at: Mapped[dt.datetime] = mapped_column(default=now)


class Acceptance(Base):
    """The client said yes to an option of an edition: once, for good."""

    __tablename__ = "acceptances"

    edition_id: Mapped[str] = mapped_column(
        ForeignKey("offer_editions.id", ondelete="CASCADE"), primary_key=True
    )
    option: Mapped[str] = mapped_column(String(80))
    name: Mapped[str] = mapped_column(String(120))
    mail: Mapped[str] = mapped_column(String(254))
    note: Mapped[str] = mapped_column(String(1000))
    at: Mapped[dt.datetime]
    link_id: Mapped[str | None] = mapped_column(String(16))
    taken_by: Mapped[str] = mapped_column(String(120))


class InvoiceSeries(Base):
    """The last number given in a series. Held while the next one is given."""

    __tablename__ = "invoice_series"

    name: Mapped[str] = mapped_column(String(30), primary_key=True)
    last: Mapped[int]


class InvoiceRow(Base):
    """An invoice or credit note as issued; nothing in this row changes again.

    `content` is the document's model as canonical JSON, from which its files are made.
    """

    __tablename__ = "invoices"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    series: Mapped[str] = mapped_column(String(30))
    number: Mapped[int]
    name: Mapped[str] = mapped_column(String(48), unique=True)
    kind: Mapped[str] = mapped_column(String(12))
    job_id: Mapped[str | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    edition_id: Mapped[str | None] = mapped_column(String(16))
    corrects: Mapped[str | None] = mapped_column(String(48))
    client: Mapped[str] = mapped_column(String(200))
    issued: Mapped[dt.date]
    due: Mapped[dt.date]
    currency: Mapped[str] = mapped_column(String(3))
    net: Mapped[Decimal]
    tax: Mapped[Decimal]
    owed: Mapped[Decimal]
    content: Mapped[bytes] = mapped_column(LargeBinary)
    fingerprint: Mapped[str] = mapped_column(String(64))
    key: Mapped[str] = mapped_column(String(64), unique=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))

    __table_args__ = (UniqueConstraint("series", "number"), Index("ix_invoices_issued", "issued"))


class InvoiceFile(Base):
    """A file of an invoice, made once from its content: PDF, XML."""

    __tablename__ = "invoice_files"

    invoice_id: Mapped[str] = mapped_column(ForeignKey("invoices.id"), primary_key=True)
    name: Mapped[str] = mapped_column(String(120), primary_key=True)
    media: Mapped[str] = mapped_column(String(80))
    sha256: Mapped[str] = mapped_column(String(64))
    content: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))


class PaymentRow(Base):
    """Money in, or back to the client (negative). A slip is taken back by a row of its own."""

    __tablename__ = "payments"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    key: Mapped[str] = mapped_column(String(64), unique=True)
    job_id: Mapped[str | None] = mapped_column(ForeignKey("jobs.id"), index=True)
    invoice: Mapped[str] = mapped_column(String(48), default="", index=True)
    amount: Mapped[Decimal]
    currency: Mapped[str] = mapped_column(String(3))
    date: Mapped[dt.date]
    means: Mapped[str] = mapped_column(String(20))
    reference: Mapped[str] = mapped_column(String(140), default="")
    takes_back: Mapped[str | None] = mapped_column(String(16), unique=True)
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))


class MailRow(Base):
    """A mail as it was looked at before sending, and what became of it.

    `key` is of its cause, where it was made by itself: one cause makes one letter.
    """

    __tablename__ = "mails"

    id: Mapped[str] = mapped_column(Key, primary_key=True, default=new_id)
    job_id: Mapped[str | None] = mapped_column(
        ForeignKey("jobs.id", ondelete="CASCADE"), index=True
    )
    kind: Mapped[str] = mapped_column(String(20))
    recipient: Mapped[str] = mapped_column(String(254))
    subject: Mapped[str] = mapped_column(String(300))
    message_id: Mapped[str] = mapped_column(String(200), index=True)
    message: Mapped[bytes] = deferred(mapped_column(LargeBinary, nullable=False))
    state: Mapped[str] = mapped_column(String(12), index=True)
    tries: Mapped[int] = mapped_column(default=0)
    next_try: Mapped[dt.datetime | None]
    said: Mapped[str] = mapped_column(Text, default="")
    made: Mapped[dt.datetime] = mapped_column(default=now)
    made_by: Mapped[str] = mapped_column(String(120))
    sent: Mapped[dt.datetime | None]
    key: Mapped[str | None] = mapped_column(String(80))

    __table_args__ = (Index("ix_mails_key", "key", unique=True),)
