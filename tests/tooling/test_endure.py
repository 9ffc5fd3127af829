"""A short stretch of hardship, always the same; and proofs that it can find something."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from tools import endure
from tools.endure import Endurance, change, killed, missing, new_file, tear


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "rounds"),
    [("kills", 8), ("power cuts", 8), ("full disks", 3), ("clock jumps", 4),
     pytest.param("bad lines", 4, marks=pytest.mark.postgres)],
)  # fmt: skip
def test_a_short_stretch_finds_nothing(name: str, rounds: int) -> None:
    run = Endurance(seed=7)
    endure.HARDSHIPS[name][1](run, iter(range(rounds)))
    assert run.faults == []
    assert sum(run.counts.values()) == rounds


def test_a_lost_commit_is_found(tmp_path: Path) -> None:
    """The log cut before what was confirmed: as if the disk had lied."""
    address, job_id = new_file(tmp_path)
    confirmed, _synced = killed(address, job_id, random.Random(1), checkpoints=False)
    tear(tmp_path / "desk.db-wal", 32, random.Random(1))
    (tmp_path / "desk.db-shm").unlink(missing_ok=True)
    assert "confirmed" in missing(address, job_id, confirmed, confirmed + 1)


def test_another_text_is_found(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    address, job_id = new_file(tmp_path)
    database = endure.open_database(address)
    change(database, job_id, 1)
    database.close()
    assert missing(address, job_id, 2, 2) == ""
    monkeypatch.setattr(endure, "text_of", lambda number: f"otherwise {number}")
    assert "reads otherwise" in missing(address, job_id, 2, 2)
