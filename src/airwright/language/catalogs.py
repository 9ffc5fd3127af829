"""Languages there are, and their books of translations (gettext PO files, read by Babel)."""

from __future__ import annotations

import gettext
from functools import cache
from importlib.resources import files
from io import BytesIO
from typing import Final, NewType

Language = NewType("Language", str)
"""A language tag of BCP 47: "en-US", "de"."""

ENGLISH_US: Final = Language("en-US")
ENGLISH_UK: Final = Language("en-GB")
SPANISH: Final = Language("es")
GERMAN: Final = Language("de")
PSEUDO: Final = Language("en-XA")
"""English in accents and a third longer, to find sentences that do not come from here."""

LANGUAGES: Final[dict[Language, str]] = {
    ENGLISH_US: "English (US)",
    ENGLISH_UK: "English (UK)",
    SPANISH: "Español",
    GERMAN: "Deutsch",
}
"""What a person may choose, in its own name."""

BOOKS: Final = (SPANISH, GERMAN)
"""Languages with a book of translations."""


def known_language(tag: str) -> Language:
    """The language of a tag, US English where it is none of ours."""
    found = Language(tag)
    return found if found in LANGUAGES or found == PSEUDO else ENGLISH_US


@cache
def catalogue(language: Language) -> gettext.NullTranslations:
    """The book of a language; an empty one where there is none."""
    file = files("airwright.language").joinpath("translations", f"{language}.po")
    if not file.is_file():
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    packed = BytesIO()
    with file.open("rb") as source:
        write_mo(packed, read_po(source, locale=language.replace("-", "_")))
    packed.seek(0)
    return gettext.GNUTranslations(packed)
