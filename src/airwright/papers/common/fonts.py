"""Fonts that travel with the package, so that papers look the same on every machine.

Fraunces for display, Source Sans 3 for text; Noto Sans for Arabic, Hebrew, Thai and Devanagari;
Droid Sans Fallback for Chinese and Japanese, Noto Sans KR for Korean; Noto Emoji for signs. All
are under open licences (`catalog/data/fonts/LICENSES.txt`). Why no system fonts: decision 0011.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Final

from airwright.catalog import FONT_FOLDER

if TYPE_CHECKING:
    import typst

TEXT: Final = (
    "Source Sans 3",
    "Noto Sans Arabic",
    "Noto Sans Hebrew",
    "Noto Sans Thai",
    "Noto Sans Devanagari",
    "Droid Sans Fallback",
    "Noto Sans Korean",
    "Noto Emoji",
)
DISPLAY: Final = ("Fraunces", *TEXT)


@cache
def fonts() -> typst.Fonts:
    """The bundled fonts, read once a process."""
    import typst

    return typst.Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[str(FONT_FOLDER)]
    )
