"""What all answers share."""

from __future__ import annotations

from typing import Any

from airwright.catalog import Balloon, Family
from airwright.decor.assembly import Stock
from airwright.job.cluster import Inflated
from airwright.language import message
from airwright.physics.errors import OutOfRangeError
from airwright.plan.to_json import json_values
from airwright.units import INCH_M


class Answer:
    """A frozen answer; subclasses are dataclasses with units in their names.

    `doubts` says in sentences how sure the figures are, `cautions` what to mind.
    """

    __slots__ = ()

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values, for JSON."""
        return json_values(self)


def stock_of(row: Balloon, made: Inflated, *, helium: bool = False) -> Stock:
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
    )


def require_latex(row: Balloon) -> None:
    """Refuse what is no round latex balloon. Raises OutOfRangeError."""
    if row.family not in (Family.ROUND, Family.LINK):
        raise OutOfRangeError(
            "round latex balloon",
            row.size,
            message('Ask for one like "11in @ 9.5in".'),
        )
