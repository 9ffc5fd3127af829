"""A backup is worth what can be restored from it."""

from __future__ import annotations

import threading
import zipfile
from decimal import Decimal
from pathlib import Path

import pytest
from sqlalchemy import select

from airwright.store import BackupError, Database, back_up, open_database, restore, verify
from airwright.store.actuals import Actuals
from airwright.store.files import Files
from airwright.store.jobs import Head, Jobs, Summary
from airwright.store.people import People, hashed
from airwright.store.tables import Base


def fill(database: Database) -> str:
    with database.writing() as session:
        job_id = Jobs(session).add("# ähm\ntitle = 'x'\n", Head("Pier"), "Ada").id
        Jobs(session).change(job_id, 1, "two", Head("Pier"), "two", "Ada")
        Jobs(session).summarise(job_id, 2, Summary(price=Decimal("12.30"), swatches={"a": [1]}))
        Files(session).put("photo", "a.png", "image/png", bytes(range(256)), job_id=job_id)
        Actuals(session).add(job_id, "spent", "parking", Decimal("4.00"), "Ada")
        People(session).add("ada", "Ada", "owner", hashed("correct pony battery"))
    return job_id


def content(database: Database) -> dict[str, list[tuple[object, ...]]]:
    with database.reading() as session:
        return {
            table.name: sorted(map(tuple, session.execute(select(table))), key=repr)
            for table in Base.metadata.sorted_tables
        }


def test_everything_comes_back_also_in_another_database(database: Database, tmp_path: Path) -> None:
    fill(database)
    made = back_up(database, tmp_path / "b.zip")
    assert made.rows["jobs"] == 1
    other = open_database(f"sqlite:///{tmp_path}/other.db")
    restore(other, tmp_path / "b.zip")
    assert content(other) == content(database)
    other.close()


def test_restore_replaces_only_when_told(database: Database, tmp_path: Path) -> None:
    fill(database)
    back_up(database, tmp_path / "b.zip")
    before = content(database)
    with pytest.raises(BackupError):
        restore(database, tmp_path / "b.zip")
    with database.writing() as session:
        Jobs(session).add("later", Head("Later"), "Ada")
    restore(database, tmp_path / "b.zip", replace=True)
    assert content(database) == before


def test_a_backup_made_while_people_work_is_one_moment(database: Database, tmp_path: Path) -> None:
    job_id = fill(database)
    going = threading.Event()

    def work() -> None:
        base = 2
        while not going.is_set():
            with database.writing() as session:
                base = (
                    Jobs(session).change(job_id, base, f"t{base}", Head("Pier"), "x", "Ada").version
                )

    worker = threading.Thread(target=work)
    worker.start()
    try:
        for number in range(4):
            back_up(database, tmp_path / f"b{number}.zip")
    finally:
        going.set()
        worker.join()
    other = open_database(f"sqlite:///{tmp_path}/other.db")
    restore(other, tmp_path / "b3.zip")
    with other.reading() as session:
        row = Jobs(session).get(job_id)
        assert Jobs(session).version(job_id, row.version).text == row.text
        assert row.last_version == len(Jobs(session).history(job_id, 10_000))
    other.close()


def test_a_damaged_backup_is_refused_and_harms_nothing(database: Database, tmp_path: Path) -> None:
    fill(database)
    good = tmp_path / "b.zip"
    back_up(database, good)
    before = content(database)
    wrong = tmp_path / "wrong.zip"
    with zipfile.ZipFile(good) as source, zipfile.ZipFile(wrong, "w") as target:
        for name in source.namelist():
            data = source.read(name)
            target.writestr(name, data.replace(b"two", b"2wo") if "versions" in name else data)
    half = tmp_path / "half.zip"
    half.write_bytes(good.read_bytes()[: good.stat().st_size // 2])
    text = tmp_path / "text.zip"
    text.write_text("shopping list")
    for broken in (wrong, half, text, tmp_path / "absent.zip"):
        with pytest.raises(BackupError):
            restore(database, broken, replace=True)
        with pytest.raises(BackupError):
            verify(broken)
    assert content(database) == before


def test_a_backup_that_cannot_be_written_is_said_plainly(
    database: Database, tmp_path: Path
) -> None:
    (tmp_path / "note").write_text("a file where a folder should be")
    for target in (tmp_path / "note" / "desk.zip", tmp_path):
        with pytest.raises(BackupError) as caught:
            back_up(database, target)
        assert str(target) in caught.value.what
