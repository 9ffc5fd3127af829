"""What the JSON API takes: beside `airwright.desk.editing.edits`."""

from __future__ import annotations

import datetime as dt
from typing import Annotated

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field

from airwright.store.ticks import Ticked


class Have(BaseModel):
    """Which pictures the browser holds already."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    have: Annotated[
        list[Annotated[str, Field(max_length=64)]], Field(default_factory=list, max_length=500)
    ]


class TickIn(BaseModel):
    """One line ticked or unticked, and when, by the phone's own clock."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    item: Annotated[str, Field(min_length=1, max_length=200, pattern=r"^[^\x00]*$")]
    ticked: bool
    at: AwareDatetime


class TicksIn(BaseModel):
    """Everything a phone has to tell."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    ticks: Annotated[list[TickIn], Field(max_length=2000)]


def ticked(sent: TicksIn, actor: str) -> list[Ticked]:
    """Ticks for the store."""
    earliest = dt.datetime(2000, 1, 1, tzinfo=dt.UTC)
    return [Ticked(tick.item, tick.ticked, max(tick.at, earliest), actor) for tick in sent.ticks]
