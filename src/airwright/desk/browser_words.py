"""Sentences of the scripts, carried to the browser by the page itself.

A script says `t("Nothing to fix.")`; `python -m tools.sentences` gathers those sentences into
`browser_words.json`. A page in American English carries none: the script knows them.
"""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files

from airwright.language import ENGLISH_US, Language, current_language, speaking
from airwright.language.saying import gettext


def browser_words() -> str:
    """Sentence → its translation as JSON, in the language being spoken; "" for American English."""
    spoken = current_language()
    return "" if spoken == ENGLISH_US else _packed(spoken)


@cache
def _packed(language: Language) -> str:
    with speaking(language):
        said = {form: gettext(form) for form in sentences()}
    kept = {form: words for form, words in said.items() if words != form}
    return json.dumps(kept, ensure_ascii=False, separators=(",", ":"))


@cache
def sentences() -> tuple[str, ...]:
    """Every sentence of the scripts, in American English."""
    file = files("airwright.desk").joinpath("browser_words.json")
    return tuple(json.loads(file.read_text(encoding="utf-8")))
