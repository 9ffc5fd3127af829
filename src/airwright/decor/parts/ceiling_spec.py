"""What a job file says of decor under a ceiling."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from airwright import units
from airwright.decor.parts.mix import BlendedShades
from airwright.job.cluster import Inflated
from airwright.job.pieces import PieceSpec
from airwright.language import message
from airwright.params import Param

USUAL = {"loose": "11in @ 10in", "strands": "6in link", "swags": "6in link"}
"""Balloon that is taken where none is named."""


class CeilingSpec(PieceSpec):
    """Keys of a ceiling."""

    kind: Annotated[Literal["ceiling"], Param(message("Decor under a ceiling."))] = "ceiling"
    form: Annotated[
        Literal["loose", "strands", "swags"],
        Param(
            message(
                "Loose helium balloons with ribbons, strands that hang down, or swags from point "
                "to point."
            )
        ),
    ] = "loose"
    width: Annotated[float, Param(message("Left to right."), units.LENGTH, "2 ft", "200 ft")] = 4.0
    length: Annotated[float, Param(message("Front to back."), units.LENGTH, "2 ft", "200 ft")] = 3.0
    height: Annotated[
        float, Param(message("The ceiling above the floor."), units.LENGTH, "6 ft", "60 ft")
    ] = 3.0
    balloon: Annotated[
        Inflated | None,
        Param(
            message("Size and inflated diameter; 11 in ones float, 6 in links hang if left out."),
            example="11in @ 10in",
            group=message("Mix"),
        ),
    ] = None
    every: Annotated[
        float,
        Param(
            message("Loose ones: side of the square of ceiling that one balloon gets."),
            units.LENGTH,
            "4 in",
            "10 ft",
            group=message("Mix"),
        ),
    ] = 0.4572
    pattern: Annotated[
        Literal["grid", "scattered"],
        Param(message("Loose ones: in even rows, or scattered by chance."), group=message("Mix")),
    ] = "scattered"
    bunch: Annotated[
        int,
        Param(message("Loose ones: how many float together."), low=1, high=7, group=message("Mix")),
    ] = 1
    ribbons_to: Annotated[
        float,
        Param(
            message("Loose ones: how high above the floor their ribbons end."),
            units.LENGTH,
            "0 ft",
            "60 ft",
        ),
    ] = 2.0
    columns: Annotated[
        int, Param(message("Strands from left to right."), low=1, high=200, group=message("Mix"))
    ] = 5
    rows: Annotated[
        int, Param(message("Strands from front to back."), low=1, high=200, group=message("Mix"))
    ] = 3
    drop: Annotated[
        float,
        Param(
            message("How long a strand hangs."), units.LENGTH, "4 in", "40 ft", group=message("Mix")
        ),
    ] = 0.8
    swags: Annotated[
        int, Param(message("How many swags."), low=1, high=60, group=message("Mix"))
    ] = 6
    swags_lead: Annotated[
        Literal["from the middle", "side to side"],
        Param(
            message("Swags from the middle to the edges, or side by side across."),
            group=message("Mix"),
        ),
    ] = "from the middle"
    sag: Annotated[
        float,
        Param(message("How far a swag hangs below its ends."), units.LENGTH, "2 in", "20 ft",
              group=message("Mix")),
    ] = 0.4  # fmt: skip
    shades: BlendedShades = Field(min_length=1)
    ribbon: Annotated[
        str | None,
        Param(message("Shade of the ribbons; white if left out."), longest=60, shades=True,
              rare=True),
    ] = None  # fmt: skip
    seed: Annotated[
        int,
        Param(message("Another number scatters them another way; counts stay."), low=0,
              high=999_999, rare=True),
    ] = 1  # fmt: skip


def balloon_of(spec: CeilingSpec) -> Inflated:
    """The balloon it is made of, the usual one where none is named."""
    return Inflated.parse(USUAL[spec.form]) if spec.balloon is None else spec.balloon
