"""What a sizing card says, as plain values."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from airwright.catalog import Family
from airwright.papers.common.parts import Swatch, swatches
from airwright.plan.values import BalloonLine, Plan
from airwright.units import INCH_M


@dataclass(frozen=True, slots=True)
class Ring:
    """Balloons inflated to one diameter.

    Attributes:
        diameter_m: inflated diameter [m].
        sizes: catalogue sizes blown up to it, largest first.
        shades: their shades, most used first.
        count: balloons in the job, spares left out.
        helium: those of them that are filled with helium; the others take air.
    """

    diameter_m: float
    sizes: tuple[str, ...]
    shades: tuple[Swatch, ...]
    count: int
    helium: int


@dataclass(frozen=True, slots=True)
class SizingCard:
    """A whole card, smallest ring first.

    Attributes:
        foils: foil balloons of the job; they are filled until firm, not sized by a ring.
    """

    studio: str
    title: str
    rings: tuple[Ring, ...]
    foils: tuple[str, ...]
    palette: tuple[str, ...]


def sizing_card_of(plan: Plan) -> SizingCard:
    """Read a card off a plan: one ring for each diameter in its scope."""
    catalog = plan.context.catalog
    colours = {swatch.name: swatch for swatch in swatches(plan.in_scope)}
    lines: dict[float, list[tuple[BalloonLine, int]]] = defaultdict(list)
    foils: dict[str, None] = {}
    for piece in plan.in_scope:
        for line in piece.balloons:
            if catalog.balloon(line.size).family is Family.FOIL:
                foils[line.size] = None
            elif line.inflated_in > 0:
                lines[line.inflated_in].append((line, line.count * piece.count))
    return SizingCard(
        studio=plan.studio.studio.name,
        title=plan.job.job.title,
        rings=tuple(_ring(inches, lines[inches], colours) for inches in sorted(lines)),
        foils=tuple(foils),
        palette=tuple(swatch.colour for swatch in colours.values()),
    )


def _ring(inches: float, lines: list[tuple[BalloonLine, int]], colours: dict[str, Swatch]) -> Ring:
    by_shade: dict[str, int] = defaultdict(int)
    sizes: dict[str, float] = {}
    for line, count in lines:
        by_shade[line.shade] += count
        sizes[line.size] = line.size_in
    shades = sorted(by_shade, key=lambda name: (-by_shade[name], name))
    return Ring(
        diameter_m=inches * INCH_M,
        sizes=tuple(sorted(sizes, key=lambda size: (-sizes[size], size))),
        shades=tuple(colours[name] for name in shades),
        count=sum(by_shade.values()),
        helium=sum(count for line, count in lines if line.helium),
    )
