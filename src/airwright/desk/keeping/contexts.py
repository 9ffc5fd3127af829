"""What the template of backups and tidying is given. Owners only."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import SettingsPart
from airwright.language import Text


@dataclass(frozen=True, slots=True)
class BackupLine:
    """A backup in the folder."""

    name: str
    made: dt.datetime
    size: str


@dataclass(frozen=True, slots=True)
class HeapLine:
    """Something that tidying takes away, or a kind of data and its size."""

    what: Text
    count: int
    size: str


@dataclass(frozen=True)
class KeepingPage(SettingsPart):
    """How the studio's data are kept safe and small."""

    template: ClassVar[str] = "keeping/keeping.html"
    folder: str
    age: Text | None
    late: bool
    problem: tuple[str, str] | None
    backups: tuple[BackupLine, ...]
    heaps: tuple[HeapLine, ...]
    spaces: tuple[HeapLine, ...]
    whole: str
