"""Words that do not come from the catalogue, found in a text that is said in en-XA."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import Any

from airwright.language import LANGUAGES

PLAIN = re.compile(r"[aceinosuyACEINOSUY]")
"""Letters that en-XA always changes."""
WORD = re.compile(r"[^\W\d_]{3,}")

KEPT = {
    "Airwright", "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    "Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun", "January", "February", "March", "April",
    "June", "July", "August", "September", "October", "November", "December", "min", "bar",
    "USD", "EUR", "CSV", "PDF", "PNG", "JPEG", "XLSX", "vCard", "TOML", "IBAN", "zip", "toml",
    "eml", "vcf", "csv", "txt",
    *(word for name in LANGUAGES.values() for word in WORD.findall(name)),
}  # fmt: skip
"""Names of days and months (CLDR's business), currencies, kinds of files, languages, ourselves."""


def plain_in(text: str, names: Iterable[str]) -> list[str]:
    """Plain words of a text, after names and addresses are taken away."""
    rest = text
    for name in sorted({name for name in names if name.strip()}, key=len, reverse=True):
        rest = re.sub(rf"(?<!\w){re.escape(name)}(?!\w)", " ", rest)
    rest = re.sub(r"https?://\S+|\S+@\S+|/\S+/", " ", rest)
    return [w for w in WORD.findall(rest) if PLAIN.search(w) and w not in KEPT]


def strings_in(value: Any) -> Iterator[str]:
    """Every text in the tables of a file, its keys too."""
    if isinstance(value, str):
        yield value
        yield from value.splitlines()
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from strings_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from strings_in(inner)
