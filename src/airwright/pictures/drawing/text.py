"""Words in a drawing: how wide they run, in which ink they can be read, and where they break."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

from airwright.physics.srgb import light_of_hex

FONTS = "Noto Sans, Liberation Sans, DejaVu Sans, sans-serif"
"""Sans-serif faces that cover Latin; other scripts fall back to what the reader has."""

DARK = "#2a2724"
LIGHT = "#ffffff"
BLACK = "#000000"
LEGIBLE = 4.5
"""Contrast of text with its ground, WCAG 2.2 level AA."""

_NARROW = frozenset("iIjl.,:;!|'`()[]{}ft1 ")
_WIDE = frozenset("mMwW@%&—")


def width_of(text: str) -> float:
    """About how wide a text runs, in font sizes; on the safe side for common sans faces."""
    return sum(_advance(char) for char in text)


def _advance(char: str) -> float:
    if unicodedata.combining(char) or unicodedata.category(char) in ("Cf", "Mn", "Me"):
        return 0.0
    if unicodedata.east_asian_width(char) in ("W", "F"):
        return 1.02
    if char in _NARROW:
        return 0.36
    if char in _WIDE:
        return 0.95
    return 0.72 if char.isupper() else 0.59


def fit(text: str, room: float, largest: float) -> float:
    """The font size at which a text fits into `room`, at most `largest`."""
    return min(largest, room / max(width_of(text), 0.1))


def shorten(text: str, room: float, size: float) -> str:
    """The text, or as much of it as fits into `room` at a font size, with an ellipsis."""
    if width_of(text) * size <= room:
        return text
    kept = ""
    for char in text:
        if (width_of(kept + char) + 0.8) * size > room:
            break
        kept += char
    return kept.rstrip() + "…"


def wrap(text: str, letters: int) -> list[str]:
    """Lines of at most so many letters, broken between words where there are any."""
    lines: list[str] = []
    for word in text.split():
        if lines and len(lines[-1]) + 1 + len(word) <= letters:
            lines[-1] += " " + word
        else:
            lines.append(word)
    return lines or [""]


def luminance(colour: str) -> float:
    """Relative luminance of "#rrggbb" (WCAG 2.2)."""
    r, g, b = (float(part) for part in light_of_hex(colour))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2)."""
    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def ink_on(colour: str) -> str:
    """Dark or white, whichever is read more easily on a colour; at least 4.5 to 1 (WCAG AA).

    On the few mid tones where neither soft dark nor white is enough, black is.
    """
    best = max((DARK, LIGHT), key=lambda ink: contrast(ink, colour))
    if contrast(best, colour) >= LEGIBLE:
        return best
    return max((BLACK, LIGHT), key=lambda ink: contrast(ink, colour))


def short_names(names: Sequence[str]) -> dict[str, str]:
    """A short label for each name, no two alike: "coral", "cobalt" → "cor", "cob"."""
    unique = list(dict.fromkeys(names))
    made: dict[str, str] = {}
    for full in unique:
        words = full.split() or ["?"]
        name = " ".join(words)
        options = [name] if len(name) <= 3 else []
        options += [name[:k].strip() for k in range(min(3, len(name)), min(6, len(name)) + 1)]
        if len(words) > 1:
            initials = "".join(word[0] for word in words)[:3]
            options.insert(0, initials if len(words) > 2 else words[0][:2] + words[1][:1])
        options += [f"{name[:2]}{k}" for k in range(1, len(unique) + 2)]
        taken = {label.casefold() for label in made.values()}
        made[full] = next(o for o in options if o and o.casefold() not in taken)
    return made
