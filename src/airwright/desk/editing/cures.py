"""What to do about a finding on the desk, where the finding itself speaks of the job file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from airwright.job.findings import Finding
from airwright.language import message

_RATE: Final = message(
    "Enter a rate with its day under Studio, Settings, Exchange rates, or give the job another "
    "currency."
)

CURES: Final[Mapping[str, str]] = {
    "no-pieces": message("Press “Add a piece”."),
    "starting-rate": _RATE,
    "no-rate": _RATE,
}
"""Cures by the code of their finding."""


def on_the_desk(found: Finding) -> Finding:
    """The same finding with the cure that a hand at the desk has."""
    cure = CURES.get(found.code)
    return found if cure is None else replace(found, mend=cure)
