"""Backups in a folder by themselves: each proved by restoring it, older ones thinned out."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from airwright.store.backup import Backup, back_up
from airwright.store.database import Database

DAYS, WEEKS, MONTHS = 7, 4, 12
"""The newest backup of so many days, weeks and months stays."""

NAME = re.compile(r"airwright-(\d{4}-\d\d-\d\d)-(\d\d)(\d\d)(\d\d)\.zip")


@dataclass(frozen=True, slots=True)
class KeptBackup:
    """A backup in the folder."""

    name: str
    made: dt.datetime
    size: int


def kept(folder: Path) -> list[KeptBackup]:
    """The backups in a folder, newest first; other files in it are left alone."""
    found = []
    for file in folder.glob("airwright-*.zip") if folder.is_dir() else ():
        made = made_at(file.name)
        if made is not None:
            found.append(KeptBackup(file.name, made, file.stat().st_size))
    return sorted(found, key=lambda one: one.made, reverse=True)


def made_at(name: str) -> dt.datetime | None:
    """When a backup was made, by its name (UTC); None for a file of another name."""
    match = NAME.fullmatch(name)
    if match is None:
        return None
    try:
        text = f"{match[1]}T{match[2]}:{match[3]}:{match[4]}+00:00"
        return dt.datetime.fromisoformat(text)
    except ValueError:
        return None


def rotate(database: Database, folder: Path, at: dt.datetime) -> tuple[Path, Backup]:
    """Make one more backup, then take out those that no rule keeps.

    An older backup goes only once the new one came back whole.

    Raises:
        BackupError: it could not be written, or did not come back; nothing was taken out.
    """
    file = folder / f"airwright-{at.astimezone(dt.UTC):%Y-%m-%d-%H%M%S}.zip"
    made = back_up(database, file)
    for name in superfluous(one.name for one in kept(folder)):
        (folder / name).unlink(missing_ok=True)
    return file, made


def superfluous(names: Iterable[str]) -> list[str]:
    """The backups that neither a day, a week nor a month needs."""
    known = {name: made for name in names if (made := made_at(name)) is not None}
    newest_first = sorted(known, key=lambda name: known[name], reverse=True)
    needed: set[str] = set(newest_first[:1])
    for count, span in ((DAYS, "%Y-%m-%d"), (WEEKS, "%G-%V"), (MONTHS, "%Y-%m")):
        spans: dict[str, str] = {}
        for name in newest_first:
            spans.setdefault(f"{known[name]:{span}}", name)
        needed |= set(list(spans.values())[:count])
    return [name for name in newest_first if name not in needed]
