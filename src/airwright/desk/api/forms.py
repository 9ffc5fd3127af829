"""What the JSON API takes: see `airwright.desk.editing.edits` and `airwright.desk.day.forms`."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class Have(BaseModel):
    """Which pictures the browser holds already."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    have: Annotated[
        list[Annotated[str, Field(max_length=64)]], Field(default_factory=list, max_length=500)
    ]
