"""Job files go out and come back without loss, comments kept."""

import datetime as dt
from pathlib import Path

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.job.examples import NAMES, example_text
from airwright.job.locate import positions
from airwright.job.writing import with_value, write_atomically, write_job


@pytest.mark.parametrize("name", NAMES)
def test_a_job_comes_back_the_same(name: str) -> None:
    job = read_job(example_text(name), SPECS).job
    assert job is not None
    assert read_job(write_job(job), SPECS).job == job


@pytest.mark.parametrize("kind", SPECS)
def test_example_of_each_kind_comes_back_the_same(kind: str) -> None:
    from airwright.decor.pieces import KINDS

    head = example_text("ferry-terminal").split("[[pieces]]")[0]
    text = f"{head}\n[[pieces]]\n{KINDS[kind].example}"
    job = read_job(text, SPECS).job
    assert job is not None, read_job(text, SPECS).findings
    assert read_job(write_job(job), SPECS).job == job


def test_edits_keep_comments_and_layout() -> None:
    text = example_text("ferry-terminal")
    edited = with_value(text, ("pieces", 0, "height"), "7 ft")
    changed = [
        (old, new)
        for old, new in zip(text.splitlines(), edited.splitlines(), strict=True)
        if old != new
    ]
    assert len(changed) == 1
    assert '"7 ft"' in changed[0][1]
    assert "# floor to the top of the packed body" in changed[0][1]


def test_edits_reach_into_tables_and_lists() -> None:
    text = example_text("ferry-terminal")
    edited = with_value(text, ("pieces", 1, "clouds", 0, "shades"), ["coral"])
    edited = with_value(edited, ("pieces", 0, "topper"), None)
    edited = with_value(edited, ("job", "date"), dt.date(2028, 1, 2))
    job = read_job(edited, SPECS).job
    assert job is not None
    assert job.pieces[0].topper is None
    assert job.pieces[1].clouds[0].shades == ["coral"]
    assert job.job.date == dt.date(2028, 1, 2)


def test_positions_point_at_keys() -> None:
    text = example_text("ferry-terminal")
    lines = text.splitlines()
    for path, (line, column) in positions(text).items():
        rest = lines[line - 1][column - 1 :]
        if isinstance(path[-1], str):
            key = path[-1]
            assert rest.startswith(("[", key, f'"{key}"')), (path, rest)


def test_atomic_writing_leaves_nothing_behind(tmp_path: Path) -> None:
    target = tmp_path / "job.toml"
    write_atomically(target, b"one")
    write_atomically(target, b"two")
    assert target.read_bytes() == b"two"
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]


def test_atomic_writing_keeps_the_old_file_when_it_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    target = tmp_path / "job.toml"
    write_atomically(target, b"old")

    def full(fd: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(OSError, match="No space"):
        write_atomically(target, b"new")
    assert target.read_bytes() == b"old"
    assert [path.name for path in tmp_path.iterdir()] == ["job.toml"]
