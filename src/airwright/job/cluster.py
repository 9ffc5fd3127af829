"""Clusters as the trade writes them: `2 x 11in @ 9.5in + 2 x 5in @ 4.5in`."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import PydanticCustomError, core_schema

from airwright import units
from airwright.language import message

LARGEST_CLUSTER = 12
"""More balloons than this cannot be tied at one point by hand (common practice)."""

_PART = re.compile(r"^\s*(?P<count>\d{1,4})\s*[x×]\s*(?P<balloon>.+?)\s*$")
_NAMES = {1: "single", 2: "duplet", 3: "triplet", 4: "quad", 5: "five", 6: "six"}


class NotationError(ValueError):
    """A cluster or balloon that cannot be read; `what` and `mend` are for the decorator."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


class Written:
    """Lets pydantic read a value from its text and write it back as text."""

    @classmethod
    def parse(cls, text: object) -> Any:
        raise NotImplementedError

    @classmethod
    def _validate(cls, value: object) -> Any:
        if isinstance(value, cls):
            return value
        try:
            return cls.parse(value)
        except NotationError as problem:
            raise PydanticCustomError(
                "notation", "{what}", {"what": problem.what, "mend": problem.mend}
            ) from None

    @classmethod
    def __get_pydantic_core_schema__(
        cls, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls._validate, serialization=core_schema.to_string_ser_schema(when_used="json")
        )

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return {"type": "string"}


@dataclass(frozen=True)
class Inflated(Written):
    """A balloon size at a diameter, written `11in @ 9.5in`; without @, its usual diameter.

    Attributes:
        size: catalogue size ("11in").
        diameter_m: inflated diameter [m], None for the catalogue's usual one.
    """

    size: str
    diameter_m: float | None = None

    @classmethod
    def parse(cls, text: object) -> Inflated:
        """Read `11in @ 9.5in`. Raises NotationError."""
        mend = message(
            'Write it like "11in @ 9.5in": the size it is sold as @ the size you inflate it to.'
        )
        if not isinstance(text, str) or not text.strip() or len(text) > units.LONGEST_TEXT:
            raise NotationError(message("This is no balloon."), mend)
        size, at, diameter = (part.strip() for part in text.partition("@"))
        if not size or (at and not diameter):
            raise NotationError(message('"{text}" is no balloon.', text=text), mend)
        if not at:
            return cls(_tidy_size(size))
        try:
            metres = units.parse(diameter, units.LENGTH)
        except units.UnitError as problem:
            raise NotationError(problem.what, mend) from None
        if not 0.0 < metres <= 3.0:
            raise NotationError(
                message('No balloon is inflated to "{diameter}".', diameter=diameter), mend
            )
        return cls(_tidy_size(size), metres)

    def __str__(self) -> str:
        if self.diameter_m is None:
            return self.size
        return f"{self.size} @ {_diameter(self.diameter_m)}"


def _diameter(metres: float) -> str:
    """Diameters are always written in inches, or in centimetres where that is exact."""
    for symbol in ("in", "cm"):
        text = f"{round(metres / units.LENGTH.units[symbol].scale, 3):.10g}{symbol}"
        if units.parse(text, units.LENGTH) == metres:
            return text
    return f"{metres!r}m"


def _tidy_size(size: str) -> str:
    """ "11 in" and "11IN" are "11in"; other words stay as written."""
    match = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(?:in|inch|inches|\"|″)(\s+.*)?", size, re.IGNORECASE)
    if match is None:
        return " ".join(size.split())
    return f"{match[1]}in{' ' + match[2].strip() if match[2] else ''}"


@dataclass(frozen=True)
class Part:
    """Equal balloons within a cluster."""

    count: int
    balloon: Inflated

    def __str__(self) -> str:
        return f"{self.count} x {self.balloon}"


@dataclass(frozen=True)
class Cluster(Written):
    """Balloons tied at one point, in slot order: first part first."""

    parts: tuple[Part, ...]

    @classmethod
    def parse(cls, text: object) -> Cluster:
        """Read `4 x 11in @ 9.5in` or parts joined by +. Raises NotationError."""
        mend = message('Write it like "4 x 11in @ 9.5in", mixed ones joined by +.')
        if not isinstance(text, str) or not text.strip() or len(text) > 5 * units.LONGEST_TEXT:
            raise NotationError(message("This is no cluster."), mend)
        parts = []
        for piece in text.split("+"):
            match = _PART.match(piece)
            if match is None:
                raise NotationError(
                    message('"{strip}" is no part of a cluster.', strip=piece.strip()), mend
                )
            if int(match["count"]) == 0:
                raise NotationError(message("A cluster of no balloons cannot be tied."), mend)
            parts.append(Part(int(match["count"]), Inflated.parse(match["balloon"])))
        cluster = cls(tuple(parts))
        if cluster.count > LARGEST_CLUSTER:
            raise NotationError(
                message("{count} balloons cannot be tied at one point.", count=cluster.count),
                message(
                    "Tie {largest_cluster} at the most; make two clusters of it.",
                    largest_cluster=LARGEST_CLUSTER,
                ),
            )
        return cluster

    def __str__(self) -> str:
        return " + ".join(str(part) for part in self.parts)

    @property
    def count(self) -> int:
        """Balloons in it."""
        return sum(part.count for part in self.parts)

    @cached_property
    def slots(self) -> tuple[Inflated, ...]:
        """One entry a balloon, in slot order."""
        return tuple(part.balloon for part in self.parts for _ in range(part.count))

    @property
    def name(self) -> str:
        """The trade's word: duplet, triplet, quad, …; "mixed quad" when sizes differ."""
        word = _NAMES.get(self.count, f"cluster of {self.count}")
        return word if len(self.parts) == 1 else f"mixed {word}"
