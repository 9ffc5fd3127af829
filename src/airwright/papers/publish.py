"""Writing a pack into a folder so that a crash leaves the old pack or the new one.

Two ways, chosen by what lies in the folder:

* It is missing, empty, or holds nothing but an unchanged pack of ours: the new pack is built in
  a sibling folder and the two folders change places in one step.
* It holds something else too (or is the folder one stands in): files are built in a folder
  inside it, a journal is written, and the files are moved one by one. A crash in between is
  completed from the journal by the next run.

`.airwright-pack.json` lists what we wrote, with hashes. Only files in that list whose hash still
matches are ever replaced or removed; anything else in the way is kept under a name of its own
("proposal.kept.pdf"). Decision 0012.
"""

from __future__ import annotations

import contextlib
import errno
import hashlib
import json
import os
import shutil
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path, PurePosixPath
from typing import Any, Final

from airwright.papers.common.atomic_swap import exchange
from airwright.papers.common.document import Paper

MANIFEST: Final = ".airwright-pack.json"
JOURNAL: Final = ".airwright-journal.json"
STAGE: Final = ".airwright-stage-"
"""Begins the name of a folder in which a pack is built."""
FORMAT: Final = "airwright-pack/1"
STALE_S: Final = 3600.0
"""Age at which a building folder was left by a crash and not by a run still at work [s]."""


class PackError(OSError):
    """The pack cannot be written; the folder is as it was.

    Attributes:
        what: a sentence for the decorator.
        mend: what to do about it.
    """

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


def publish(papers: Iterable[Paper], folder: Path) -> tuple[Path, ...]:
    """Write papers into a folder.

    Args:
        papers: what to write; their paths must differ.
        folder: made if missing; anything in it that is not ours stays.

    Returns:
        The files written, in the order given.

    Raises:
        PackError: the folder cannot be written, or is none.
    """
    files = {paper.path: paper.data for paper in papers}
    for path in files:
        _check_inside(path)
    try:
        folder = prepare(folder)
        if _wholly_ours(folder) and not _stood_in(folder):
            _swap(files, folder)
        else:
            _move_in(files, folder)
    except PackError:
        raise
    except OSError as problem:
        raise as_pack_error(problem, folder) from problem
    return tuple(folder / path for path in files)


def prepare(folder: Path) -> Path:
    """Make sure a folder can take a pack, before the long work; finish what a crash left.

    Returns the folder's real path. Raises PackError.
    """
    try:
        folder = folder.resolve()
        if folder.exists() and not folder.is_dir():
            raise PackError(f"{folder} is a file, not a folder.", "Name another folder with --out.")
        _restore(folder)
        folder.mkdir(parents=True, exist_ok=True)
        _recover(folder)
        _sweep(folder)
        with tempfile.TemporaryFile(dir=folder):
            pass
    except PackError:
        raise
    except (OSError, RuntimeError, ValueError) as problem:
        raise as_pack_error(problem, folder) from problem
    return folder


def as_pack_error(problem: Exception, folder: Path) -> PackError:
    """An operating-system error in a decorator's words."""
    number = getattr(problem, "errno", None)
    if number in (errno.EACCES, errno.EPERM):
        mend = "Choose a folder that is yours, or change its permissions."
        return PackError(f"The folder {folder} may not be written to.", mend)
    if number in (errno.ENOSPC, errno.EDQUOT):
        mend = "Make room, or choose a folder on another disk. The old pack is untouched."
        return PackError(f"There is no room left for the pack in {folder}.", mend)
    if number == errno.EROFS:
        return PackError(f"{folder} lies on a read-only disk.", "Choose a folder on another disk.")
    if number == errno.ENOTDIR:
        what = f"A part of the path {folder} is a file, not a folder."
        return PackError(what, "Name another folder with --out.")
    if number in (errno.ENAMETOOLONG, errno.EINVAL, errno.ELOOP) or isinstance(problem, ValueError):
        return PackError(
            f"{str(folder)[:200]} is no usable folder name.", "Name another with --out."
        )
    reason = getattr(problem, "strerror", None) or str(problem)
    return PackError(f"The pack cannot be written into {folder}: {reason}.", "Try another folder.")


# ---- the folder changes places ------------------------------------------------


def _swap(files: Mapping[str, bytes], folder: Path) -> None:
    fresh = Path(tempfile.mkdtemp(prefix=f"{STAGE}{folder.name}-", dir=folder.parent))
    try:
        for path, data in files.items():
            _write(fresh / path, data)
        _write(fresh / MANIFEST, _manifest({path: _hash(data) for path, data in files.items()}))
        fresh.chmod(folder.stat().st_mode & 0o7777)
        _settle(fresh)
        exchange(fresh, folder)
    except BaseException:
        _discard(fresh)
        raise
    # `fresh` now names the old folder.
    _rescue_foreign(fresh, folder)
    _discard(fresh)


def _rescue_foreign(old: Path, folder: Path) -> None:
    """Move over what someone put into the old folder in the instant of the swap."""
    ours = _ours(old)
    for path in list(_walk(old)):
        if path in ours or path == MANIFEST:
            continue
        wanted = folder / path
        target = _kept_name(wanted) if os.path.lexists(wanted) else wanted
        target.parent.mkdir(parents=True, exist_ok=True)
        (old / path).rename(target)


# ---- files move in one by one -------------------------------------------------


def _move_in(files: Mapping[str, bytes], folder: Path) -> None:
    stage = Path(tempfile.mkdtemp(prefix=STAGE, dir=folder))
    try:
        for path, data in files.items():
            _write(stage / path, data)
        ours = _ours(folder)
        journal = {
            "format": FORMAT,
            "stage": stage.name,
            "files": {path: _hash(data) for path, data in files.items()},
            "drop": {path: mark for path, mark in ours.items() if path not in files},
            "ours": ours,
        }
        _settle(stage)
        _replace(folder / JOURNAL, _json(journal))
    except BaseException:
        _discard(stage)
        raise
    _apply(journal, folder)


def _apply(journal: Mapping[str, Any], folder: Path) -> None:
    """Carry out a journal; doing it again after a crash ends in the same place."""
    stage = folder / str(journal["stage"])
    for path, mark in journal["files"].items():
        source, target = stage / path, folder / path
        if not source.is_file():
            continue
        _clear_way(folder, path, {mark, journal["ours"].get(path)})
        target.parent.mkdir(parents=True, exist_ok=True)
        source.replace(target)
    for path, mark in journal["drop"].items():
        target = folder / path
        if target.is_file() and not target.is_symlink() and _hash_of(target) == mark:
            target.unlink()
            _drop_empty(target.parent, folder)
    _replace(folder / MANIFEST, _manifest(journal["files"]))
    _discard(stage)
    (folder / JOURNAL).unlink(missing_ok=True)


def _clear_way(folder: Path, path: str, known: set[str | None]) -> None:
    """Keep, under another name, what stands where one of our files or its folder must be."""
    for part in reversed(PurePosixPath(path).parents[:-1]):
        place = folder / part
        # a link to a folder would be written through, to wherever it leads
        if os.path.lexists(place) and (place.is_symlink() or not place.is_dir()):
            place.rename(_kept_name(place))
    target = folder / path
    if not os.path.lexists(target):
        return
    plain = target.is_file() and not target.is_symlink()
    if not plain or _hash_of(target) not in known:
        target.rename(_kept_name(target))


def _recover(folder: Path) -> None:
    journal = folder / JOURNAL
    if journal.is_file():
        try:
            entries = json.loads(journal.read_text("utf-8"))
            _check_journal(entries)
        except (ValueError, KeyError, TypeError, AttributeError):
            # Not written by us, or spoilt: leave it where someone can look at it.
            journal.rename(_kept_name(journal))
        else:
            _apply(entries, folder)


def _restore(folder: Path) -> None:
    """Where a swap in two steps broke off in between, put the new pack in its place."""
    if os.path.lexists(folder):
        return
    whole = [left for left in _stages(folder) if (left / MANIFEST).is_file()]
    if whole:
        max(whole, key=lambda left: (left / MANIFEST).stat().st_mtime).rename(folder)


def _sweep(folder: Path) -> None:
    """Take away what crashed runs left, once no run can still be at work in it."""
    inside = [left for left in folder.glob(f"{STAGE}*") if left.is_dir() and not left.is_symlink()]
    for left in (*_stages(folder), *inside):
        if time.time() - left.stat().st_mtime < STALE_S:
            continue
        # The manifest is written last: with it, this is a whole pack that was swapped out.
        if left.parent == folder.parent and (left / MANIFEST).is_file():
            _rescue_foreign(left, folder)
        _discard(left)


def _stages(folder: Path) -> list[Path]:
    """Sibling folders in which a pack for this folder was built."""
    begins = f"{STAGE}{folder.name}-"
    return [
        left
        for left in folder.parent.glob(f"{STAGE}*")
        if left.name.startswith(begins) and left.is_dir() and not left.is_symlink()
    ]


def _check_journal(entries: Any) -> None:
    """Refuse a journal that would touch anything outside its folder."""
    if entries["format"] != FORMAT or not str(entries["stage"]).startswith(STAGE):
        raise ValueError("no journal of ours")
    _check_inside(str(entries["stage"]))
    for name in ("files", "drop", "ours"):
        for path, mark in entries[name].items():
            _check_inside(path)
            if not isinstance(mark, str):
                raise ValueError("no journal of ours")


# ---- what is ours ---------------------------------------------------------------


def _ours(folder: Path) -> dict[str, str]:
    """Files listed in the folder's manifest that are still as we wrote them."""
    found = {}
    for path, mark in _listed(folder).items():
        place = folder / path
        if place.is_file() and not place.is_symlink() and _hash_of(place) == mark:
            found[path] = mark
    return found


def _listed(folder: Path) -> dict[str, str]:
    try:
        manifest = json.loads((folder / MANIFEST).read_text("utf-8"))
        files = manifest["files"]
        for path in files:
            _check_inside(path)
        return {str(path): str(mark) for path, mark in files.items()}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}


def _wholly_ours(folder: Path) -> bool:
    if folder.is_mount() or not os.access(folder.parent, os.W_OK):
        return False
    ours = _ours(folder)
    return all(path in ours or path == MANIFEST for path in _walk(folder))


def _stood_in(folder: Path) -> bool:
    """Whether this process stands in the folder or below; it must not be moved then."""
    try:
        here = Path.cwd().resolve()
    except OSError:
        return False
    return here == folder or folder in here.parents


def _walk(folder: Path) -> Iterator[str]:
    """Every file, link and empty folder below, as relative paths; links are not followed."""
    for root, folders, names in os.walk(folder):
        links = [name for name in folders if (Path(root) / name).is_symlink()]
        empty = [] if folders or names or Path(root) == folder else [""]
        for name in (*names, *links, *empty):
            yield (Path(root) / name).relative_to(folder).as_posix()


def _kept_name(place: Path) -> Path:
    """A free name beside it: "proposal.kept.pdf", "proposal.kept-2.pdf"."""
    stem, ending = place.stem, place.suffix
    number = 1
    while True:
        mark = "kept" if number == 1 else f"kept-{number}"
        free = place.with_name(f"{stem}.{mark}{ending}")
        if not os.path.lexists(free):
            return free
        number += 1


def _check_inside(path: str) -> None:
    parts = PurePosixPath(path).parts
    if not parts or PurePosixPath(path).is_absolute() or ".." in parts or "\\" in path:
        raise ValueError(f"{path!r} does not lie inside the pack")


# ---- files ----------------------------------------------------------------------


def _write(place: Path, data: bytes) -> None:
    place.parent.mkdir(parents=True, exist_ok=True)
    with place.open("wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())


def _replace(place: Path, data: bytes) -> None:
    draft = place.with_name(f"{place.name}.part")
    _write(draft, data)
    draft.replace(place)
    _settle(place.parent)


def _settle(folder: Path) -> None:
    """Let the names in a folder reach the disk, where the system can do that."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _discard(folder: Path) -> None:
    shutil.rmtree(folder, ignore_errors=True)


def _drop_empty(folder: Path, top: Path) -> None:
    while folder != top:
        try:
            folder.rmdir()
        except OSError:
            return
        folder = folder.parent


def _hash(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _hash_of(place: Path) -> str:
    with place.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _manifest(files: Mapping[str, str]) -> bytes:
    return _json({"format": FORMAT, "files": dict(files)})


def _json(value: object) -> bytes:
    return (json.dumps(value, indent=1, ensure_ascii=False) + "\n").encode()
