"""What a piece is built with: the catalogue, the job's shades and the push of the hands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache

from airwright.catalog import Balloon, Catalog, Family
from airwright.decor.assembly import Shade, Stock
from airwright.decor.double import colour_seen
from airwright.job.cluster import Inflated
from airwright.job.models import DoubleSpec, Job
from airwright.job.studio import Measured
from airwright.physics import inflation
from airwright.physics.errors import PhysicsError
from airwright.units import INCH_M, LENGTH, System, mass_words, show

DEFAULT_PUSH_N = 10.0
"""Force a hand pushes a cluster down with [N]; common practice knows no number. It is chosen so
that a column of 11 in quads at 9.5 in settles close to the rigid pitch of 0.84 diameters."""

USUAL_IN = 11.0

FALLBACK_PRESSURE_PA = 2_000.0
"""Excess pressure where physics has none to give [Pa]: foil, modelling balloons, and diameters
that no such balloon takes, which are findings of their own."""


@lru_cache(maxsize=512)
def excess_pressure(row: Balloon, inflated_m: float) -> float:
    """Excess pressure in a balloon blown up to `inflated_m` [m], by its size's rubber [Pa]."""
    if row.family not in (Family.ROUND, Family.LINK):
        return FALLBACK_PRESSURE_PA
    try:
        skin = inflation.skin(
            row.nominal_in * INCH_M, row.mass_g / 1000, row.flat_width_in * INCH_M
        )
        return float(inflation.inflate(skin, inflated_m).excess_pa)
    except PhysicsError:
        return FALLBACK_PRESSURE_PA


def stock_of(
    row: Balloon, made: Inflated, *, helium: bool = False, mark: str | None = None
) -> Stock:
    """A balloon from the bag at the diameter asked for, or its usual one."""
    usual = row.usual_in * INCH_M
    return Stock(
        size=row.size,
        family=row.family,
        nominal_m=row.nominal_in * INCH_M,
        inflated_m=usual if made.diameter_m is None else made.diameter_m,
        length_m=(row.length_in or 0.0) * INCH_M,
        outline=row.outline,
        helium=helium,
        mark=mark,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Context:
    """Everything `build` needs beside the piece itself.

    Attributes:
        catalog: sizes, hardware, labour standards.
        shades: the job's shades by name, stock shades included.
        push_n: fitted or default push force [N].
        spread: how much further apart than touching these hands leave the layers, 1 for touching.
        measured: the stacks that push and spread were fitted to; empty before any was measured.
        system: the units the studio reads, for findings.
    """

    catalog: Catalog
    shades: Mapping[str, Shade]
    push_n: float = DEFAULT_PUSH_N
    spread: float = 1.0
    measured: tuple[Measured, ...] = ()
    system: System = System.FEET

    def length(self, metres: float) -> str:
        """A length [m] in the studio's units, as findings and job files write it."""
        return show(metres, LENGTH, self.system)

    def cut(self, metres: float) -> str:
        """A length to cut [m], to the centimetre as lists of what to cut have it."""
        return self.length(round(metres, 2))

    def mass(self, kg: float) -> str:
        """A mass [kg] in the studio's units, as papers write it."""
        return mass_words(kg, self.system)

    def balloon(self, inflated: Inflated) -> Balloon:
        """The catalogue row. Raises UnknownName."""
        return self.catalog.balloon(inflated.size)

    def stock(self, inflated: Inflated, *, helium: bool = False, mark: str | None = None) -> Stock:
        """What is taken from the bag and to which diameter. Raises UnknownName."""
        return stock_of(self.balloon(inflated), inflated, helium=helium, mark=mark)

    def pressure(self, inflated: Inflated) -> float:
        """Excess pressure in such a balloon [Pa]. Raises UnknownName."""
        return excess_pressure(self.balloon(inflated), self.stock(inflated).inflated_m)

    def shade(self, name: str) -> Shade:
        """A shade by name; an unknown one (already a finding) shows as grey."""
        return self.shades.get(name, Shade(name, "#9a9a9a"))


def shades_of(
    job: Job, catalog: Catalog, hiding: Mapping[str, float] | None = None
) -> dict[str, Shade]:
    """All shades a job may name: its own first, then those in stock under their stock names.

    Args:
        job: its shades.
        catalog: shades in stock.
        hiding: shade → how well it hides, from the studio's trials; see `double`.
    """
    table = {
        row.name: Shade(row.name, row.colour.lower(), row.finish) for row in catalog.shades.values()
    }
    for name, value in job.shades.items():
        if isinstance(value, DoubleSpec):
            continue
        if not isinstance(value, str):
            table[name] = Shade(name, value.colour.lower(), value.finish, value.inner)
        elif value.startswith("#"):
            table[name] = Shade(name, value.lower())
        elif value in catalog.shades:
            row = catalog.shades[value]
            table[name] = Shade(name, row.colour.lower(), row.finish)
    doubles = {n: value for n, value in job.shades.items() if isinstance(value, DoubleSpec)}
    made = {n: _doubled(n, value, table, catalog, hiding or {}) for n, value in doubles.items()}
    return {**table, **{name: shade for name, shade in made.items() if shade is not None}}


def _doubled(
    name: str,
    spec: DoubleSpec,
    table: Mapping[str, Shade],
    catalog: Catalog,
    hiding: Mapping[str, float],
) -> Shade | None:
    """A shade of two balloons, None where one of them is unknown or a pair itself.

    Its colour is that of the commonest size at its usual diameter.
    """
    outside, inside = table.get(spec.outside), table.get(spec.inside)
    if outside is None or inside is None or len(outside.bags) + len(inside.bags) > 2:
        return None
    if outside.finish == "clear":  # the inner one is seen as it is
        return Shade(name, outside.colour, "clear", inside.name, outside.name, inside.name)
    row = usual_row(catalog)
    colour = colour_seen(outside, inside, row, row.usual_in * INCH_M, hiding)
    return Shade(name, colour, outside.finish, None, outside.name, inside.name)


def usual_row(catalog: Catalog) -> Balloon:
    """The balloon that colours are told of: the 11 in one, or any round one."""
    rounds = [row for row in catalog.balloons.values() if row.family is Family.ROUND]
    return min(rounds, key=lambda row: abs(row.nominal_in - USUAL_IN))
