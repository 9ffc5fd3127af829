"""Changes a decorator makes to a job, as data: from the panel, the chart, the floor plan."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, JsonValue

MOST_CHANGES = 200


def _starts_with_a_table(path: list[str | int]) -> list[str | int]:
    """A path names a table of the file first; a bare number would count nothing."""
    if not isinstance(path[0], str):
        raise ValueError("a path starts with a key of the file")
    return path


Index = Annotated[int, Field(ge=0, lt=500)]
Path = Annotated[
    list[Annotated[str, Field(min_length=1, max_length=200)] | Index],
    Field(min_length=1, max_length=8),
    AfterValidator(_starts_with_a_table),
]
Word = Annotated[str, Field(max_length=200)]


class Change(BaseModel):
    """One change; pieces are counted from 0 in the version the change was made from."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Put(Change):
    """Write a value: `["pieces", 0, "height"]`, "7 ft". Missing tables on the way are made."""

    do: Literal["put"]
    path: Path
    value: JsonValue


class Write(Change):
    """Write a value as typed into a form: the key's record says what the text means."""

    do: Literal["write"]
    path: Path
    text: Annotated[str, Field(max_length=20_000)]


class Clear(Change):
    """Take a key out, so that its starting value holds again."""

    do: Literal["clear"]
    path: Path


class Add(Change):
    """A new piece of a kind, from its example or from a saved design's table."""

    do: Literal["add"]
    kind: Annotated[str, Field(max_length=40)]
    design: Annotated[str, Field(max_length=16)] | None = None


class Duplicate(Change):
    """The same piece once more, under a name of its own."""

    do: Literal["duplicate"]
    piece: Index


class Mirror(Change):
    """The piece as in a mirror: swirl, lean and chart change sides."""

    do: Literal["mirror"]
    piece: Index


class Drop(Change):
    """Take a piece out."""

    do: Literal["drop"]
    piece: Index


class Reorder(Change):
    """Put a piece at another place in the list."""

    do: Literal["reorder"]
    piece: Index
    to: Index


class Swap(Change):
    """One shade in place of another, in every piece."""

    do: Literal["swap"]
    old: Word
    new: Word


class RenameShade(Change):
    """Another name for a shade of the job, wherever it is named."""

    do: Literal["rename_shade"]
    old: Word
    new: Annotated[str, Field(min_length=1, max_length=60)]


WIDEST_ROW = 700
"""Balloons in a row of the widest wall."""


class Paint(Change):
    """Paint a piece: rows are layers from the bottom up; of a wall, its balloons row by row."""

    do: Literal["paint"]
    piece: Index
    rows: Annotated[
        list[Annotated[list[Word], Field(min_length=1, max_length=WIDEST_ROW)]],
        Field(min_length=1, max_length=2000),
    ]


AnyChange = Annotated[
    Put | Write | Clear | Add | Duplicate | Mirror | Drop | Reorder | Swap | RenameShade | Paint,
    Field(discriminator="do"),
]


class Edit(BaseModel):
    """Changes made together.

    Attributes:
        version: the version whose fields and pieces the hand saw.
        changes: in order; pieces are counted as in that version.
        have: keys of pictures the browser holds.
        mine: later versions that came from the same hand, or that it was told of and goes over.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    version: Annotated[int, Field(ge=1, le=2**31 - 1)]
    changes: Annotated[list[AnyChange], Field(min_length=1, max_length=MOST_CHANGES)]
    have: Annotated[
        list[Annotated[str, Field(max_length=64)]], Field(default_factory=list, max_length=500)
    ]
    mine: Annotated[list[Annotated[int, Field(ge=1, le=2**31 - 1)]], Field(max_length=300)] = []


class EditError(ValueError):
    """A change that cannot be made; `what` and `mend` are for the decorator."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(what)
        self.what = what
        self.mend = mend
