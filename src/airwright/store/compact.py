"""Texts that are nearly alike, kept small: each as what it adds to one that is kept whole.

A version of a job differs from the one before in a few letters. Deflate with the other text as its
dictionary (RFC 1950, section 2.2: a preset dictionary) writes these letters and pointers for the
rest, and its checksums say when the wrong text is held against it.
"""

from __future__ import annotations

import zlib
from typing import Final

LEVEL: Final = 9

WORTH: Final = 4
"""A difference is kept while it is this many times smaller than the whole text, compressed."""


def packed(text: str, against: str | None = None) -> bytes:
    """A text in few bytes.

    Args:
        text: any.
        against: a text nearly alike; None to have it stand on its own.
    """
    if against is None:
        return zlib.compress(text.encode(), LEVEL)
    maker = zlib.compressobj(LEVEL, zdict=against.encode())
    return maker.compress(text.encode()) + maker.flush()


def unpacked(data: bytes, against: str | None = None) -> str:
    """The text again; `against` as it was given to `packed`.

    Raises:
        zlib.error: damaged, or held against another text.
    """
    if against is None:
        return zlib.decompress(data).decode()
    reader = zlib.decompressobj(zdict=against.encode())
    text = reader.decompress(data) + reader.flush()
    if not reader.eof:
        raise zlib.error("cut off")
    return text.decode()


def smaller(text: str, against: str) -> bytes | None:
    """The text against another one; None where it had better stand on its own."""
    found = packed(text, against)
    return found if len(found) * WORTH <= len(packed(text)) else None
