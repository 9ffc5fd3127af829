"""A sentence that knows its message and its values.

A `Text` is a `str` holding the English sentence, so that it sorts, joins and prints like one.
Joined with `+` or an f-string it becomes plain English; `sentences` and `listing` keep what
they join translatable.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final


class Text(str):
    """A sentence in English, with what it takes to say it in another language.

    Attributes:
        message: the sentence as written in the code, values in braces; the catalogue's key.
        many: its plural form, None for a sentence without one.
        number: what decides between the forms, None without a plural.
        values: what stands in the braces: names, numbers, quantities, other texts.
    """

    __slots__ = ("many", "message", "number", "values")

    message: str
    many: str | None
    number: int | None
    values: Mapping[str, Any]

    def __new__(
        cls,
        message: str,
        values: Mapping[str, Any],
        many: str | None = None,
        count: int | None = None,
    ) -> Text:
        """Fill the English form; raises KeyError when a value is missing."""
        form = message if many is None or count == 1 else many
        made = super().__new__(cls, fill(form, values, english))
        made.message, made.many, made.number, made.values = message, many, count, values
        return made

    def __reduce__(self) -> tuple[Any, ...]:
        return Text, (self.message, dict(self.values), self.many, self.number)


def message(form: str, /, **values: Any) -> Text:
    """A sentence: `message("{name} is {height} tall.", name=…, height=show(…))`.

    Args:
        form: English, plain words, values in braces; "{{" is a brace.
        values: text as people typed it, whole and decimal numbers, quantities from
            `units.show`, and other texts.

    Raises:
        KeyError: a brace has no value.
    """
    return Text(form, values)


def counted(one: str, many: str, count: int, /, **values: Any) -> Text:
    """A sentence that depends on a number: `counted("{n} balloon", "{n} balloons", 3)`.

    Args:
        one: the form for exactly one.
        many: the form for any other number.
        count: how many; stands in the braces as {n}.
        values: further values.
    """
    return Text(one, {"n": count, **values}, many, count)


def sentences(*parts: str) -> Text:
    """Sentences in a row, empty ones left out."""
    kept = [part for part in parts if part]
    named = {f"part_{at}": part for at, part in enumerate(kept)}
    return Text(" ".join(f"{{{name}}}" for name in named), named)


def listing(parts: Sequence[str]) -> Text:
    """ "coral", "coral and sand", "coral, sand and teal"."""
    if not parts:
        return Text("", {})
    if len(parts) == 1:
        return Text("{last}", {"last": parts[0]})
    head = ", ".join(f"{{part_{at}}}" for at in range(len(parts) - 1))
    named: dict[str, str] = {f"part_{at}": part for at, part in enumerate(parts[:-1])}
    front = Text(head, named)
    return message("{front} and {last}", front=front, last=parts[-1])


def joined(parts: Sequence[str], between: str = ", ") -> Text:
    """Texts and names one after the other, with a sign between them that no language changes."""
    named = {f"part_{at}": part for at, part in enumerate(parts)}
    return Text(between.join(f"{{{name}}}" for name in named), named)


def file_word(word: str) -> Text:
    """A key or a choice of our files as people read it: "modelling", "line_margin".

    The words are listed in `file_words.py`, from where they come into the books.
    """
    return Text(word.replace("_", " ").replace("{", "{{").replace("}", "}}"), {})


def fill(form: str, values: Mapping[str, Any], shown: Any) -> str:
    """A form with its values, each as `shown` says it."""
    if "{" not in form and "}" not in form:
        return form
    return form.format_map(_Shown(values, shown))


class _Shown(Mapping[str, Any]):
    """Values said one by one when the form asks for them."""

    def __init__(self, values: Mapping[str, Any], shown: Any) -> None:
        self._values, self._shown = values, shown

    def __getitem__(self, name: str) -> Any:
        return self._shown(self._values[name])

    def __iter__(self) -> Any:
        return iter(self._values)

    def __len__(self) -> int:
        return len(self._values)


def english(value: Any) -> str:
    """A value as English says it: numbers grouped, everything else as it is."""
    if isinstance(value, str):
        return value
    if isinstance(value, bool) or not isinstance(value, int):
        return str(value)
    return f"{value:,}"


_PLACE: Final = re.compile(r"\{\w+\}|%\(\w+\)s")


def places_in(form: str) -> tuple[str, ...]:
    """Places for values in a form: "{name}", or "%(name)s" in templates of the desk."""
    return tuple(dict.fromkeys(_PLACE.findall(form)))


def only_frames(form: str) -> bool:
    """Whether a form has no word of its own, so that there is nothing to translate."""
    return not any(char.isalpha() for char in _PLACE.sub("", form))
