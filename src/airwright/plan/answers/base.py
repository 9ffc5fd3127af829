"""What all answers share."""

from __future__ import annotations

from typing import Any

from airwright.catalog import Balloon, Family
from airwright.language import message
from airwright.physics.errors import OutOfRangeError
from airwright.plan.to_json import json_values


class Answer:
    """A frozen answer; subclasses are dataclasses with units in their names.

    `doubts` says in sentences how sure the figures are, `cautions` what to mind.
    """

    __slots__ = ()

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values, for JSON."""
        return json_values(self)


def require_latex(row: Balloon) -> None:
    """Refuse what is no round latex balloon. Raises OutOfRangeError."""
    if row.family not in (Family.ROUND, Family.LINK):
        raise OutOfRangeError(
            "round latex balloon",
            row.size,
            message('Ask for one like "11in @ 9.5in".'),
        )
