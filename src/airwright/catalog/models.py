"""What a decorator buys, owns and knows how long it takes: frozen rows read from data files."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from enum import StrEnum
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from airwright.language import message
from airwright.params import Param
from airwright.units import INCH_M, LENGTH, MASS, VOLUME

GRAM_KG = 0.001
DEAREST = 100_000_000
"""The most one thing may cost, in the catalogue's currency."""


class Row(BaseModel):
    """A frozen catalogue row; unknown keys are refused so that a typo cannot pass unseen."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Family(StrEnum):
    """The shape a balloon takes."""

    ROUND = "round"
    LINK = "link"
    MODELLING = "modelling"
    FOIL = "foil"


Source = Annotated[
    str,
    Param(
        message("For yourself: a tag, an invoice, your own tape."),
        label=message("Where the figures come from"),
        longest=300,
        rare=True,
    ),
]


PriceCurrency = Annotated[
    str | None,
    Param(
        message("Of the prices on this line. Left empty: the currency of our starting prices."),
        label=message("Currency of the price"),
        example="EUR",
    ),
    Field(pattern=r"^[A-Z]{3}$"),
]
PricedOn = Annotated[
    dt.date | None,
    Param(
        message(
            "The day you last paid or were quoted this. A year on, plans ask for another look."
        ),
        label=message("Price as of"),
        example="2027-01-04",
    ),
]


class Pack(Row):
    """A bag as sold: how many of one shade, and its price in its row's currency."""

    count: Annotated[
        int, Param(message("How many are in the bag."), low=1, high=100_000, example="100")
    ]
    price: Annotated[
        Decimal, Param(message("What the bag costs."), low=0, high=DEAREST, example="14.90")
    ]


_LISTED_AS = {
    Family.ROUND: "round balloon",
    Family.LINK: "link balloon",
    Family.MODELLING: "modelling balloon",
}


class Balloon(Row):
    """One size of balloon.

    Attributes:
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
        outline: for foil: the outline's name.
        packs: bags as sold.
        currency: ISO 4217 code of their prices; None: the catalogue's.
        priced_on: the day the prices are from; None: not known.
    """

    size: Annotated[
        str,
        Param(
            message("What you write in a recipe: 11in, 260, 19in foil star."),
            example="14in",
            longest=60,
        ),
    ] = Field(min_length=1)
    family: Annotated[
        Family,
        Param(
            message("Round and link are latex; modeling ones are long and thin."),
            label=message("Shape"),
            words=(
                ("link", message("link, with a tail")),
                ("modelling", message("modeling, long")),
            ),
        ),
    ]
    nominal_in: Annotated[
        float,
        Param(
            message("The size on the bag."),
            LENGTH,
            "0.5 in",
            "120 in",
            "14 in",
            label=message("Sold as"),
            per=INCH_M,
        ),
    ]
    usual_in: Annotated[
        float,
        Param(
            message("The width you usually fill it to."),
            LENGTH,
            "0.4 in",
            "120 in",
            "12 in",
            label=message("Filled to"),
            per=INCH_M,
        ),
    ]
    mass_g: Annotated[
        float,
        Param(
            message("Weigh ten together and divide by ten."),
            MASS,
            "0.05 g",
            "1000 g",
            "4.1 g",
            label=message("One empty one weighs"),
            per=GRAM_KG,
        ),
    ]
    flat_width_in: Annotated[
        float,
        Param(
            message("Across the empty balloon, laid flat."),
            LENGTH,
            "0.2 in",
            "120 in",
            "4.9 in",
            label=message("Flat width"),
            per=INCH_M,
        ),
    ]
    failure_rate: Annotated[
        float,
        Param(
            message("Pops, leaks and faulty ones, out of a hundred."),
            low=0,
            high=0.5,
            example="2 %",
            label=message("Lost on the way"),
        ),
    ]
    failure_seen: Annotated[
        float,
        Param(
            message("Balloons the share lost was seen on."),
            low=1,
            high=1_000_000,
            rare=True,
            label=message("Seen on"),
        ),
    ] = 200
    helium: Annotated[
        bool, Param(message("Whether it is sold to float."), label=message("Filled with helium"))
    ] = False
    outline: Annotated[
        Literal["round", "heart", "star", "starburst", "figure"] | None,
        Param(
            message("A star lifts less than a round one of its width."),
            example="round",
            label=message("Outline, foil only"),
        ),
    ] = None
    length_in: Annotated[
        float | None,
        Param(
            message("How long it is when filled."),
            LENGTH,
            "1 in",
            "400 in",
            "60 in",
            label=message("Length, modeling only"),
            per=INCH_M,
        ),
    ] = None
    neck_ratio: Annotated[
        float,
        Param(
            message("From the knot to the middle, in filled widths."),
            low=0.3,
            high=1.5,
            rare=True,
            label=message("Neck to middle"),
        ),
    ] = 0.65
    packs: tuple[Pack, ...] = Field(min_length=1)
    currency: PriceCurrency = None
    priced_on: PricedOn = None
    source: Source

    @property
    def item(self) -> str:
        """What lists of things to buy call it: "11in round balloon", "6in link balloon"; foil is
        called by its size."""
        if self.family is Family.FOIL:
            return self.size
        return f"{self.size.removesuffix(' link')} {_LISTED_AS[self.family]}"


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
    "filling",
    "sign",
    "board",
    "foliage",
]


class Hardware(Row):
    """A thing that is not a balloon.

    Attributes:
        use: what part it plays.
        unit: "each" or "m"; quantities, mass and price are per this unit.
        mass_kg: mass per unit [kg].
        bulk_m3: packed volume per unit [m³].
        price: purchase price per unit.
        currency: ISO 4217 code of the price; None: the catalogue's.
        priced_on: the day the price is from; None: not known.
        reuses: how many jobs one lasts; 1 = used up. The job carries price / reuses.
        owned: how many units the studio has; None: not counted, taken to be enough.
        diameter_m, length_m, width_m, height_m: sizes [m] where they matter.
        ballast_kg: what may be filled in (water, sand) [kg].
    """

    item: Annotated[
        str,
        Param(
            message("As it stands on your lists."),
            example="steel base, round",
            label=message("Name"),
            longest=60,
        ),
    ] = Field(min_length=1)
    use: Annotated[
        HardwareUse,
        Param(
            message("What part it plays; poles, bases and panels are chosen by it."),
            label=message("Used as"),
        ),
    ]
    owned: Annotated[
        float | None,
        Param(
            message("How many you have in your store. Left empty: enough."),
            low=0,
            high=100_000,
            example="6",
            label=message("You own"),
        ),
    ] = None
    price: Annotated[
        Decimal,
        Param(
            message("One of it, or one meter."),
            low=0,
            high=DEAREST,
            example="34.00",
            label=message("Costs new"),
        ),
    ]
    currency: PriceCurrency = None
    priced_on: PricedOn = None
    reuses: Annotated[
        int,
        Param(
            message("1 for what is used up; each job carries its share."),
            low=1,
            high=10_000,
            label=message("Lasts, in jobs"),
        ),
    ] = 1
    unit: Annotated[
        Literal["each", "m"],
        Param(
            message("By the piece, or by the meter."),
            label=message("Counted"),
            words=(("each", message("by the piece")), ("m", message("by the meter"))),
        ),
    ] = "each"
    mass_kg: Annotated[
        float,
        Param(
            message("One of it, or one meter."),
            MASS,
            "0 kg",
            "2000 kg",
            "5 kg",
            label=message("Weighs"),
            per=1.0,
        ),
    ]
    ballast_kg: Annotated[
        float,
        Param(
            message("Water or sand it takes up, for bases."),
            MASS,
            "0 kg",
            "2000 kg",
            label=message("Can be filled with"),
            per=1.0,
        ),
    ] = 0.0
    length_m: Annotated[
        float | None,
        Param(
            message("Where it matters: how far a pole reaches."),
            LENGTH,
            "1 mm",
            "100 m",
            "8 ft",
            label=message("Length"),
            per=1.0,
        ),
    ] = None
    width_m: Annotated[
        float | None,
        Param(
            message("Of a base or a panel."),
            LENGTH,
            "1 mm",
            "100 m",
            "18 in",
            label=message("Width"),
            per=1.0,
        ),
    ] = None
    height_m: Annotated[
        float | None,
        Param(
            message("Of a panel, a ladder, a base plate."),
            LENGTH,
            "1 mm",
            "100 m",
            "40 in",
            label=message("Height"),
            per=1.0,
        ),
    ] = None
    diameter_m: Annotated[
        float | None,
        Param(
            message("Of a pole or a rod."),
            LENGTH,
            "0.1 mm",
            "2 m",
            "1 in",
            label=message("Thickness"),
            per=1.0,
        ),
    ] = None
    bulk_m3: Annotated[
        float,
        Param(
            message("Packed, one of it or one meter."),
            VOLUME,
            "0 m3",
            "50 m3",
            "8 L",
            label=message("Room in the van"),
            per=1.0,
        ),
    ] = 0.0
    source: Source


class Operation(Row):
    """A labour standard: minutes one practised pair of hands takes for one of something."""

    operation: Annotated[str, Param(message("Key used to work out the hours."), longest=60)] = (
        Field(min_length=1)
    )
    what: Annotated[
        str, Param(message("A sentence for the make sheet and the settings page."), longest=300)
    ] = Field(min_length=1)
    minutes: Annotated[
        float, Param(message("Time for one, in minutes."), low=0, high=1000, example="0.5")
    ]
    per: Annotated[
        Literal[
            "balloon",
            "cluster",
            "piece",
            "metre",
            "item",
            "job",
            "km",
            "kg",
            "armful",
            "flight",
            "ride",
        ],
        Param(message('What "one" is.')),
    ]
    place: Annotated[
        Literal["workshop", "site", "road", "take-down"],
        Param(
            message(
                "Where it is done; site work must fit between access and guests, take-down is the "
                "work after take-down."
            )
        ),
    ]
    source: Source


class StockShade(Row):
    """A shade the studio holds: its own plain name, colour and finish."""

    name: Annotated[
        str, Param(message("A plain word of your own."), example="seagrass", longest=60)
    ] = Field(min_length=1)
    colour: Annotated[
        str,
        Param(message("As it looks filled, in daylight."), example="#2f8f83", widget="colour"),
    ] = Field(pattern=r"^#[0-9a-fA-F]{6}$")
    finish: Annotated[
        Literal["matte", "pearl", "metallic", "clear"], Param(message("How it takes the light."))
    ] = "matte"
