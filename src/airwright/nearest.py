"""The known name that was probably meant, for "Did you mean …?"."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import islice

LONGEST = 60
"""Characters; a longer word is no slip of the hand, and is not worth comparing."""

MOST_COMPARED = 500
"""Known names looked at, so that a file full of names cannot keep anybody waiting."""


def nearest(word: str, known: Iterable[str], most: int = 1, cutoff: float = 0.5) -> list[str]:
    """Known names most like a word, best first; [] where none is near.

    Args:
        word: what was written.
        known: names to choose from; the first `MOST_COMPARED` are looked at.
        most: how many to return at the most.
        cutoff: least likeness, from 0 (nothing alike) to 1 (the same).
    """
    if not 0 < len(word) <= LONGEST:
        return []
    from rapidfuzz import fuzz, process

    some = list(islice(known, MOST_COMPARED))
    found = process.extract(word, some, scorer=fuzz.ratio, limit=most, score_cutoff=100 * cutoff)
    return [name for name, _, _ in found]
