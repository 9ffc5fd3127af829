"""English made strange on purpose: what stays plain on a page does not come from the catalogue."""

from __future__ import annotations

from typing import Final

from airwright.language.text import places_in

_STRANGE: Final = str.maketrans(
    "aceinosuyACEINOSUY",
    "áçéíñóšúýÁÇÉÍÑÓŠÚÝ",
)
_PADDING: Final = "~"
OPEN, CLOSE = "⟦", "⟧"


def pseudo(form: str) -> str:
    """A form with accents, in brackets and a third longer; what stands in braces is kept."""
    kept = {place: f"\x00{at}\x00" for at, place in enumerate(places_in(form))}
    strange = form
    for brace, stand_in in kept.items():
        strange = strange.replace(brace, stand_in)
    strange = strange.translate(_STRANGE)
    for brace, stand_in in kept.items():
        strange = strange.replace(stand_in, brace)
    return f"{OPEN}{strange}{_PADDING * (len(form) // 3)}{CLOSE}"
