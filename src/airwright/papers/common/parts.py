"""Parts of models that several documents share."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from airwright.decor.assembly import Shade
from airwright.job.findings import Finding
from airwright.language import say
from airwright.language.figures import said_date, said_end
from airwright.plan.values import PiecePlan, Plan


@dataclass(frozen=True, slots=True)
class Masthead:
    """Who sends the paper."""

    studio: str
    address: str
    contact: str


@dataclass(frozen=True, slots=True)
class Occasion:
    """What it is for, where and when (times as in the job file, local to the venue)."""

    title: str
    client: str
    contact: str
    date: str
    guests: str
    strike: str
    access: str
    venue: str
    address: str
    setting: str


@dataclass(frozen=True, slots=True)
class Swatch:
    """A shade by name and colour ("#rrggbb")."""

    name: str
    colour: str
    finish: str = "matte"


@dataclass(frozen=True, slots=True)
class Caution:
    """A finding as it stands on paper."""

    what: str
    mend: str
    standard: str | None = None


def masthead(plan: Plan) -> Masthead:
    """The studio's name and address."""
    house = plan.studio.studio
    return Masthead(house.name, house.address, house.contact)


def occasion(plan: Plan) -> Occasion:
    """The job's head and venue in words."""
    head, venue = plan.job.job, plan.job.venue
    return Occasion(
        title=head.title,
        client=head.client,
        contact=head.contact,
        date=long_date(head.date),
        guests=head.guests,
        strike=say(said_end(head.guests, head.strike)),
        access=venue.access,
        venue=venue.name,
        address=venue.address,
        setting=venue.setting,
    )


def long_date(day: dt.date) -> str:
    """A date in words: "Saturday, May 22, 2027" or as the language being spoken has it."""
    return said_date(day, "full")


def swatch_of(shade: Shade) -> Swatch:
    """A shade of the model as papers show it."""
    return Swatch(shade.name, shade.colour, shade.finish)


def swatches(pieces: Iterable[PiecePlan]) -> tuple[Swatch, ...]:
    """Shades of some pieces, the most used first; those with a finish say so."""
    counts: dict[Swatch, int] = {}
    for piece in pieces:
        assembly = piece.assembly
        for at in assembly.shade.tolist():
            swatch = swatch_of(assembly.shades[at])
            counts[swatch] = counts.get(swatch, 0) + piece.count
    return tuple(sorted(counts, key=lambda swatch: (-counts[swatch], swatch.name)))


def cautions(findings: Iterable[Finding]) -> tuple[Caution, ...]:
    """Findings as they stand on paper, each sentence once."""
    return tuple(dict.fromkeys(Caution(f.what, f.mend, f.standard) for f in findings))
