"""What the settings' templates are given. Owners only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import SettingsPart
from airwright.desk.studio.forms import Settings
from airwright.job.findings import Finding


@dataclass(frozen=True)
class SettingsPage(SettingsPart):
    """Who the studio is, and how it prices and works; `again` when something did not fit."""

    template: ClassVar[str] = "studio/studio.html"
    version: int
    groups: tuple[Settings, ...]
    designs: tuple[tuple[str, str, str], ...]
    findings: tuple[Finding, ...]
    logo: bool
    again: bool


@dataclass(frozen=True)
class MeasuresPage(SettingsPart):
    """What the studio measured itself: stacks and weighings."""

    template: ClassVar[str] = "studio/measures.html"
    version: int
    measured: tuple[str, ...]
    weighed: tuple[str, ...]
    typed: dict[str, str]
    wrong: dict[str, tuple[str, str]]


@dataclass(frozen=True)
class StudioFilePage(SettingsPart):
    """All settings as the plain file they are."""

    template: ClassVar[str] = "studio/file.html"
    version: int
    text: str
    findings: tuple[Finding, ...]
