"""One record a key: unit, bounds, default and help in one place.

A `Param` stands in the annotation of a model field. From it come validation (through pydantic),
the JSON Schema, the reference in the docs, the command line's help and the desk's forms.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from airwright import units
from airwright.language import message

LONGEST_TEXT = 2000

WRITTEN = {"from": "file"}
"""Validation context of values that a person wrote: a number without a unit is refused."""


@dataclass(frozen=True)
class Param:
    """What a user may set, described once.

    Attributes:
        help: one sentence, what it is and what it does.
        kind: the quantity it is, None for plain numbers, words and tables.
        low, high: inclusive bounds; texts with units for quantities ("6 in"), else numbers.
        example: how it is written, where the default does not show it.
        longest: for words, the most characters.
        group: heading under which forms show it.
        rare: shown only when a form is asked for everything.
    """

    help: str
    kind: units.Kind | None = None
    low: str | float | None = None
    high: str | float | None = None
    example: str = ""
    longest: int = LONGEST_TEXT
    group: str = ""
    rare: bool = False

    def _bound(self, bound: str | float | None) -> float | None:
        if bound is None:
            return None
        if isinstance(bound, str):
            assert self.kind is not None
            return units.parse(bound, self.kind)
        return float(bound)

    @cached_property
    def lowest(self) -> float | None:
        """Lower bound in SI."""
        return self._bound(self.low)

    @cached_property
    def highest(self) -> float | None:
        """Upper bound in SI."""
        return self._bound(self.high)

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        inner = handler(source)
        if self.kind is None:
            checked = core_schema.no_info_after_validator_function(self._check, inner)
            return core_schema.no_info_before_validator_function(_no_yes_or_no, checked)
        kind = self.kind
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
        if self.kind is None:
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
        elif isinstance(value, int | float) and not isinstance(value, bool):
            self._bounds(float(value), f"{value:.12g}")
        return value

    def _bounds(self, number: float, written: str) -> None:
        for bound, wrong, side in (
            (self.lowest, self.lowest is not None and not number >= self.lowest, "least"),
            (self.highest, self.highest is not None and not number <= self.highest, "most"),
        ):
            if wrong and bound is not None:
                limit = units.write(bound, self.kind) if self.kind else f"{bound:g}"
                raise PydanticCustomError(
                    "out_of_bounds",
                    "{what}",
                    {
                        "what": message(
                            "{written} is {value}.",
                            written=written,
                            value="too small" if side == "least" else "too large",
                        ),
                        "mend": message("Use {limit} at the {side}.", limit=limit, side=side),
                    },
                )


def _no_yes_or_no(value: Any) -> Any:
    """`true` would pass as the number 1; no key of ours is a yes or no."""
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
