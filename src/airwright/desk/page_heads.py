"""Heads that pages of several areas share: a job's pages, the pages of the settings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page, day
from airwright.store.tables import JobRow


@dataclass(frozen=True)
class JobBar:
    """What stands at the head of every page of a job."""

    id: str
    title: str
    client: str
    when: str
    stage: str
    sample: bool
    tab: str
    archived: bool = False


def job_bar(row: JobRow, tab: str) -> JobBar:
    """The head of a job's pages."""
    return JobBar(
        row.id,
        row.title,
        row.client,
        day(row.date),
        row.stage,
        row.sample,
        tab,
        archived=row.archived is not None,
    )


@dataclass(frozen=True)
class SettingsPart(Page):
    """A page of the settings; `settings_tab` is the tab it stands under."""

    template: ClassVar[str] = "studio/frame.html"
    settings_tab: str
