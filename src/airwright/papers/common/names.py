"""File names for pictures, from names people typed."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from typing import Final

LONGEST: Final = 60
RESERVED: Final = frozenset({"con", "prn", "aux", "nul", *(f"com{n}" for n in range(1, 10))})
"""Names some systems keep for devices."""


def file_stems(names: Sequence[str], otherwise: str) -> tuple[str, ...]:
    """A file name without ending for each name, all different.

    Letters without an ASCII form are left out; a name that has no others becomes
    "<otherwise>-<number>".
    """
    taken: set[str] = set()
    stems = []
    for number, name in enumerate(names, start=1):
        stem = _plain(name)
        if not stem or stem in RESERVED:
            stem = f"{otherwise}-{number}"
        unique, more = stem, 2
        while unique in taken:
            unique, more = f"{stem}-{more}", more + 1
        taken.add(unique)
        stems.append(unique)
    return tuple(stems)


def _plain(name: str) -> str:
    flat = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    return re.sub(r"[^a-z0-9]+", "-", flat).strip("-")[:LONGEST].strip("-")
