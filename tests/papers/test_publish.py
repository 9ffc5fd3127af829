"""A pack's folder holds the old pack or the new one, and never loses what is not ours."""

from __future__ import annotations

import errno
import json
import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.papers import publish as publishing
from airwright.papers.common import atomic_swap as exchanging
from airwright.papers.common.document import Paper
from airwright.papers.publish import JOURNAL, MANIFEST, STAGE, PackError, prepare, publish


def pack(mark: str, *paths: str) -> tuple[Paper, ...]:
    names = paths or ("plan.json", "proposal.pdf", "pictures/a.svg", "pictures/b.svg")
    return tuple(Paper(path, f"{mark} {path}".encode(), mark) for path in names)


OLD = pack("old", "plan.json", "proposal.pdf", "pictures/a.svg", "pictures/gone.svg")
NEW = pack("new")


def files(folder: Path) -> dict[str, str]:
    """Everything in a folder but our own bookkeeping."""
    return {
        path.relative_to(folder).as_posix(): path.read_text("utf-8")
        for path in folder.rglob("*")
        if path.is_file() and not path.relative_to(folder).parts[0].startswith(".airwright")
    }


def contents(papers: tuple[Paper, ...]) -> dict[str, str]:
    return {paper.path: paper.data.decode() for paper in papers}


def leftovers(folder: Path) -> list[str]:
    near = [*folder.parent.iterdir(), *folder.iterdir()]
    return [p.name for p in near if STAGE in p.name or p.name == JOURNAL or ".part" in p.name]


def test_first_pack_makes_the_folder(tmp_path: Path) -> None:
    out = tmp_path / "deep" / "out"
    written = publish(NEW, out)
    assert files(out) == contents(NEW)
    assert written == tuple(out / paper.path for paper in NEW)
    assert leftovers(out) == []
    listed = json.loads((out / MANIFEST).read_text("utf-8"))["files"]
    assert set(listed) == set(contents(NEW))


def test_second_pack_takes_the_place_of_the_first(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(OLD, out)
    publish(NEW, out)
    assert files(out) == contents(NEW)  # pictures/gone.svg was ours and is gone
    assert leftovers(out) == []


def test_what_is_not_ours_stays(tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "notes").mkdir(parents=True)
    (out / "empty").mkdir()
    (out / "notes" / "call.txt").write_text("rang at ten")
    (out / "link").symlink_to("notes/call.txt")
    publish(OLD, out)
    publish(NEW, out)
    mine = {"notes/call.txt": "rang at ten", "link": "rang at ten"}
    assert files(out) == contents(NEW) | mine
    assert (out / "empty").is_dir()
    assert (out / "link").is_symlink()
    assert leftovers(out) == []


def test_a_file_of_the_same_name_is_kept_under_another(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "proposal.pdf").write_text("my own")
    publish(OLD, out)
    assert files(out) == contents(OLD) | {"proposal.kept.pdf": "my own"}
    publish(NEW, out)
    assert files(out) == contents(NEW) | {"proposal.kept.pdf": "my own"}


def test_our_file_that_someone_changed_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    publish(OLD, out)
    (out / "plan.json").write_text("edited by hand")
    (out / "pictures" / "gone.svg").write_text("retouched")
    publish(NEW, out)
    kept = {"plan.kept.json": "edited by hand", "pictures/gone.svg": "retouched"}
    assert files(out) == contents(NEW) | kept


def test_a_file_where_a_folder_must_be_is_kept(tmp_path: Path) -> None:
    out = tmp_path / "out"
    (out / "plan.json").mkdir(parents=True)
    (out / "plan.json" / "inner.txt").write_text("odd, but mine")
    (out / "pictures").write_text("a file")
    publish(NEW, out)
    kept = {"plan.kept.json/inner.txt": "odd, but mine", "pictures.kept": "a file"}
    assert files(out) == contents(NEW) | kept


def test_a_link_in_the_way_is_not_followed(tmp_path: Path) -> None:
    out, outside = tmp_path / "out", tmp_path / "precious.txt"
    outside.write_text("precious")
    out.mkdir()
    (out / "proposal.pdf").symlink_to(outside)
    publish(NEW, out)
    assert outside.read_text() == "precious"
    assert (out / "proposal.kept.pdf").is_symlink()


def test_the_folder_one_stands_in_is_not_moved(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    publish(OLD, out)
    before = out.stat().st_ino
    monkeypatch.chdir(out)
    publish(NEW, Path())
    assert out.stat().st_ino == before
    assert files(out) == contents(NEW)
    assert leftovers(out) == []


def test_a_link_to_a_folder_stays_a_link(tmp_path: Path) -> None:
    real, link = tmp_path / "real", tmp_path / "link"
    real.mkdir()
    link.symlink_to(real)
    publish(OLD, link)
    publish(NEW, link)
    assert link.is_symlink()
    assert files(real) == contents(NEW)


# ---- crashes ---------------------------------------------------------------------


class Killed(BaseException):
    """Stands for a process that is gone: nothing catches it, no clean-up runs."""


def killed_at(step: int, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let the process die at its n-th change of the disk."""
    left = [step]

    def dying(real: Callable[..., object]) -> Callable[..., object]:
        def act(*args: object, **more: object) -> object:
            if left[0] <= 0:
                raise Killed
            left[0] -= 1
            if left[0] == 0:
                raise Killed
            return real(*args, **more)

        return act

    for name in ("replace", "rename", "unlink", "rmdir"):
        monkeypatch.setattr(Path, name, dying(getattr(Path, name)))
    monkeypatch.setattr(publishing, "_write", dying(publishing._write))
    monkeypatch.setattr(publishing, "exchange", dying(exchanging.exchange))
    # A dead process cleans nothing up.
    monkeypatch.setattr(publishing, "_discard", dying(publishing._discard))
    yield


@pytest.mark.parametrize("foreign", [False, True], ids=["ours alone", "with a note"])
@pytest.mark.parametrize("steps", ["one step", "two steps"])
def test_a_crash_at_any_step_is_mended_by_the_next_run(
    tmp_path: Path, foreign: bool, steps: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed at each change of the disk in turn, with and without a swap of the system's own."""
    if steps == "two steps":
        monkeypatch.setattr(exchanging, "_in_one_step", lambda first, second: False)
    ended = False
    for step in range(1, 60):
        out = tmp_path / f"out-{step}"
        note = {"note.txt": "mine"} if foreign else {}
        out.mkdir()
        for name, text in note.items():
            (out / name).write_text(text)
        publish(OLD, out)
        with pytest.MonkeyPatch.context() as patch:
            for _ in killed_at(step, patch):
                try:
                    publish(NEW, out)
                    ended = True
                except Killed:
                    pass
        if not foreign:
            # No half of each, even before anything is mended. Without the system's swap the
            # folder can be missing, with both packs beside it, until the next run.
            missing = steps == "two steps" and not out.exists()
            assert missing or files(out) in (contents(OLD), contents(NEW)), step
        # The next run finds either pack whole once it has looked.
        prepare(out)
        assert files(out) in (contents(OLD) | note, contents(NEW) | note), step
        monkeypatch.setattr(publishing, "STALE_S", -1.0)
        publish(NEW, out)
        assert files(out) == contents(NEW) | note, step
        assert leftovers(out) == [], step
        if ended:
            break
    assert ended
    assert step > 5


def test_a_failure_leaves_the_old_pack(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for foreign in (False, True):
        out = tmp_path / f"out-{foreign}"
        publish(OLD, out)
        if foreign:
            (out / "note.txt").write_text("mine")
        before = files(out)
        real, left = publishing._write, [2]

        def full(place: Path, data: bytes, real=real, left=left) -> None:  # type: ignore[no-untyped-def]
            left[0] -= 1
            if left[0] < 0:
                raise OSError(errno.ENOSPC, "No space left on device")
            real(place, data)

        with monkeypatch.context() as patch:
            patch.setattr(publishing, "_write", full)
            with pytest.raises(PackError, match="no room left"):
                publish(NEW, out)
        assert files(out) == before
        assert leftovers(out) == []


def test_a_run_still_at_work_is_left_alone(tmp_path: Path) -> None:
    out = tmp_path / "out"
    busy = tmp_path / f"{STAGE}out-busy"
    busy.mkdir()
    publish(NEW, out)
    assert busy.is_dir()


def test_two_renames_serve_where_there_is_no_swap(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(exchanging, "_in_one_step", lambda first, second: False)
    out = tmp_path / "out"
    publish(OLD, out)
    publish(NEW, out)
    assert files(out) == contents(NEW)
    assert leftovers(out) == []


# ---- folders that cannot take a pack -----------------------------------------------


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    target = tmp_path / "out"
    target.write_text("precious")
    with pytest.raises(PackError) as caught:
        prepare(target)
    assert "is a file" in caught.value.what
    assert caught.value.mend
    assert target.read_text() == "precious"


def test_a_file_in_the_path_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(PackError, match="file, not a folder"):
        prepare(tmp_path / "file" / "out")


@pytest.mark.parametrize("name", ["x" * 300, "a\0b"])
def test_an_impossible_name_is_told(tmp_path: Path, name: str) -> None:
    with pytest.raises(PackError):
        prepare(tmp_path / name)


def test_a_circle_of_links_is_told(tmp_path: Path) -> None:
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    with pytest.raises(PackError):
        prepare(tmp_path / "a")


@pytest.mark.parametrize(
    ("number", "word"),
    [
        (errno.EACCES, "may not be written"),
        (errno.EPERM, "may not be written"),
        (errno.ENOSPC, "no room"),
        (errno.EROFS, "read-only"),
        (errno.EIO, "cannot be written"),
    ],
)
def test_every_trouble_of_the_disk_is_said_plainly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, word: str
) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(publishing.tempfile, "TemporaryFile", refuse)
    with pytest.raises(PackError, match=word) as caught:
        prepare(tmp_path / "out")
    assert caught.value.mend.endswith(".")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_without_permission_is_told(tmp_path: Path) -> None:
    out = tmp_path / "out"
    out.mkdir(mode=0o500)
    with pytest.raises(PackError, match="may not be written"):
        prepare(out)


@pytest.mark.parametrize("path", ["../up.txt", "/etc/x", "a/../../b", ""])
def test_nothing_is_written_outside_the_folder(tmp_path: Path, path: str) -> None:
    with pytest.raises(ValueError, match="inside"):
        publish(pack("new", path), tmp_path / "out")


@pytest.mark.parametrize(
    "journal",
    [
        "not json",
        "[]",
        "{}",
        '{"format": "airwright-pack/1", "stage": "../up", "files": {}, "drop": {}, "ours": {}}',
        '{"format": "airwright-pack/1", "stage": ".airwright-stage-x", "files": {},'
        ' "drop": {"../precious.txt": "0"}, "ours": {}}',
    ],
)
def test_a_spoilt_journal_touches_nothing(tmp_path: Path, journal: str) -> None:
    precious = tmp_path / "precious.txt"
    precious.write_text("precious")
    out = tmp_path / "out"
    publish(OLD, out)
    (out / JOURNAL).write_text(journal)
    publish(NEW, out)
    assert precious.read_text() == "precious"
    assert contents(NEW).items() <= files(out).items()


@pytest.mark.parametrize(
    "manifest", ["", "[1]", '{"files": 3}', '{"files": {"../x": "0"}}', "[" * 9999]
)
def test_a_spoilt_manifest_makes_everything_foreign(tmp_path: Path, manifest: str) -> None:
    out = tmp_path / "out"
    publish(OLD, out)
    (out / MANIFEST).write_text(manifest)
    publish(NEW, out)
    have = files(out)
    assert contents(NEW).items() <= have.items()
    assert "old plan.json" in have.values()  # kept, since nobody can say that it is ours


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(["plan", "note"]),
            st.sampled_from(["plan.json", "proposal.pdf", "pictures/a.svg", "note.txt", "x/y.txt"]),
            st.integers(0, 3),
        ),
        max_size=12,
    )
)
def test_no_text_of_a_person_is_ever_lost(
    tmp_path_factory: pytest.TempPathFactory, acts: list[tuple[str, str, int]]
) -> None:
    """Whatever a person writes into the folder between packs is found again somewhere in it."""
    out = tmp_path_factory.mktemp("any") / "out"
    mine: set[str] = set()
    for at, (kind, path, number) in enumerate(acts):
        if kind == "plan":
            publish(pack(f"pack {at} {number}"), out)
            assert contents(pack(f"pack {at} {number}")).items() <= files(out).items()
        elif not (out / path).parent.is_file() and not (out / path).is_dir():
            target = out / path
            if target.is_file():
                mine.discard(target.read_text())
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_text(f"mine {at} {number}")
            mine.add(f"mine {at} {number}")
    assert mine <= set(files(out).values()) if out.exists() else not mine


def test_a_folder_that_is_a_link_is_put_aside_and_not_written_through(tmp_path: Path) -> None:
    elsewhere, folder = tmp_path / "elsewhere", tmp_path / "pack"
    elsewhere.mkdir()
    folder.mkdir()
    (folder / "note.txt").write_text("mine")
    (folder / "pictures").symlink_to(elsewhere)
    publish(NEW, folder)
    assert list(elsewhere.iterdir()) == []
    assert (folder / "pictures" / "a.svg").read_text() == "new pictures/a.svg"
    assert (folder / "pictures.kept").is_symlink()
