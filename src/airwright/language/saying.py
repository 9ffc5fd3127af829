"""Saying a value in the reader's language."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from decimal import Decimal
from functools import cache
from typing import Any

from airwright.language.catalogs import (
    ENGLISH_UK,
    ENGLISH_US,
    PSEUDO,
    Language,
    catalogue,
    known_language,
)
from airwright.language.pseudo import pseudo
from airwright.language.spelling import british
from airwright.language.text import Text, fill, only_frames
from airwright.units import Shown

_CURRENT: ContextVar[Language] = ContextVar("language", default=ENGLISH_US)


@contextmanager
def speaking(language: Language | str) -> Iterator[None]:
    """Say everything in a language until the block ends; unknown ones speak US English."""
    token = _CURRENT.set(known_language(str(language)))
    try:
        yield
    finally:
        _CURRENT.reset(token)


def speak(language: Language | str) -> None:
    """Say everything in a language from here on, in this request or thread."""
    _CURRENT.set(known_language(str(language)))


def current_language() -> Language:
    """The language that is being spoken."""
    return _CURRENT.get()


def say(value: Any, language: Language | None = None) -> str:
    """A value as the reader says it.

    Args:
        value: a `Text`, a quantity from `units.show`, a number; other text stays as it is.
        language: instead of the one being spoken.
    """
    spoken = _CURRENT.get() if language is None else language
    if isinstance(value, Text):
        form = translated(value.message, value.many, value.number, spoken)
        return fill(form, value.values, lambda inner: say(inner, spoken))
    if isinstance(value, Shown):
        return _decimals(value, spoken)
    if isinstance(value, str):
        return value
    if isinstance(value, int | float | Decimal) and not isinstance(value, bool):
        return _decimals(f"{value:,}", spoken)
    return str(value)


def translated(message: str, many: str | None, count: int | None, language: Language) -> str:
    """The form of a message in a language, its braces unfilled; English where there is none."""
    form = message if many is None or count == 1 else many
    if language == ENGLISH_US or only_frames(message):
        return form
    if language == ENGLISH_UK:
        return british(form)
    if language == PSEUDO:
        return pseudo(form)
    book = catalogue(language)
    if many is None:
        return book.gettext(message)
    return book.ngettext(message, many, count if count is not None else 2)


def gettext(form: str) -> str:
    """A message of a template in the language being spoken, its values unfilled."""
    return translated(form, None, None, _CURRENT.get())


def ngettext(one: str, many: str, count: int) -> str:
    """Likewise for one with a plural."""
    return translated(one, many, count, _CURRENT.get())


def say_all(value: Any) -> Any:
    """Every text in nested lists and mappings, said; keys and other values stay."""
    if isinstance(value, str):
        return say(value)
    if isinstance(value, Mapping):
        return {key: say_all(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [say_all(inner) for inner in value]
    return value


def _decimals(number: str, language: Language) -> str:
    """A printed number with the decimal sign and the grouping of a language."""
    point, group = _signs(language)
    if (point, group) == (".", ","):
        return str(number)
    return number.translate({ord("."): point, ord(","): group})


@cache
def _signs(language: Language) -> tuple[str, str]:
    if language in (ENGLISH_US, ENGLISH_UK, PSEUDO):
        return ".", ","
    from babel.numbers import get_decimal_symbol, get_group_symbol

    locale = language.replace("-", "_")
    return str(get_decimal_symbol(locale)), str(get_group_symbol(locale))
