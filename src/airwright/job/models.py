"""The job: what the client wants, where and when."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Discriminator, Field, SerializeAsAny, Tag, field_validator
from pydantic_core import PydanticCustomError

from airwright import units
from airwright.job.business import Billing
from airwright.job.charges import LARGEST, JobCharges
from airwright.job.pieces import Door, PieceSpec, Setting, Table
from airwright.language import message
from airwright.params import Param

FORMAT: Literal["airwright-job/1"] = "airwright-job/1"

Spoken = Literal["en-US", "en-GB", "es", "de"]
Finish = Literal["matte", "pearl", "metallic", "clear"]
MadeBy = Literal["practised", "some practice", "first time"]
Clock = Annotated[
    str,
    Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$"),
    Param(message("A time of day."), example="10:00"),
]


class JobHead(Table):
    """Who, when and for how much."""

    title: Annotated[str, Param(message("What the job is called."), longest=200, widget="wide")] = (
        Field(min_length=1)
    )
    client: Annotated[str, Param(message("Who it is for."), longest=200)] = ""
    contact: Annotated[
        str, Param(message("Telephone or mail of the client."), longest=200, widget="wide")
    ] = ""
    date: Annotated[dt.date, Param(message("The day of the event."), example="2027-05-22")]
    guests: Annotated[
        Clock, Param(message("When guests come; all must stand by then."), example="10:00")
    ]
    strike: Annotated[
        Clock,
        Param(
            message("When it is taken down; a time before access is one of the next day."),
            example="18:00",
        ),
    ]
    ahead: Annotated[
        float,
        Param(
            message("How long before access the balloons are filled in the workshop."),
            units.DURATION,
            "0 h",
            "14 d",
            rare=True,
        ),
    ] = 16.0
    fill: Annotated[
        Clock | None,
        Param(
            message("When floating balloons are filled with helium; at access if left out."),
            example="08:30",
            rare=True,
        ),
    ] = None
    currency: Annotated[
        str, Param(message("Currency of the quote, three letters of ISO 4217."), example="USD")
    ] = "USD"
    made_by: Annotated[
        MadeBy | None,
        Param(
            message(
                "Who makes this job, where it is not the studio's usual hands; "
                "a first time takes about three times as long."
            ),
            rare=True,
        ),
    ] = None
    budget: Annotated[
        float | None,
        Param(message("What the client would like to spend, if known."), low=0, high=1e7),
    ] = None
    chosen: Annotated[
        str | None, Param(message("Name of the option the client took, once decided."), longest=80)
    ] = None
    client_language: Annotated[
        Spoken | None,
        Param(message("Language of proposal and client page; the studio's if left out.")),
    ] = None
    crew_language: Annotated[
        Spoken | None,
        Param(message("Language of the crew's papers; the studio's if left out.")),
    ] = None
    crew_language_beside: Annotated[
        Spoken | None,
        Param(message("A second language, side by side with the first on the make sheet.")),
    ] = None
    note: Annotated[str, Param(message("Anything else about the job."), widget="area")] = ""

    @field_validator("currency")
    @classmethod
    def _iso_4217(cls, code: str) -> str:
        if not re.fullmatch(r"[A-Z]{3}", code):
            raise PydanticCustomError(
                "currency",
                "{what}",
                {
                    "what": message('"{code}" is no currency.', code=code[:20]),
                    "mend": message('Use three capital letters like "USD" or "EUR".'),
                },
            )
        return code


class Venue(Table):
    """Where it is built, and what the balloons meet there."""

    name: Annotated[str, Param(message("Name of the venue."), longest=200)] = ""
    address: Annotated[str, Param(message("Address for the van."), longest=300, widget="wide")] = ""
    setting: Annotated[Setting, Param(message("Roof and walls, roof only, or neither."))] = "indoor"
    sun: Annotated[
        Literal["shade", "sun"], Param(message("Whether the sun falls on the balloons."), rare=True)
    ] = "shade"
    access: Annotated[Clock, Param(message("When the crew may enter."), example="06:30")] = "06:30"
    door: Annotated[
        Door | None,
        Param(message("The door that guests come through: pairs stand at either side of it.")),
    ] = None
    altitude: Annotated[
        float, Param(message("Height above the sea."), units.LENGTH, "-500 m", "4500 m")
    ] = 0.0
    workshop_temperature: Annotated[
        float,
        Param(
            message("Temperature where the balloons are inflated."),
            units.TEMPERATURE,
            "-10 C",
            "45 C",
        ),
    ] = 20.0
    peak_temperature: Annotated[
        float, Param(message("The warmest they will meet."), units.TEMPERATURE, "-30 C", "60 C")
    ] = 25.0
    gust: Annotated[
        float, Param(message("The strongest gust to expect."), units.SPEED, "0 m/s", "40 m/s")
    ] = 0.0
    drive: Annotated[
        float, Param(message("One way from workshop to venue."), units.LENGTH, "0 km", "2000 km")
    ] = 0.0
    carry: Annotated[
        float,
        Param(
            message("How far everything is carried from the van, one way."),
            units.LENGTH,
            "0 m",
            "2 km",
        ),
    ] = 30.0
    stairs: Annotated[int, Param(message("Flights of stairs on that way."), low=0, high=60)] = 0
    lift: Annotated[
        Literal["no", "yes"],
        Param(message("Whether a lift takes everything up instead of the stairs.")),
    ] = "no"
    ceiling: Annotated[
        float | None,
        Param(message("Clear height, if there is a ceiling."), units.LENGTH, "5 ft", "100 m"),
    ] = None
    room: Annotated[
        float | None,
        Param(
            message("Air volume of the room, for helium."),
            units.VOLUME,
            "5 m3",
            "1000000 m3",
            rare=True,
        ),
    ] = None


class ShadeSpec(Table):
    """A colour under a name of the job's own."""

    colour: Annotated[str, Param(message("Color as red-green-blue."), example="#f0705a")] = Field(
        pattern=r"^#[0-9a-fA-F]{6}$"
    )
    finish: Annotated[Finish, Param(message("How its surface looks."))] = "matte"
    inner: Annotated[
        str | None,
        Param(
            message("Shade of a second balloon inside a clear one."),
            longest=60,
            shades=True,
        ),
    ] = None


class DoubleSpec(Table):
    """A shade that no bag holds: one balloon inside another."""

    inside: Annotated[
        str,
        Param(message("Shade of the balloon inside."), longest=60, shades=True, example="coral"),
    ] = Field(min_length=1)
    outside: Annotated[
        str,
        Param(
            message("Shade of the balloon outside; it dominates what is seen."),
            longest=60,
            shades=True,
            example="white",
        ),
    ] = Field(min_length=1)


def _shade_form(value: object) -> str:
    """Which form a shade is written in."""
    if isinstance(value, ShadeSpec):
        return "ShadeSpec"
    if isinstance(value, DoubleSpec):
        return "DoubleSpec"
    if not isinstance(value, dict):
        return "str"
    return "DoubleSpec" if {"inside", "outside"} & set(value) else "ShadeSpec"


ShadeWritten = Annotated[
    Annotated[str, Tag("str")]
    | Annotated[ShadeSpec, Tag("ShadeSpec")]
    | Annotated[DoubleSpec, Tag("DoubleSpec")],
    Discriminator(_shade_form),
]
"""A colour or the name of a shade in stock, a colour with its finish, or two balloons."""


class OptionSpec(Table):
    """One way of filling the brief, offered beside the others."""

    name: Annotated[str, Param(message("What the client calls it."), longest=80)] = Field(
        min_length=1
    )
    pieces: Annotated[list[str], Param(message("Names of the pieces in it."))] = Field(min_length=1)
    note: Annotated[
        str, Param(message("One line for the proposal."), longest=300, widget="area")
    ] = ""
    counts: Annotated[
        dict[str, Annotated[int, Field(ge=1, le=500)]],
        Param(message("How many of a piece, where this option takes another number of it.")),
    ] = Field(default_factory=dict)
    discount: Annotated[
        Decimal, Param(message("Share taken off the option: 0.1 = 10 %."), low=0, high=0.9)
    ] = Decimal(0)
    amount_off: Annotated[
        Decimal, Param(message("Amount taken off the option."), low=0, high=LARGEST)
    ] = Decimal(0)
    package_price: Annotated[
        Decimal | None,
        Param(message("One price for the whole option, set by hand."), low=0.001, high=LARGEST),
    ] = None
    price_reason: Annotated[
        str, Param(message("Why its price was set by hand; for the studio only."), longest=300)
    ] = ""


class Job(Table):
    """A whole job, validated and frozen."""

    format: Literal["airwright-job/1"] = FORMAT
    job: JobHead
    venue: Venue = Venue()
    billing: Billing = Billing()
    shades: dict[str, ShadeWritten] = Field(default_factory=dict)
    pieces: tuple[SerializeAsAny[PieceSpec], ...] = ()
    options: tuple[OptionSpec, ...] = ()
    charges: JobCharges = JobCharges()

    def setting_of(self, piece: PieceSpec) -> Setting:
        """Where a piece stands: its own setting, or the venue's."""
        return self.venue.setting if piece.setting is None else piece.setting

    def effective_options(self) -> tuple[OptionSpec, ...]:
        """The options, or all pieces as one option when the file names none."""
        if self.options:
            return self.options
        names = [piece.name for piece in self.pieces]
        return (OptionSpec(name="All pieces", pieces=names),) if names else ()
