"""What the workshop's templates are given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from airwright.desk.pages import Page
from airwright.plan.answers.mix import MixAnswer

Wrong = tuple[str, str] | None
"""What is wrong and how to cure it."""


@dataclass(frozen=True)
class MixPage(Page):
    """The nearest recipes to a colour; the studio's trials."""

    template: ClassVar[str] = "workshop/mix.html"
    tab: str
    typed: Mapping[str, str]
    wrong: Wrong
    answer: MixAnswer | None
    shades: tuple[str, ...]
    trials: tuple[str, ...]
    wrong_trial: Wrong
    version: int


@dataclass(frozen=True, slots=True)
class ShadeCount:
    """A shade of a mosaic and how many balloons of it."""

    name: str
    colour: str
    count: int


@dataclass(frozen=True, slots=True)
class MosaicShown:
    """A picture laid in balloons; pictures as data addresses."""

    wide: int
    tall: int
    counts: tuple[ShadeCount, ...]
    wall: str
    from_near: str
    from_far: str
    mean_difference: float
    nearest_difference: float
    hours: float
    price: Decimal
    currency: str
    job: str


@dataclass(frozen=True)
class MosaicPage(Page):
    """A picture or logo as a wall."""

    template: ClassVar[str] = "workshop/mosaic.html"
    tab: str
    typed: Mapping[str, str]
    wrong: Wrong
    made: MosaicShown | None


@dataclass(frozen=True, slots=True)
class LetteringShown:
    """A line laid out for a balloon; files as data addresses by name."""

    text: str
    width: str
    capitals: str
    limit: str
    pieces: int
    reads_easily: str
    reads_to: str
    preview: str
    files: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class LetteringPage(Page):
    """A name for a balloon, as files for the cutter."""

    template: ClassVar[str] = "workshop/lettering.html"
    tab: str
    typed: Mapping[str, str]
    wrong: Wrong
    made: LetteringShown | None
