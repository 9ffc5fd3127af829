"""What the house's templates are given. Owners only."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.bench.forms import Group
from airwright.desk.pages import Page
from airwright.job.findings import Finding


@dataclass(frozen=True, slots=True)
class CatalogLine:
    """One row of the catalogue, as shown."""

    name: str
    about: str
    price: str
    colour: str
    own: bool


@dataclass(frozen=True)
class HousePage(Page):
    """Settings."""

    template: ClassVar[str] = "house/house.html"
    version: int
    groups: tuple[Group, ...]
    measured: tuple[str, ...]
    weighed: tuple[str, ...]
    balloons: tuple[CatalogLine, ...]
    hardware: tuple[CatalogLine, ...]
    operations: tuple[CatalogLine, ...]
    shades: tuple[CatalogLine, ...]
    designs: tuple[tuple[str, str, str], ...]
    findings: tuple[Finding, ...]
    logo: bool
    text: str
    notation: str
