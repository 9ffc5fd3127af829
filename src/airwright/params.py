"""One record a key: unit, bounds, default and help in one place.

A `Param` stands in the annotation of a model field. From it come validation (through pydantic),
the JSON Schema, the reference in the docs, the command line's help and the desk's forms.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from airwright import units
from airwright.language import message

LONGEST_TEXT = 2000
MOST_ENTRIES = 2000
"""Entries of a list; the longest we know are the rows of a painted chart."""

WRITTEN = {"from": "file"}
"""Validation context of values that a person wrote: a number without a unit is refused."""


@dataclass(frozen=True)
class Param:
    """What a user may set, described once.

    Attributes:
        help: one sentence, what it is and what it does.
        kind: the quantity it is, None for plain numbers, words and tables.
        per: SI value of one unit where the file holds a plain number ("nominal_in" holds
            inches: 0.0254); 0 where it holds a text with its unit.
        low, high: inclusive bounds; texts with units for quantities ("6 in"), else numbers.
        example: how it is written, where the default does not show it.
        longest: for words, the most characters.
        group: heading under which forms show it.
        rare: shown only when a form is asked for everything.
        shades: whether the texts in it name shades.
        label: what forms call it; the key itself, where it is "".
        words: how forms say a choice, where the choice itself is too short a word.
        widget: how a form asks for it, where its type does not say: "area" (several lines),
            "wide" (one long line), "colour", "elsewhere" (by a tool of its own).
    """

    help: str
    kind: units.Kind | None = None
    low: str | float | None = None
    high: str | float | None = None
    example: str = ""
    longest: int = LONGEST_TEXT
    group: str = ""
    rare: bool = False
    label: str = ""
    words: tuple[tuple[str, str], ...] = ()
    widget: str = ""
    per: float = 0.0
    shades: bool = False

    def _bound(self, bound: str | float | None) -> float | None:
        if bound is None:
            return None
        if isinstance(bound, str):
            assert self.kind is not None
            return units.parse(bound, self.kind) / (self.per or 1.0)
        return float(bound)

    @cached_property
    def lowest(self) -> float | None:
        """Lower bound in SI, or in stored units where the file holds a plain number."""
        return self._bound(self.low)

    @cached_property
    def highest(self) -> float | None:
        """Upper bound in SI, or in stored units where the file holds a plain number."""
        return self._bound(self.high)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        inner = handler(source)
        kind = self.kind
        if kind is None or self.per:
            checked = core_schema.no_info_after_validator_function(self._check, inner)
            if source is bool:
                return checked
            return core_schema.no_info_before_validator_function(_not_outright_wrong, checked)
        return core_schema.with_info_before_validator_function(
            self._read,
            core_schema.union_schema([core_schema.none_schema(), core_schema.float_schema()]),
            serialization=core_schema.plain_serializer_function_ser_schema(
                lambda value: None if value is None else units.write(value, kind), when_used="json"
            ),
        )

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        if self.kind is None or self.per:
            described = handler(schema)
        else:
            described = {"type": "string", "examples": list(self.kind.examples)}
        described["description"] = self.help
        return described

    def _read(self, value: object, info: ValidationInfo) -> float | None:
        """Text with a unit from a file; SI floats only from code, where `WRITTEN` is not set."""
        assert self.kind is not None
        if value is None or (type(value) is float and info.context != WRITTEN):
            number = value
        else:
            try:
                number = units.parse(value, self.kind)
            except units.UnitError as problem:
                raise PydanticCustomError(
                    "unit", "{what}", {"what": problem.what, "mend": problem.mend}
                ) from None
        if number is not None:
            self._bounds(number, str(value))
        return number

    def _check(self, value: Any) -> Any:
        if isinstance(value, str):
            if len(value) > self.longest:
                raise PydanticCustomError(
                    "too_long_text",
                    "{what}",
                    {
                        "what": message("This text has {value} characters.", value=len(value)),
                        "mend": message("Keep it to {longest}.", longest=self.longest),
                    },
                )
            if any(ord(char) < 32 and char not in "\n\t" for char in value):
                raise PydanticCustomError(
                    "control_character",
                    "{what}",
                    {
                        "what": message("This text holds an invisible control character."),
                        "mend": message("Type the text anew instead of pasting it."),
                    },
                )
        elif isinstance(value, int | float | Decimal) and not isinstance(value, bool):
            kind, per = self.kind, self.per
            self._bounds(value, units.write(float(value) * per, kind) if kind else _shortly(value))
        return value

    def _bounds(self, number: float | Decimal, written: str) -> None:
        if not _is_finite(number):
            what = message("{written} is no number that fits here.", written=written[:40])
            mend = message("Use a plain number.")
            raise PydanticCustomError("out_of_bounds", "{what}", {"what": what, "mend": mend})
        exact = Decimal if isinstance(number, Decimal) else None
        for bound, sign in ((self.lowest, -1), (self.highest, 1)):
            if bound is None:
                continue
            limit = bound if exact is None else exact(repr(bound))
            if (number > limit) if sign > 0 else (number < limit):
                shown = (
                    units.write(bound * (self.per or 1.0), self.kind)
                    if self.kind
                    else f"{bound:,.10g}"
                )
                raise PydanticCustomError(
                    "out_of_bounds",
                    "{what}",
                    {
                        "what": message("{written} is too small.", written=written)
                        if sign < 0
                        else message("{written} is too large.", written=written),
                        "mend": message("Use {limit} at the least.", limit=shown)
                        if sign < 0
                        else message("Use {limit} at the most.", limit=shown),
                    },
                )


def _is_finite(number: float | Decimal) -> bool:
    return (
        number.is_finite()
        if isinstance(number, Decimal)
        else not isinstance(number, float) or math.isfinite(number)
    )


def _shortly(number: float | Decimal) -> str:
    """A number as it was written, its middle left out where it fills a line."""
    if isinstance(number, int) and abs(number) >= 10**20:
        return "This number"
    text = f"{number:.12g}" if isinstance(number, float) else str(number)
    return text if len(text) <= 24 else "This number"


def _not_outright_wrong(value: Any) -> Any:
    """`true` would pass as the number 1; a list without end would be checked entry by entry."""
    if isinstance(value, list) and len(value) > MOST_ENTRIES:
        what = message("This list has {count} entries.", count=len(value))
        mend = message("Keep it to {most}.", most=MOST_ENTRIES)
        raise PydanticCustomError("too_long_list", "{what}", {"what": what, "mend": mend})
    if isinstance(value, bool):
        word = str(value).lower()
        raise PydanticCustomError(
            "yes_or_no",
            "{what}",
            {
                "what": message("{word} is no value here.", word=word),
                "mend": message("Write a number or words in quotes."),
            },
        )
    return value
