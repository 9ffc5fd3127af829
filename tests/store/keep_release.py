"""Keep a filled database and a backup of the tables of today, for all later versions to open.

    python -m tests.store.keep_release

Run it when a version is given out, and before the first migration that follows it. What it writes
stays for good: tests open it under every later version.
"""

from __future__ import annotations

import lzma
import tempfile
from decimal import Decimal
from pathlib import Path

from airwright.desk.seed import demo_text
from airwright.store import Database, back_up, open_database
from airwright.store.actuals import Actuals
from airwright.store.files import Files
from airwright.store.jobs import Head, Jobs, Summary
from airwright.store.links import Links
from airwright.store.migrating import HEAD
from airwright.store.people import People, hashed
from airwright.store.studio import StudioFile
from airwright.store.tasks import Tasks
from airwright.store.ticks import Ticked, Ticks
from tests.store.filling import MOMENT, fill

RELEASES = Path(__file__).parent / "releases"


def by_hand(database: Database) -> None:
    """What a desk writes in a day, through the doors the desk uses."""
    with database.writing() as session:
        jobs, text = Jobs(session), demo_text()
        job_id = jobs.add(text, Head("Ferry terminal reopening", "Saltmarsh Ferries"), "Ada").id
        jobs.change(job_id, 1, text + "# later\n", Head("Ferry terminal"), "a note", "Ada")
        jobs.summarise(job_id, 2, Summary(price=Decimal("184.50"), swatches={"coral": "#f0705a"}))
        Files(session).put("photo", "a.png", "image/png", bytes(range(256)), job_id=job_id)
        Files(session).put("logo", "logo.png", "image/png", b"\x89PNG")
        Actuals(session).add(job_id, "received", "deposit", Decimal("92.25"), "Ada")
        Ticks(session).merge(job_id, [Ticked("load:pole", True, MOMENT, "Bo")])
        link, _ = Links(session).make(job_id, 14)
        Links(session).choose(link, "Classic", "lovely")
        Tasks(session).add(job_id, "pack", {"papers": ["proposal"]})
        StudioFile(session).put('format = "airwright-studio/1"\ncurrency = "EUR"\n', 0)
        people = People(session)
        people.add("ada", "Ada", "owner", hashed("correct pony battery"))
        person = people.attempt("ada", True, "127.0.0.1")
        assert person is not None
        people.start_session(person)


def main() -> None:
    """Write the files of this version."""
    target = RELEASES / HEAD
    target.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "desk.db"
        database = open_database(f"sqlite:///{file}")
        with database.writing() as session:
            # Its own row of settings would be in the way of the filled one.
            fill(session.connection())
            session.connection().exec_driver_sql("DELETE FROM studio")
        by_hand(database)
        back_up(database, target / "backup.zip")
        with database.engine.connect() as connection:
            connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
        database.close()
        (target / "desk.db.xz").write_bytes(lzma.compress(file.read_bytes()))


if __name__ == "__main__":
    main()
