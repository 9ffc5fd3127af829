"""Texts made fit for paper: cleaned, breakable, every character printable."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping, Sequence
from typing import Any, Final

from airwright.papers.common.coverage import missing
from airwright.units import FOOT_M, Kind, Shown, System, show

MILE_M: Final = 5280 * FOOT_M
"""Length of one mile [m], exact."""
LONGEST_RUN: Final = 16
"""Characters in a row that may stand without a chance to break the line."""
BREAK: Final = "\u200b"
"""Zero-width space: a line may break here, nothing is drawn."""
HEAVY_KG: Final = 20.0
"""From here on masses are written without decimals [kg]."""
SUBSTITUTE: Final = "?"
"""Stands for a character that no bundled font holds; a finding names it."""

_MAIL: Final = re.compile(r"[\w.+-]{1,30}@[\w.-]{1,30}[.,;]?", re.ASCII)
"""An address that has to be copied as it stands, short enough for a line of its own."""
_BREAKS: Final = frozenset(" \u200b\u2013\u2014\u3000")
_JOINING: Final = ("ARABIC", "SYRIAC", "NKO", "MONGOLIAN", "DEVANAGARI", "THAI")
_OPEN: Final = ("CJK", "HIRAGANA", "KATAKANA", "HANGUL")


def fit(text: str, unprintable: dict[str, None] | None = None) -> str:
    """A text for paper: no control characters, breakable runs, substitutes for missing glyphs.

    Args:
        text: anything a person typed.
        unprintable: gathers the characters that had to be replaced.
    """
    clean = "".join(_plain(char) for char in unicodedata.normalize("NFC", text))
    gone = missing(clean)
    for char in gone:
        clean = clean.replace(char, SUBSTITUTE)
    if unprintable is not None:
        unprintable.update(dict.fromkeys(gone))
    return _breakable(clean)


def _plain(char: str) -> str:
    if char in "\n\r\t\u2028\u2029":
        return " "
    category = unicodedata.category(char)
    # Marks of direction are dropped too: they could turn the rest of a line around.
    if category in ("Cc", "Cs", "Co", "Cn") or "\u202a" <= char <= "\u202e":
        return "" if category != "Cn" else SUBSTITUTE
    return char


def _breakable(text: str) -> str:
    """The text with chances to break in runs that have none."""
    if len(text) <= LONGEST_RUN:
        return text
    return " ".join(_chopped(word) for word in text.split(" "))


def _chopped(word: str) -> str:
    if len(word) <= LONGEST_RUN or _MAIL.fullmatch(word):
        return word
    out, run = [], 0
    for char in word:
        if char in _BREAKS or _is(char, _OPEN):
            run = 0
        elif run >= LONGEST_RUN and not _is(char, _JOINING) and not unicodedata.combining(char):
            out.append(BREAK)
        elif run >= 2 * LONGEST_RUN and not unicodedata.combining(char):
            out.append(BREAK)
            run = 0
        out.append(char)
        run += 1
    return "".join(out)


def _is(char: str, scripts: tuple[str, ...]) -> bool:
    return char > "\u02ff" and unicodedata.name(char, "").startswith(scripts)


def fit_all(value: Any, unprintable: dict[str, None]) -> Any:
    """`fit` for every text in nested lists and mappings; keys stay."""
    if isinstance(value, str):
        return fit(value, unprintable)
    if isinstance(value, Mapping):
        return {key: fit_all(item, unprintable) for key, item in value.items()}
    if isinstance(value, Sequence):
        return [fit_all(item, unprintable) for item in value]
    return value


def paragraphs(text: str) -> list[str]:
    """A longer text as its paragraphs, blank lines dropped."""
    return [line.strip() for line in text.splitlines() if line.strip()]


def distance(metres: float, system: System) -> Shown:
    """A distance by road: "14 mi" or "22 km"."""
    if system is System.FEET:
        return Shown(f"{metres / MILE_M:,.0f} mi")
    return Shown(f"{metres / 1000:,.0f} km")


def at_least_shown(value: float, kind: Kind, system: System) -> str:
    """A quantity for a column of figures: small ones as "< 0.1 lb", none at all as ""."""
    if value <= 0:
        return ""
    heavy = kind.name == "mass" and value >= HEAVY_KG
    text = show(value, kind, system, 0 if heavy else None)
    if not text.startswith("0 "):
        return text
    step = "0.01" if kind.name == "volume" and system is System.METRIC else "0.1"
    return Shown(f"< {step} {text[2:]}")


def shortened(text: str, longest: int = 60) -> str:
    """A text for one line at the foot of a page, cut where it grows too long."""
    flat = " ".join(text.split())
    wide = sum(2 if _is(char, _OPEN) else 1 for char in flat)
    if wide <= longest:
        return flat
    keep = longest * len(flat) // wide - 1
    return flat[:keep].rstrip() + "…"


def listed(words: Sequence[str], last: str = "and") -> str:
    """ "coral, sand and teal"."""
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + f" {last} {words[-1]}"


def plural(count: int, one: str, many: str | None = None) -> str:
    """ "1 balloon", "2 balloons", "1,200 balloons"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"
