"""What a piece is built with: the catalogue, the job's shades and the push of the hands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airwright.catalog import Balloon, Catalog
from airwright.decor.assembly import Shade, Stock
from airwright.job.cluster import Inflated
from airwright.job.models import Job
from airwright.units import INCH_M, LENGTH, System, show

DEFAULT_PUSH_N = 12.0
"""Force a hand pushes a cluster down with [N]; common practice knows no number. It is chosen so
that a column of 11 in quads at 9.5 in settles close to the rigid pitch of 0.84 diameters."""

WORKING_PRESSURE_PA = 2_700.0
"""Excess pressure in a well-inflated latex balloon [Pa], the middle of the plausible band
1.5-5 kPa (checks: Treloar's equibiaxial curve); it only sets the softness of the packing."""


@dataclass(frozen=True, slots=True, eq=False)
class Context:
    """Everything `build` needs beside the piece itself.

    Attributes:
        catalog: sizes, hardware, labour standards.
        shades: the job's shades by name, stock shades included.
        push_n: fitted or default push force [N].
        pressure_pa: excess pressure for the packing [Pa].
        system: the units the studio reads, for findings.
    """

    catalog: Catalog
    shades: Mapping[str, Shade]
    push_n: float = DEFAULT_PUSH_N
    pressure_pa: float = WORKING_PRESSURE_PA
    system: System = System.FEET

    def length(self, metres: float) -> str:
        """A length [m] in the studio's units, as findings and job files write it."""
        return show(metres, LENGTH, self.system)

    def balloon(self, inflated: Inflated) -> Balloon:
        """The catalogue row. Raises UnknownName."""
        return self.catalog.balloon(inflated.size)

    def stock(self, inflated: Inflated, *, helium: bool = False, mark: str | None = None) -> Stock:
        """What is taken from the bag and to which diameter. Raises UnknownName."""
        row = self.balloon(inflated)
        usual = row.usual_in * INCH_M
        return Stock(
            size=row.size,
            family=row.family,
            nominal_m=row.nominal_in * INCH_M,
            inflated_m=usual if inflated.diameter_m is None else inflated.diameter_m,
            length_m=(row.length_in or 0.0) * INCH_M,
            outline=row.outline,
            helium=helium,
            mark=mark,
        )

    def shade(self, name: str) -> Shade:
        """A shade by name; an unknown one (already a finding) shows as grey."""
        return self.shades.get(name, Shade(name, "#9a9a9a"))


def shades_of(job: Job, catalog: Catalog) -> dict[str, Shade]:
    """All shades a job may name: its own first, then those in stock under their stock names."""
    table = {
        row.name: Shade(row.name, row.colour.lower(), row.finish) for row in catalog.shades.values()
    }
    for name, value in job.shades.items():
        if not isinstance(value, str):
            table[name] = Shade(name, value.colour.lower(), value.finish, value.inner)
        elif value.startswith("#"):
            table[name] = Shade(name, value.lower())
        elif value in catalog.shades:
            row = catalog.shades[value]
            table[name] = Shade(name, row.colour.lower(), row.finish)
    return table
