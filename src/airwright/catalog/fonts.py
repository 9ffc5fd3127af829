"""The fonts that come with us: for papers, for lettering, for frames in the shape of a letter."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

FONT_FOLDER: Final = Path(__file__).parent / "data" / "fonts"
"""All of them are under open licences (`LICENSES.txt` there)."""

OWN_FONTS: Final = {"sans": "SourceSans3_600SemiBold.ttf", "serif": "Fraunces_600SemiBold.ttf"}
"""Those that text is cut or built in, by the name that job files give them."""


@cache
def own_font(name: str) -> bytes:
    """A font file by its name in `OWN_FONTS`."""
    return (FONT_FOLDER / OWN_FONTS[name]).read_bytes()
