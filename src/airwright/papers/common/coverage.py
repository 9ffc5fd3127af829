"""Which characters the bundled fonts can print, read from their character maps."""

from __future__ import annotations

import struct
from functools import cache
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import FONT_FOLDER

ALWAYS: Final = frozenset(map(chr, (*range(0x20, 0x7F), *range(0xA0, 0x100), 0x200B)))
"""Printed by the text font; held by a test. Spares reading the maps for most jobs."""

_PLAIN_TABLE, _FULL_TABLE = 4, 12
_BEYOND: Final = 0x110000


def missing(text: str) -> tuple[str, ...]:
    """Characters of a text that no bundled font can print, each once, in order."""
    odd = dict.fromkeys(char for char in text if char not in ALWAYS)
    if not odd:
        return ()
    known = _printable()
    return tuple(char for char in odd if not known[ord(char)])


@cache
def _printable() -> NDArray[np.bool_]:
    """One flag a code point: some bundled font has a glyph for it."""
    flags = np.zeros(_BEYOND, dtype=bool)
    for path in sorted(FONT_FOLDER.glob("*.[ot]tf")):
        for first, last in _ranges(path):
            flags[first : last + 1] = True
    # Nothing is drawn for these: joiners, marks of direction, variation selectors.
    for first, last in ((0x200B, 0x200F), (0x202A, 0x202E), (0x2060, 0x2069), (0xFE00, 0xFE0F)):
        flags[first : last + 1] = True
    return flags


def _ranges(path: Path) -> list[tuple[int, int]]:
    """Code points a TrueType file maps to glyphs (OpenType specification, table cmap)."""
    data = path.read_bytes()
    (tables,) = struct.unpack_from(">H", data, 4)
    for at in range(12, 12 + 16 * tables, 16):
        tag, _, start, _ = struct.unpack_from(">4sIII", data, at)
        if tag == b"cmap":
            return _cmap(data, start)
    return []


def _cmap(data: bytes, start: int) -> list[tuple[int, int]]:
    (count,) = struct.unpack_from(">H", data, start + 2)
    found: list[tuple[int, int]] = []
    for at in range(start + 4, start + 4 + 8 * count, 8):
        (offset,) = struct.unpack_from(">I", data, at + 4)
        (layout,) = struct.unpack_from(">H", data, start + offset)
        if layout == _FULL_TABLE:
            found += _groups(data, start + offset)
        elif layout == _PLAIN_TABLE:
            found += _segments(data, start + offset)
    return found


def _groups(data: bytes, at: int) -> list[tuple[int, int]]:
    (count,) = struct.unpack_from(">I", data, at + 12)
    rows = np.frombuffer(data, ">u4", 3 * count, at + 16).reshape(-1, 3)
    return [(int(first), int(last)) for first, last, glyph in rows if glyph]


def _segments(data: bytes, at: int) -> list[tuple[int, int]]:
    (doubled,) = struct.unpack_from(">H", data, at + 6)
    count = doubled // 2
    ends = np.frombuffer(data, ">u2", count, at + 14).astype(int)
    starts = np.frombuffer(data, ">u2", count, at + 16 + doubled).astype(int)
    deltas = np.frombuffer(data, ">u2", count, at + 16 + 2 * doubled).astype(int)
    base = at + 16 + 3 * doubled
    offsets = np.frombuffer(data, ">u2", count, base).astype(int)
    found = []
    for n, (first, last) in enumerate(zip(starts.tolist(), ends.tolist(), strict=True)):
        if first == 0xFFFF:
            continue
        codes = np.arange(first, last + 1)
        if offsets[n] == 0:
            glyphs = (codes + deltas[n]) % 65536
        else:
            begin = base + 2 * n + int(offsets[n])
            glyphs = np.frombuffer(data, ">u2", len(codes), begin).astype(int)
        found += [(int(code), int(code)) for code in codes[glyphs != 0]]
    return found
