"""What goes with the years and on a client's word, and what must stay."""

from __future__ import annotations

import datetime as dt
import os
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import func, select

from airwright.job.keeping import Keeping
from airwright.store import Database, open_database
from airwright.store.contacts import Card, Contacts
from airwright.store.door_tables import Invitation, LogEntry
from airwright.store.editions import Editions, FrozenFile, Yes
from airwright.store.erasing import erase, gathered, held, without_client
from airwright.store.files import Files
from airwright.store.invitations import Invitations
from airwright.store.invoices import Invoices
from airwright.store.jobs import Head, Jobs
from airwright.store.links import Links
from airwright.store.logbook import Logbook
from airwright.store.offer_tables import InvoiceRow, PaymentRow
from airwright.store.payments import NewPayment, Payments
from airwright.store.tables import Base, ClientLink, StoredFile, TaskRow
from airwright.store.tasks import DONE, Tasks
from airwright.store.tidying import on_disk, spaces, tidy, vacuum, would_free
from airwright.store.types import now
from tests.store.filling import content
from tests.store.invoice_writers import order

RULES = Keeping(archive=365, papers=730, links=90, tasks=30, log=1000)
TEXT = """format = "airwright-job/1"
[job]
title = "Party of Mara Quist"
client = "Mara Quist"  # Quist with a Q
contact = "mara@example.org"
date = 2025-03-01
[billing]
name = "Mara Quist"
"""
HEAD = Head("Party of Mara Quist", "Mara Quist", "Pier hall", dt.date(2025, 3, 1))
TODAY = dt.date(2027, 5, 22)


def counts(database: Database) -> dict[str, int]:
    with database.reading() as session:
        return {
            table.name: session.scalar(select(func.count()).select_from(table)) or 0
            for table in Base.metadata.sorted_tables
        }


def old_job(database: Database, stage: str = "settled") -> str:
    """A job of long ago with a bit of everything."""
    long_ago = now() - dt.timedelta(days=1200)
    with database.writing() as session:
        jobs = Jobs(session)
        row = jobs.add(TEXT, HEAD, "Ada")
        jobs.change(row.id, 1, TEXT + "# Mara Quist rang\n", HEAD, "a note", "Ada")
        jobs.set_stage(row.id, stage)  # type: ignore[arg-type]
        file = Files(session).put("paper", "offer.pdf", "application/pdf", b"x" * 5000,
                                  job_id=row.id)  # fmt: skip
        file.made = long_ago
        edition = Editions(session).freeze(
            row.id, b"{}", {"offer.pdf": FrozenFile("offer.pdf", "application/pdf", b"%PDF")},
            after=0, planned={}, version=1, valid_until=TODAY, actor="Ada",
        )  # fmt: skip
        link, _ = Links(session).make(row.id, 14, edition.id, "mara@example.org")
        link.ends = long_ago
        task = Tasks(session).add(row.id, "pack", {})
        task.state, task.ended = DONE, long_ago
        Logbook(session).write("exported", "Ada", "Mara Quist.zip", job_id=row.id)
        Logbook(session).write("offer accepted", "Mara Quist (client)", "Classic", job_id=row.id)
        session.flush()
        mine = (LogEntry.job_id == row.id) & (LogEntry.kind == "exported")
        session.scalars(select(LogEntry).where(mine)).one().at = long_ago
        return row.id


def test_tidying_takes_what_it_said_and_nothing_else(database: Database) -> None:
    settled, open_job = old_job(database), old_job(database, "booked")
    with database.reading() as session:
        texts = {n: Jobs(session).version(settled, n).text for n in (1, 2)}
    before = counts(database)
    said = would_free(database, RULES, now())
    assert counts(database) == before  # looking changes nothing
    assert {s.heap: s.count for s in said} == {
        "archive": 1, "papers": 1, "links": 2, "tasks": 2, "log": 2, "doors": 0, "copies": 0
    }  # fmt: skip
    assert next(s.size for s in said if s.heap == "papers") == 5000
    assert tidy(database, RULES, now()) == said
    after = counts(database)
    gone = {name: before[name] - after[name] for name in before if before[name] != after[name]}
    assert gone == {"files": 1, "client_links": 2, "tasks": 2, "log_entries": 2}
    with database.reading() as session:
        assert Jobs(session).get(settled).archived is not None
        assert Jobs(session).get(open_job).archived is None
        assert {n: Jobs(session).version(settled, n).text for n in (1, 2)} == texts
    assert {s.count for s in would_free(database, RULES, now())} == {0}  # once is enough


def test_zero_days_mean_for_ever(database: Database) -> None:
    old_job(database)
    never = Keeping(archive=0, papers=0, links=0, tasks=0, log=0)
    before = counts(database)
    assert sum(s.count for s in tidy(database, never, now())) == 0
    assert counts(database) == before


def test_the_link_of_an_agreement_stays(database: Database) -> None:
    job_id = old_job(database)
    with database.writing() as session:
        edition = Editions(session).latest(job_id)
        link = session.scalars(select(ClientLink)).one()
        assert edition is not None
        Editions(session).accept(edition.id, Yes("Classic", "Mara", link_id=link.id), TODAY)
    tidy(database, RULES, now())
    assert counts(database)["client_links"] == 1


@pytest.mark.parametrize(("days", "goes"), [(29, 0), (31, 1)])
def test_ended_invitations_and_copies_before_a_change_stay_a_month(
    days: int, goes: int, tmp_path: Path
) -> None:
    """What the pages on safe keeping promise: 30 days."""
    desk = open_database(f"sqlite:///{tmp_path / 'desk.db'}")
    moment = now()
    copy = tmp_path / "desk-before-0001.db"
    copy.touch()
    ended = moment - dt.timedelta(days=days)
    os.utime(copy, (ended.timestamp(), ended.timestamp()))
    with desk.writing() as session:
        Invitations(session).make("Cleo", "crew", "Ada")
        session.flush()
        session.scalars(select(Invitation)).one().ends = ended
    found = {share.heap: share.count for share in tidy(desk, RULES, moment)}
    desk.close()
    assert (found["doors"], found["copies"]) == (goes, goes)
    assert copy.exists() == (not goes)


def test_an_invitation_ends_after_a_week(database: Database) -> None:
    with database.writing() as session:
        Invitations(session).make("Cleo", "crew", "Ada")
        session.flush()
        (row,) = Invitations(session).open()
        assert dt.timedelta(days=6.9) < row.ends - now() <= dt.timedelta(days=7)


def test_room_is_told_and_given_back(database: Database) -> None:
    with database.writing() as session:
        job = Jobs(session).add(TEXT, HEAD, "Ada")
        Jobs(session).set_stage(job.id, "settled")
        for n in range(8):
            file = Files(session).put("paper", f"{n}", "x/y", bytes(500_000), job_id=job.id)
            file.made = now() - dt.timedelta(days=900)
    with database.reading() as session:
        assert spaces(session)[0].table == "files"
        assert spaces(session)[0].size == 4_000_000
    before = on_disk(database)
    tidy(database, RULES, now())
    vacuum(database)
    if database.is_sqlite:  # a server reuses the room itself
        with database.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        assert on_disk(database) < before - 3_000_000
    assert on_disk(database) > 0


# ---- a client's data -------------------------------------------------------------------------


def client(database: Database) -> str:
    with database.writing() as session:
        return Contacts(session).put(Card("client", "Mara Quist", mail="mara@example.org")).id


def agreed(database: Database, job_id: str) -> None:
    with database.writing() as session:
        edition = Editions(session).latest(job_id)
        assert edition is not None
        yes = Yes("Classic", "Mara Quist", "mara@example.org", "my door code is 4711")
        Editions(session).accept(edition.id, yes, TODAY)
        Editions(session).remark(edition.id, "Mara Quist", "is blue possible?")
        bill = replace(order(f"key-{job_id}"), job_id=job_id, client="Mara Quist")
        Invoices(session).issue(bill, "Ada")
        Payments(session).book(
            NewPayment(f"pay-{job_id}", Decimal("119.00"), "EUR", TODAY, job_id=job_id), "Ada"
        )


def everything(database: Database) -> str:
    """All that is stored, as one text: packed versions unpacked."""
    with database.reading() as session:
        rows = content(session.connection(), list(Base.metadata.sorted_tables))
        packed = [Jobs(session).version(row[0], row[1]).text for row in rows.pop("job_versions")]
    return str(rows) + str(packed)


def test_without_invoices_a_client_goes_without_a_trace(database: Database) -> None:
    contact_id, job_id = client(database), old_job(database)
    theirs = TEXT.replace("Mara", "Ada").replace("mara", "ada").replace("Quist", "Lund")
    with database.writing() as session:
        other = Jobs(session).add(theirs, Head("B", "Ada Lund"), "Ada").id
        told = erase(session, contact_id, 10, TODAY)
    assert [found for found, _ in told.going] == [job_id]
    assert told.staying == ()
    stored = everything(database)
    for trace in ("Mara", "Quist", "mara@example.org"):
        assert trace not in stored, trace
    with database.reading() as session:
        assert Jobs(session).get(other).client == "Ada Lund"


def test_what_the_tax_office_wants_stays_and_nothing_else(database: Database) -> None:
    contact_id, job_id = client(database), old_job(database)
    agreed(database, job_id)
    with database.reading() as session:
        bills = content(session.connection(), [InvoiceRow.__table__, PaymentRow.__table__])  # type: ignore[list-item]
        told = held(session, contact_id, 10, TODAY)
    assert told.going == ()
    assert told.staying[0].until == dt.date(2037, 12, 31)
    assert told.staying[0].agreed
    with database.writing() as session:
        erase(session, contact_id, 10, TODAY)
    with database.reading() as session:
        kept = content(session.connection(), [InvoiceRow.__table__, PaymentRow.__table__])  # type: ignore[list-item]
        assert kept == bills
        row = Jobs(session).get(job_id)
        assert (row.client, row.title) == ("", "Party of –")
        assert Jobs(session).search("quist", today=TODAY) == []
        assert session.scalars(select(StoredFile)).all() == []
        assert session.scalars(select(TaskRow)).all() == []
        yes = Editions(session).accepted_of(job_id)
        assert yes is not None
        assert yes[1].name == "Mara Quist"  # who agreed is part of what was agreed
    stored = everything(database)
    for trace in ("mara@example.org", "4711", "is blue possible", "Mara Quist rang"):
        assert trace not in stored, trace
    with database.writing() as session:  # the job can still be worked on
        row = Jobs(session).get(job_id)
        Jobs(session).change(job_id, row.version, row.text + "# x\n", Head("P"), "x", "Ada")


def test_after_its_years_it_goes_altogether(database: Database) -> None:
    contact_id, job_id = client(database), old_job(database)
    agreed(database, job_id)
    with database.writing() as session:
        erase(session, contact_id, 10, dt.date(2038, 1, 1))
    after = counts(database)
    for table in ("jobs", "invoices", "invoice_files", "payments", "acceptances", "contacts"):
        assert after[table] == 0, table


def test_a_clients_data_are_gathered_whole(database: Database) -> None:
    contact_id, job_id = client(database), old_job(database)
    agreed(database, job_id)
    with database.reading() as session:
        found = dict(gathered(session, contact_id))
    names = {name.split("/", 1)[1] for name in found}
    assert {"job.toml", "offer-1/offer.pdf", "payments.csv", "said.csv"} <= names
    assert all(".." not in name and not name.startswith("/") for name in found)
    said = next(data for name, data in found.items() if name.endswith("said.csv")).decode()
    assert "is blue possible?" in said
    assert "119.00" in next(d for n, d in found.items() if n.endswith("payments.csv")).decode()


@pytest.mark.parametrize("text", [TEXT, "not = [toml", ""])
def test_a_file_loses_its_client(text: str) -> None:
    cleaned = without_client(text + "\n# MARA QUIST", ["Mara Quist"])
    assert "quist" not in cleaned.lower().replace("quist with a q", "")
    assert "mara@" not in cleaned
