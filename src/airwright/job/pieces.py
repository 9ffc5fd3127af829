"""What every kind of piece shares in the job file: its frame, its shades and its trims."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from airwright import units
from airwright.job.cluster import Cluster, Inflated
from airwright.language import message
from airwright.params import Param

Setting = Literal["indoor", "sheltered", "open air"]

Pattern = Literal["swirl", "stripes", "rings", "zigzag", "chart"]


class Table(BaseModel):
    """A frozen table of the job file; unknown keys are findings."""

    model_config = ConfigDict(frozen=True, extra="forbid", ser_json_inf_nan="null")


class Spot(Table):
    """Where a piece stands on the floor plan."""

    x: Annotated[
        float,
        Param(message("To the right of the middle of the floor."), units.LENGTH, "-500 m", "500 m"),
    ] = 0.0
    y: Annotated[
        float,
        Param(message("Away from the front edge of the floor."), units.LENGTH, "-500 m", "500 m"),
    ] = 0.0
    facing: Annotated[
        float,
        Param(
            message("Degrees its front is turned, anticlockwise from above."), low=-360, high=360
        ),
    ] = 0.0


class Door(Spot):
    """A door, gate or other opening that people come through."""

    width: Annotated[
        float, Param(message("Clear width of it."), units.LENGTH, "1 ft", "100 ft")
    ] = 0.9
    height: Annotated[
        float, Param(message("Clear height of it."), units.LENGTH, "3 ft", "50 ft")
    ] = 2.03


class Copies(Table):
    """How the copies of a piece stand."""

    stand: Annotated[
        Literal["in a row", "either side", "in a circle", "along a wall"],
        Param(
            message(
                "In a row, at either side of another piece, in a circle, or with their backs "
                "along a wall."
            )
        ),
    ] = "in a row"
    of: Annotated[
        str | None,
        Param(
            message("The piece they stand at either side of; an arch or the door if left out."),
            longest=120,
        ),
    ] = None
    apart: Annotated[
        float | None,
        Param(
            message("Middle to middle in a row; at either side the free floor between."),
            units.LENGTH,
            "0 in",
            "300 ft",
        ),
    ] = None
    across: Annotated[
        float | None,
        Param(
            message("Diameter of the circle, middle to middle, or length of the wall they fill."),
            units.LENGTH,
            "1 ft",
            "600 ft",
        ),
    ] = None


class Topper(Table):
    """A jumbo round on top, or a foil in its place."""

    balloon: Annotated[
        Inflated,
        Param(message("The balloon on top and the size it is inflated to."), example="24in @ 22in"),
    ]
    shade: Annotated[
        str,
        Param(
            message("Its shade, by the name given in [shades]."),
            longest=60,
            shades=True,
        ),
    ]
    tie: Annotated[
        str,
        Param(message("Modeling balloon that ties it on, or none."), example="260", longest=20),
    ] = "260"
    ties: Annotated[int, Param(message("Ties used for one topper."), low=0, high=8)] = 1
    lean: Annotated[
        Literal["none", "left", "right"], Param(message("Side it leans to, seen from the front."))
    ] = "none"
    mark: Annotated[
        str | None, Param(message('Words or "dots" printed on it.'), longest=40, rare=True)
    ] = None


class Sleeve(Table):
    """Fringe or fabric round the bare pole between two clouds."""

    material: Annotated[
        Literal["fringe", "fabric"], Param(message("What is wrapped round the pole."))
    ] = "fringe"
    layers: Annotated[int, Param(message("How often the strip goes round."), low=1, high=8)] = 2
    overlap: Annotated[
        float,
        Param(message("Extra strip so that the end can be fixed."), units.LENGTH, "0 in", "24 in"),
    ] = 0.05
    across: Annotated[
        float | None,
        Param(
            message("Diameter it hangs out to; as full as its layers make it if left out."),
            units.LENGTH,
            "0.5 in",
            "3 ft",
            rare=True,
        ),
    ] = None
    shade: Annotated[
        str | None,
        Param(
            message("Its shade; the first cloud's first shade if left out."),
            longest=60,
            shades=True,
        ),
    ] = None


class Fillers(Table):
    """Small clusters hung on loops or bands where gaps show."""

    cluster: Annotated[Cluster, Param(message("One filler."), example="4 x 5in @ 4.5in")]
    count: Annotated[int, Param(message("How many fillers a piece gets."), low=1, high=200)]
    tie: Annotated[
        Literal["loop", "band"],
        Param(message("Hung on a loop cut from a 260, or on a rubber band.")),
    ] = "loop"
    shades: Annotated[
        list[str],
        Param(
            message("Their shades, in slot order."),
            shades=True,
        ),
    ] = Field(min_length=1)


class Cloud(Table):
    """A loose cluster of mixed sizes, necks tied together, at one height of a pole."""

    at: Annotated[Literal["foot", "middle", "head"], Param(message("Where on the pole it sits."))]
    cluster: Annotated[
        Cluster, Param(message("Its balloons."), example="2 x 17in @ 15in + 4 x 11in @ 10in")
    ]
    shades: Annotated[
        list[str],
        Param(
            message("Its shades, dealt in turn within each size."),
            shades=True,
        ),
    ] = Field(min_length=1)


Shades = Annotated[
    list[str] | dict[str, list[str]],
    Param(
        message("Shades in slot order, or a list for each size."),
        example='["coral", "sand"] or { "5in" = ["white"] }',
        group=message("Color"),
        shades=True,
    ),
]


class PieceSpec(Table):
    """What all pieces have. Each kind adds its own keys in `decor/pieces/`."""

    name: Annotated[str, Param(message("What you and the client call it."), longest=120)] = Field(
        min_length=1
    )
    kind: Annotated[str, Param(message("Which kind of piece it is."), example="column")]
    count: Annotated[int, Param(message("How many of it."), low=1, high=500)] = 1
    setting: Annotated[
        Setting | None, Param(message("Where it stands, when not as the venue says."), rare=True)
    ] = None
    note: Annotated[
        str, Param(message("Anything the crew should know about it."), rare=True, widget="area")
    ] = ""
    spot: Annotated[
        Spot | None,
        Param(message("Where it stands on the floor plan."), rare=True, widget="elsewhere"),
    ] = None
    copies: Annotated[
        Copies | None,
        Param(
            message("How its copies stand; two stand one at each side of an arch if left out."),
            rare=True,
        ),
    ] = None
    price: Annotated[
        Decimal | None,
        Param(
            message("Price of one, set by hand; without it your price rules hold."),
            low=0.001,
            high=10_000_000_000,
            group=message("Price"),
        ),
    ] = None
    price_reason: Annotated[
        str,
        Param(
            message("Why its price was set by hand; for the studio only."),
            longest=300,
            group=message("Price"),
        ),
    ] = ""


class Coloured(PieceSpec):
    """A piece whose clusters are coloured slot by slot and layer by layer."""

    shades: Shades
    pattern: Annotated[
        Pattern, Param(message("How the shades run from layer to layer."), group=message("Color"))
    ] = "swirl"
    turn: Annotated[
        int,
        Param(
            message("Slots the shades shift each layer: 1 right-hand swirl, -1 left-hand, 0 none."),
            low=-6,
            high=6,
            group=message("Color"),
        ),
    ] = 1
    zig: Annotated[
        int,
        Param(
            message("Layers before a zigzag turns back."),
            low=1,
            high=50,
            group=message("Color"),
            rare=True,
        ),
    ] = 3
    chart: Annotated[
        list[list[str]],
        Param(
            message(
                "A painted chart: one row of shades a layer, from the bottom up; repeated upward."
            ),
            group=message("Color"),
            rare=True,
            shades=True,
            widget="elsewhere",
        ),
    ] = Field(default_factory=list)
