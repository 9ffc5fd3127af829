"""What a decorator buys, owns and knows how long it takes: frozen rows read from data files."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class Row(BaseModel):
    """A frozen catalogue row; unknown keys are refused so that a typo cannot pass unseen."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Family(StrEnum):
    """The shape a balloon takes."""

    ROUND = "round"
    LINK = "link"
    MODELLING = "modelling"
    FOIL = "foil"


class Pack(Row):
    """A bag as sold: how many of one shade, and its price in the catalogue's currency."""

    count: int = Field(gt=0)
    price: Decimal = Field(ge=0)


class Balloon(Row):
    """One size of balloon.

    Attributes:
        size: what the decorator writes, "11in", "260", "starburst 26in".
        family: its shape.
        nominal_in: the size it is sold as [in]; a modelling balloon's diameter.
        length_in: length when inflated, modelling balloons only [in].
        usual_in: the diameter it is usually inflated to [in].
        mass_g: rubber or film of one balloon [g].
        flat_width_in: width of the flat, empty balloon [in].
        neck_ratio: tie point to centre in inflated diameters, when tied in a cluster.
        failure_rate: share that pops, leaks or comes faulty between pack and doors open.
        failure_seen: balloons that rate was learnt from; the fewer, the more spares.
        helium: whether it is sold to float.
        outline: for foil: the outline's name ("round", "star", "starburst", …).
        packs: bags as sold.
        source: where the figures come from.
    """

    size: str
    family: Family
    nominal_in: float = Field(gt=0)
    length_in: float | None = Field(default=None, gt=0)
    usual_in: float = Field(gt=0)
    mass_g: float = Field(gt=0)
    flat_width_in: float = Field(gt=0)
    neck_ratio: float = Field(gt=0, default=0.65)
    failure_rate: float = Field(ge=0, lt=1)
    failure_seen: float = Field(ge=1, default=200)
    helium: bool = False
    outline: str | None = None
    packs: tuple[Pack, ...] = Field(min_length=1)
    source: str


HardwareUse = Literal[
    "pole",
    "base",
    "stand",
    "frame",
    "panel",
    "line",
    "ribbon",
    "weight",
    "band",
    "fringe",
    "fabric",
    "net",
    "cylinder",
    "tool",
    "anchor",
    "glue",
]


class Hardware(Row):
    """A thing that is not a balloon.

    Attributes:
        item: name on the lists.
        use: what part it plays.
        unit: "each" or "m"; quantities, mass and price are per this unit.
        mass_kg: mass per unit [kg].
        bulk_m3: packed volume per unit [m³].
        price: purchase price per unit, in the catalogue's currency.
        reuses: how many jobs one lasts; 1 = used up. The job carries price / reuses.
        owned: how many units the studio has; None: not counted, taken to be enough.
        diameter_m, length_m, width_m, height_m: sizes [m] where they matter.
        ballast_kg: what may be filled in (water, sand) [kg].
        source: where the figures come from.
    """

    item: str
    use: HardwareUse
    unit: Literal["each", "m"] = "each"
    mass_kg: float = Field(ge=0)
    bulk_m3: float = Field(ge=0, default=0.0)
    price: Decimal = Field(ge=0)
    reuses: int = Field(gt=0, default=1)
    owned: float | None = Field(default=None, ge=0)
    diameter_m: float | None = Field(default=None, gt=0)
    length_m: float | None = Field(default=None, gt=0)
    width_m: float | None = Field(default=None, gt=0)
    height_m: float | None = Field(default=None, gt=0)
    ballast_kg: float = Field(ge=0, default=0.0)
    source: str


class Operation(Row):
    """A labour standard: minutes one practised pair of hands takes for one of something.

    Attributes:
        operation: key used by the hours reckoning.
        what: a sentence for the make sheet and the settings page.
        minutes: time for one [min].
        per: what "one" is.
        place: where it is done; site work must fit between access and guests.
        source: where the figure comes from.
    """

    operation: str
    what: str
    minutes: float = Field(ge=0)
    per: Literal["balloon", "cluster", "piece", "metre", "item", "job", "km"]
    place: Literal["workshop", "site", "road"]
    source: str


class StockShade(Row):
    """A shade the studio holds: its own plain name, colour and finish."""

    name: str
    colour: str = Field(pattern=r"^#[0-9a-fA-F]{6}$")
    finish: Literal["matte", "pearl", "metallic", "clear"] = "matte"
