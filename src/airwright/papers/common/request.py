"""What every document is made from."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from types import MappingProxyType

from airwright.language import Language
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import OnShelf
from airwright.papers.common.mark import PaperMark, paper_mark
from airwright.papers.common.page import Page, page_for
from airwright.papers.common.pictures import Pictures
from airwright.plan.values import Plan
from airwright.units import System

NO_PHOTOS: Mapping[str, Path] = MappingProxyType({})


@dataclass(frozen=True)
class Request:
    """A pack asked for.

    Attributes:
        plan: the whole job, planned.
        today: the day the papers are made; there is no clock in here.
        photos: option or piece name → photograph (PNG or JPEG).
        pictures: drawings shared by all documents of the pack.
        shelf: what the studio's shelf has for this job; empty where no stock is kept.
    """

    plan: Plan
    today: dt.date
    photos: Mapping[str, Path] = field(default_factory=lambda: NO_PHOTOS)
    pictures: Pictures = field(default_factory=lambda: Pictures(System.FEET))
    shelf: Mapping[Goods, OnShelf] = field(default_factory=dict)

    @cached_property
    def mark(self) -> PaperMark:
        """The number and the day that all papers of this state of the job bear."""
        return paper_mark(self.plan, self.today)

    @property
    def page(self) -> Page:
        """The studio's paper."""
        return page_for(self.plan.studio.studio)

    @property
    def language(self) -> str:
        """The studio's language."""
        return self.plan.studio.studio.language

    @property
    def client_language(self) -> str:
        """What the client reads."""
        return self.plan.job.job.client_language or self.language

    @property
    def crew_language(self) -> str:
        """What the crew reads."""
        return self.plan.job.job.crew_language or self.language

    @property
    def second_language(self) -> Language | None:
        """Beside the crew's own on make sheets; None for one language."""
        beside = self.plan.job.job.crew_language_beside
        return None if beside in (None, self.crew_language) else Language(str(beside))

    def language_of(self, document: str) -> str:
        """The language of a document of the pack, by its subpackage."""
        return self.client_language if document == "proposal" else self.crew_language

    @property
    def system(self) -> System:
        """The units of all quantities."""
        return self.plan.studio.studio.units


def request_for(
    plan: Plan,
    today: dt.date,
    photos: Mapping[str, Path] | None = None,
    shelf: Mapping[Goods, OnShelf] | None = None,
) -> Request:
    """A request with no drawing made yet, in the studio's units."""
    pictures = Pictures(plan.studio.studio.units)
    return Request(plan, today, photos or NO_PHOTOS, pictures, shelf or {})
