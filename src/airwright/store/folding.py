"""Words as they are searched for: whatever their case and accents."""

from __future__ import annotations

import unicodedata
from typing import Final

_OTHERWISE: Final = str.maketrans(
    {"ø": "o", "đ": "d", "ð": "d", "ł": "l", "ı": "i", "ħ": "h", "þ": "th", "æ": "ae", "œ": "oe"}
)
"""Letters that Unicode does not take apart into a base letter and a mark."""


def folded(text: str) -> str:
    """A text without case, accents and marks: "GRÜNWALD" and "grünwald" become "grunwald"."""
    apart = unicodedata.normalize("NFKD", text.casefold())
    bare = "".join(sign for sign in apart if not unicodedata.combining(sign))
    return bare.translate(_OTHERWISE)


def words_of(*texts: str) -> str:
    """All words of some texts, folded, each once: what a search looks into."""
    return " ".join(dict.fromkeys(folded(" ".join(texts).replace("\0", "")).split()))
