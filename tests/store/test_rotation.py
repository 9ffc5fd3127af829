"""Backups by themselves: proved, thinned out, and none lost when the newest one fails."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.store import BackupError, Database, open_database, restore
from airwright.store import rotation as rotation_module
from airwright.store.jobs import Head, Jobs
from airwright.store.rotation import DAYS, MONTHS, WEEKS, kept, made_at, rotate, superfluous

START = dt.datetime(2027, 5, 22, 3, 0, tzinfo=dt.UTC)


def name(moment: dt.datetime) -> str:
    return f"airwright-{moment:%Y-%m-%d-%H%M%S}.zip"


def test_years_of_daily_backups_leave_days_weeks_and_months() -> None:
    """Kept by hand for 800 days: 7 days, 4 weeks, 12 months, counted on the calendar."""
    folder: set[str] = set()
    for day in range(800):
        folder.add(name(START + dt.timedelta(days=day)))
        folder -= set(superfluous(folder))
    assert (DAYS, WEEKS, MONTHS) == (7, 4, 12)
    moments = sorted((made_at(one) for one in folder), reverse=True)
    last = START + dt.timedelta(days=799)
    assert moments[:DAYS] == [last - dt.timedelta(days=n) for n in range(DAYS)]
    assert len({f"{moment:%G-%V}" for moment in moments if moment is not None}) >= WEEKS
    assert len({f"{moment:%Y-%m}" for moment in moments if moment is not None}) == MONTHS
    assert len(folder) <= DAYS + WEEKS + MONTHS


@given(st.lists(st.integers(0, 3_000_000), unique=True, max_size=60))
def test_the_newest_always_stays(minutes: list[int]) -> None:
    names = [name(START + dt.timedelta(minutes=n)) for n in minutes]
    gone = superfluous(names)
    assert set(gone) <= set(names)
    if names:
        assert max(names) not in gone
        assert len(names) - len(gone) <= DAYS + WEEKS + MONTHS
    assert superfluous(set(names) - set(gone)) == []  # once is enough


def test_strange_files_are_left_alone(tmp_path: Path) -> None:
    for stranger in ("desk.zip", "airwright-2027-13-99-000000.zip", "airwright-notes.zip"):
        (tmp_path / stranger).touch()
    assert kept(tmp_path) == []
    assert kept(tmp_path / "not there") == []
    assert superfluous(["desk.zip", "airwright-2027-13-99-000000.zip"]) == []


def test_a_backup_a_day_comes_back(database: Database, tmp_path: Path) -> None:
    with database.writing() as session:
        Jobs(session).add("one", Head("Pier"), "Ada")
    for day in range(9):
        file, made = rotate(database, tmp_path, START + dt.timedelta(days=day))
    assert made.rows["jobs"] == 1
    assert kept(tmp_path)[0].name == file.name
    assert len(kept(tmp_path)) == 8  # seven days; of two weeks and one month the newest are there
    other = open_database(f"sqlite:///{tmp_path / 'other.db'}")
    assert restore(other, file).rows["jobs"] == 1
    other.close()


def test_a_backup_that_fails_takes_none_away(
    database: Database, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for day in range(0, 16, 2):
        (tmp_path / name(START + dt.timedelta(hours=day))).write_bytes(b"old")
    before = {one.name for one in kept(tmp_path)}

    def fails(*_: object) -> None:
        raise BackupError("The disk is full.", "Make room.")

    monkeypatch.setattr(rotation_module, "back_up", fails)
    with pytest.raises(BackupError):
        rotate(database, tmp_path, START + dt.timedelta(days=3))
    assert {one.name for one in kept(tmp_path)} == before
