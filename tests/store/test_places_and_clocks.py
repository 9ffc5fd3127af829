"""Files on network shares, and workers whose clocks were set."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from airwright.store import Database, StoreError, open_database, places
from airwright.store.jobs import Head, Jobs
from airwright.store.places import file_system_of, on_a_share
from airwright.store.tasks import Tasks
from airwright.store.types import now

# As the kernel writes them (proc(5), fstab(5): blanks as \040).
MOUNTS = """overlay / overlay rw,relatime 0 0
tmpfs {at}/here tmpfs rw 0 0
studio:/export {at}/nfs nfs4 rw,vers=4.2 0 0
//server/share {at}/the\\040share cifs rw 0 0
tmpfs {at}/nfs/local ext4 rw 0 0
short line
"""


@pytest.fixture
def mounts(tmp_path: Path) -> Path:
    for name in ("here", "nfs/local", "the share"):
        (tmp_path / name).mkdir(parents=True)
    file = tmp_path / "mounts"
    file.write_text(MOUNTS.format(at=str(tmp_path).replace(" ", "\\040")))
    return file


def test_shares_are_told_from_disks(tmp_path: Path, mounts: Path) -> None:
    assert file_system_of(tmp_path / "here" / "desk.db", mounts) == "tmpfs"
    assert on_a_share(tmp_path / "nfs" / "new" / "desk.db", mounts)
    assert on_a_share(tmp_path / "the share" / "desk.db", mounts)
    assert not on_a_share(tmp_path / "nfs" / "local" / "desk.db", mounts)
    assert not on_a_share(tmp_path / "here" / "desk.db", mounts)
    (tmp_path / "link").symlink_to(tmp_path / "nfs")
    assert on_a_share(tmp_path / "link" / "desk.db", mounts)
    assert not on_a_share(tmp_path / "nfs" / "desk.db", tmp_path / "no such list")


def test_a_file_on_a_share_is_refused(
    tmp_path: Path, mounts: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("airwright.store.database.on_a_share", lambda f: on_a_share(f, mounts))
    with pytest.raises(StoreError, match="network share"):
        open_database(f"sqlite:///{tmp_path / 'nfs' / 'desk.db'}")
    assert not (tmp_path / "nfs" / "desk.db").exists()
    open_database(f"sqlite:///{tmp_path / 'here' / 'desk.db'}").close()
    assert Path("/proc/mounts") == places.MOUNTS


@pytest.mark.parametrize(
    ("ahead", "free"),
    [(dt.timedelta(0), False), (dt.timedelta(seconds=3), False), (dt.timedelta(seconds=8), True),
     (dt.timedelta(days=400), True), (-dt.timedelta(seconds=30), True)],
)  # fmt: skip
def test_a_beat_in_the_future_is_none(database: Database, ahead: dt.timedelta, free: bool) -> None:
    with database.writing() as session:
        job_id = Jobs(session).add("x", Head("Pier"), "Ada").id
        task_id = Tasks(session).add(job_id, "pack", {}).id
        assert Tasks(session).claim("one") is not None
        Tasks(session).get(task_id).beat = now() + ahead
    with database.writing() as session:
        assert (Tasks(session).owed() == [task_id]) is free
        taken = Tasks(session).claim("two")
        assert (taken is not None) is free
        assert Tasks(session).beat(task_id, "one", 0, 1, "") is not free
