"""Backups by themselves, tidying and a client's data, at the desk and at the command line."""

from __future__ import annotations

import datetime as dt
import io
import json
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from typer.testing import CliRunner

from airwright.cli.app import app as commands
from airwright.desk.backups import AGAIN, EVERY, Backups, last_backup, make_backup
from airwright.desk.keeping.service import aged, sized
from airwright.store import open_database, restore
from airwright.store.contacts import Card, Contacts
from airwright.store.files import Files
from airwright.store.jobs import Jobs
from airwright.store.rotation import kept
from airwright.store.studio import Facts
from airwright.store.types import now
from tests.desk.conftest import House


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[House]:
    made = House(f"sqlite:///{tmp_path / 'desk.db'}")
    for login, role in (("ada", "owner"), ("dan", "designer")):
        made.account(login, role)  # type: ignore[arg-type]
    made.desk.backups = Backups(made.desk.database, tmp_path / "backups")
    yield made
    made.desk.database.close()


def address(house: House) -> str:
    return str(house.desk.database.engine.url)


def test_a_backup_is_made_shown_and_taken_along(studio: House, tmp_path: Path) -> None:
    owner = studio.entered("ada")
    assert "There is no backup yet" in owner.page("/studio/keeping").get_text()
    assert studio.desk.backups.is_due()
    make_backup(address(studio), studio.desk.backups.folder, "Ada")
    assert not studio.desk.backups.is_due()
    page = owner.page("/studio/keeping")
    assert "minutes ago" in page.get_text() or "minute ago" in page.get_text()
    name = kept(studio.desk.backups.folder)[0].name
    (tmp_path / "along.zip").write_bytes(owner.post(f"/studio/keeping/backups/{name}").content)
    other = open_database(f"sqlite:///{tmp_path / 'other.db'}")
    assert restore(other, tmp_path / "along.zip").rows["people"] == 2
    other.close()
    for wrong in ("../desk.db", "desk.db", "airwright-2020-01-01-000000.zip"):
        assert owner.post(f"/studio/keeping/backups/{wrong}").status_code in (404, 405)
    assert studio.entered("dan").get("/studio/keeping").status_code == 403
    assert "Backed up" in owner.page("/team/log").get_text()


def test_a_backup_that_fails_says_so_and_is_tried_again(studio: House) -> None:
    folder = studio.desk.backups.folder
    folder.parent.mkdir(exist_ok=True)
    folder.write_text("a file where the folder should be")
    make_backup(address(studio), folder, "Ada")
    with studio.desk.database.reading() as session:
        last = last_backup(Facts(session))
    assert last is not None
    assert last.what
    assert not studio.desk.backups.is_due()  # not each minute
    fact = {"at": (now() - AGAIN).isoformat(), "file": "", "rows": 0, "what": "x", "mend": "y"}
    with studio.desk.database.writing() as session:
        Facts(session).put("last backup", json.dumps(fact))
    assert studio.desk.backups.is_due()
    assert "x" in studio.entered("ada").page("/studio/keeping").select_one(".alert").get_text()  # type: ignore[union-attr]


def test_old_and_future_backups_do_not_count_as_todays(studio: House) -> None:
    folder = studio.desk.backups.folder
    folder.mkdir()
    for moment, due in ((now() - EVERY, True), (now() + dt.timedelta(days=400), True),
                        (now() - dt.timedelta(hours=23), False)):  # fmt: skip
        for old in folder.iterdir():
            old.unlink()
        (folder / f"airwright-{moment:%Y-%m-%d-%H%M%S}.zip").touch()
        assert studio.desk.backups.is_due() is due, moment


@pytest.mark.slow
def test_it_works_by_itself_and_stops(studio: House) -> None:
    backups = studio.desk.backups
    backups.start()
    for _ in range(1200):
        if kept(backups.folder):
            break
        backups._ending.wait(0.1)
    backups.stop()
    assert kept(backups.folder)
    assert not list(backups.folder.glob(".backup-*"))


def test_tidying_at_the_desk_and_at_the_command_line(studio: House) -> None:
    job_id = studio.job()
    with studio.desk.database.writing() as session:
        Jobs(session).set_stage(job_id, "settled")
        Jobs(session).get(job_id).date = dt.date(2020, 1, 1)
        file = Files(session).put("paper", "x.pdf", "application/pdf", bytes(9000), job_id=job_id)
        file.made = now() - dt.timedelta(days=3000)
    look = ["tidy", "--look", "--json", "--database", address(studio)]
    told = json.loads(CliRunner().invoke(commands, look).output)
    assert told["heaps"]["papers"] == {"count": 1, "bytes": 9000}
    assert told["heaps"]["archive"]["count"] == 1
    owner = studio.entered("ada")
    assert "9 kB" in owner.page("/studio/keeping").get_text()
    assert studio.entered("dan").post("/studio/keeping/tidy").status_code == 403
    assert owner.post("/studio/keeping/tidy").status_code == 303
    again = json.loads(CliRunner().invoke(commands, look).output)
    assert sum(heap["count"] for heap in again["heaps"].values()) == 0
    assert "papers 1" in owner.page("/team/log?kind=tidied").get_text()
    plain = CliRunner().invoke(commands, ["tidy", "--database", address(studio)])
    assert plain.exit_code == 0
    assert "On the disk" in plain.output
    missing = CliRunner().invoke(commands, ["tidy", "--database", "sqlite:////nowhere/desk.db"])
    assert missing.exit_code == 2


def test_a_clients_data_are_handed_out_and_erased(studio: House) -> None:
    job_id = studio.job()
    with studio.desk.database.writing() as session:
        client = Jobs(session).get(job_id).client
        contact_id = Contacts(session).put(Card("client", client)).id
    owner, designer = studio.entered("ada"), studio.entered("dan")
    assert "Erase" not in designer.page(f"/contacts/{contact_id}").get_text()
    for path in ("data.zip", "erase"):
        assert designer.get(f"/contacts/{contact_id}/{path}").status_code == 403
    assert designer.post(f"/contacts/{contact_id}/erase").status_code == 403
    data = owner.get(f"/contacts/{contact_id}/data.zip").content
    names = zipfile.ZipFile(io.BytesIO(data)).namelist()
    assert "contact.vcf" in names
    assert any(name.endswith("job.toml") for name in names)
    page = owner.page(f"/contacts/{contact_id}/erase").get_text()
    assert "Goes altogether" in page
    assert owner.post(f"/contacts/{contact_id}/erase").status_code == 303
    assert owner.get(f"/jobs/{job_id}").status_code == 404
    assert owner.get(f"/contacts/{contact_id}").status_code == 404
    shown = owner.page("/team/log").get_text()
    assert "data erased" in shown
    assert client not in shown


def test_ages_and_sizes_in_words() -> None:
    assert str(aged(dt.timedelta(minutes=5))) == "5 minutes ago"
    assert str(aged(dt.timedelta(hours=26))) == "26 hours ago"
    assert str(aged(dt.timedelta(days=3))) == "3 days ago"
    assert [sized(n) for n in (0, 999, 1000, 2_500_000)] == ["0 B", "999 B", "1 kB", "2.5 MB"]
