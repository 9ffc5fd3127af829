"""The studio: who we are, how we price, what we own, what we measured ourselves.

A studio file (TOML, `airwright-studio/1`) is optional; every key has a starting value.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated, Literal

from pydantic import Field, model_validator
from pydantic_core import PydanticCustomError

from airwright.catalog import Balloon, Catalog, Hardware, Operation, StockShade, default_catalog
from airwright.catalog.models import PriceCurrency, PricedOn
from airwright.job.business import Business, Letters, MailServer
from airwright.job.charges import (
    Delivery,
    Gas,
    Hire,
    OutOfHours,
    PaymentTerms,
    Permits,
    Rush,
    SetUp,
    TakeDown,
)
from airwright.job.cluster import Cluster, Inflated
from airwright.job.keeping import Keeping
from airwright.job.models import MadeBy
from airwright.job.pieces import Table
from airwright.job.price_notes import DatedRate, QuantityStep
from airwright.language import message
from airwright.params import Param
from airwright.units import DURATION, FORCE, LENGTH, MASS, PRESSURE, VOLUME, System

STUDIO_FORMAT: Literal["airwright-studio/1"] = "airwright-studio/1"

Share = Annotated[Decimal, Field(ge=0, le=1)]


class House(Table):
    """Name and address on the papers."""

    name: Annotated[str, Param(message("Name of the studio."), longest=120)] = "Your balloon studio"
    address: Annotated[str, Param(message("Address, on one line."), longest=300)] = ""
    contact: Annotated[str, Param(message("Telephone, mail or page."), longest=200)] = ""
    units: Annotated[System, Param(message("Feet and inches first, or metric first."))] = (
        System.FEET
    )
    language: Annotated[
        Literal["en-US", "en-GB", "es", "de"],
        Param(message("Language of screens and papers; US or British spelling.")),
    ] = "en-US"
    paper: Annotated[
        Literal["by units", "A4", "Letter"],
        Param(
            message("Paper in your printer: Letter where feet come first, A4 else, or as you say.")
        ),
    ] = "by units"
    validity_days: Annotated[int, Param(message("Days a quote holds."), low=1, high=365)] = 21
    terms: Annotated[
        str,
        Param(
            message("Terms printed on the proposal; the usual ones if left out."),
            longest=4000,
            widget="area",
        ),
    ] = ""
    bad_weather: Annotated[
        str,
        Param(
            message("What you offer when weather forbids decor outdoors; the usual if left out."),
            longest=1000,
        ),
    ] = ""


class Pricing(Table):
    """From cost to price."""

    labour_rate: Annotated[
        Decimal,
        Param(
            message("What one hour of work costs you, wages with all charges."),
            low=0.01,
            high=100_000_000,
        ),
    ] = Decimal("32.00")
    transport_rate: Annotated[
        Decimal, Param(message("What one kilometer with the van costs."), low=0, high=10_000_000)
    ] = Decimal("0.70")
    catalog_rate: Annotated[
        Decimal,
        Param(
            message("What one unit of the catalog's currency is in the job's currency."),
            low=0.0001,
            high=100000,
            rare=True,
        ),
    ] = Decimal("1")
    overhead: Annotated[
        Share,
        Param(
            message("Rent, insurance, telephone, unbilled hours: share added to direct cost."),
            low=0,
            high=1,
        ),
    ] = Decimal("0.28")
    margin: Annotated[
        Decimal,
        Param(
            message("Share of a piece's price above its own cost: 0.68 = 68 %."), low=0, high=0.95
        ),
    ] = Decimal("0.68")
    price_step: Annotated[
        Decimal,
        Param(
            message("Prices are rounded up to a multiple of this."),
            low=0.001,
            high=100_000_000,
        ),
    ] = Decimal("5.00")
    tax: Annotated[
        Share, Param(message("Sales tax or VAT on the price: 0.08 = 8 %."), low=0, high=1)
    ] = Decimal("0.00")
    tax_name: Annotated[str, Param(message("What the tax is called on papers."), longest=40)] = (
        "Tax"
    )
    deposit: Annotated[
        Share, Param(message("Share of the total due on booking."), low=0, high=1)
    ] = Decimal("0.50")
    minimum: Annotated[
        Decimal, Param(message("The least a job is done for."), low=0, high=10_000_000_000)
    ] = Decimal("250.00")
    line_margin: Annotated[
        Decimal,
        Param(
            message("The same share for delivery, set-up, take-down and the like."),
            low=0,
            high=0.95,
        ),
    ] = Decimal("0.30")
    floor: Annotated[
        Decimal,
        Param(message("Share of profit below which a price is warned about."), low=0, high=0.95),
    ] = Decimal("0.15")
    quantity: Annotated[
        list[QuantityStep],
        Param(message("What comes off several equal pieces."), example="5: 10 %"),
    ] = Field(default_factory=list)
    told: Annotated[
        Literal["before tax", "with tax"],
        Param(message("Whether the prices clients see hold their tax already.")),
    ] = "before tax"
    tax_reduced: Annotated[
        Share, Param(message("A lower rate of tax, for charges that bear it."), low=0, high=1)
    ] = Decimal("0.00")
    currency: Annotated[
        str,
        Param(message("Currency of all amounts in these settings, three letters."), example="USD"),
    ] = Field(default="USD", pattern=r"^[A-Z]{3}$")
    rates: Annotated[
        list[DatedRate],
        Param(
            message("Rates to other currencies, each with its day."),
            example="1 EUR = 1.08 USD on 2027-01-04",
        ),
    ] = Field(default_factory=list)


class Crew(Table):
    """Hands at work, and how sure of enough balloons you want to be."""

    designers_see_prices: Annotated[
        Literal["yes", "no"], Param(message("Whether designers see prices; cost is the owner's."))
    ] = "yes"
    hands: Annotated[
        int,
        Param(
            message("People there are. A job takes the fewest of them that are ready in time."),
            low=1,
            high=60,
        ),
    ] = 6
    at_least: Annotated[
        int,
        Param(
            message("People you send at the least, however little there is to do."), low=1, high=60
        ),
    ] = 1
    ready_before: Annotated[
        float,
        Param(
            message("How long before guests come everything should stand."), DURATION, "0 h", "12 h"
        ),
    ] = 0.5
    nozzles: Annotated[
        int, Param(message("Nozzles of your inflators: with two, hands wait less."), low=1, high=20)
    ] = 1
    made_by: Annotated[
        MadeBy,
        Param(message("Who usually makes it; a first time takes about three times as long.")),
    ] = "practised"
    shortage_risk: Annotated[
        float,
        Param(
            message("Chance you accept that any balloon of a whole job runs short: 0.05 = 5 %."),
            low=0.0001,
            high=0.5,
        ),
    ] = 0.05
    spare_of_each: Annotated[
        Literal["yes", "no"],
        Param(
            message(
                "Whether every kind of jumbo, foil and floating balloon has a spare, "
                "however unlikely one fails."
            )
        ),
    ] = "yes"


class Van(Table):
    """What the decor travels in."""

    load: Annotated[
        float, Param(message("What the van may carry besides its crew."), MASS, "20 kg", "40000 kg")
    ] = 600.0
    room: Annotated[float, Param(message("Load space of the van."), VOLUME, "0.2 m3", "120 m3")] = (
        9.0
    )


class Measured(Table):
    """A stack the studio built and measured; the push of its hands is fitted to it."""

    cluster: Annotated[Cluster, Param(message("Equal clusters."), example="4 x 11in @ 9.5in")]
    clusters: Annotated[int, Param(message("How many were stacked."), low=3, high=200)]
    height: Annotated[float, Param(message("How tall the stack was."), LENGTH, "6 in", "60 ft")]


class Weighed(Table):
    """Balloons on the studio's own scale: "ten weighed 29 g"."""

    size: Annotated[str, Param(message("Size as in the catalog."), longest=40)]
    count: Annotated[int, Param(message("How many were weighed together."), low=1, high=1000)]
    mass: Annotated[float, Param(message("What the scale said."), MASS, "0.1 g", "5 kg")]


class Trial(Table):
    """One balloon in another, blown up and looked at beside a grey card."""

    outside: Annotated[str, Param(message("Shade of the outer balloon."), longest=60)]
    inside: Annotated[str, Param(message("Shade of the inner balloon."), longest=60)]
    balloon: Annotated[Inflated, Param(message("Size and diameter."), example="11in @ 10in")]
    colour: Annotated[str, Param(message("The color seen."), example="#f3d9d2")] = Field(
        pattern=r"^#[0-9a-fA-F]{6}$"
    )


class Care(Table):
    """How careful the studio is where wind, people and warmth meet decor."""

    factor_of_safety: Annotated[
        float, Param(message("What holds over what tips or slides."), low=1.0, high=10.0)
    ] = 1.5
    friction: Annotated[
        float,
        Param(
            message("Grip of base plates on the floor: 0.3 smooth, 0.1 wet."),
            low=0.05,
            high=1.5,
            rare=True,
        ),
    ] = 0.3
    guest_push: Annotated[
        float,
        Param(
            message("Push of a guest who brushes past, at 1 m."), FORCE, "0 N", "1000 N", rare=True
        ),
    ] = 25.0
    size_margin: Annotated[
        float,
        Param(message("Share of the nominal size kept free at the warmest."), low=0.0, high=0.4),
    ] = 0.05


class Helium(Table):
    """How the studio fills floating balloons."""

    purity: Annotated[
        float,
        Param(message("Share of helium in the gas: 0.98 = 98 %."), low=0.5, high=1.0, rare=True),
    ] = 0.98
    coated: Annotated[
        Literal["no", "yes"],
        Param(message("Whether floating latex is coated inside, to float longer.")),
    ] = "no"
    float_factor: Annotated[
        float,
        Param(
            message("Hours your own balloons float over hours calculated."),
            low=0.2,
            high=5.0,
            rare=True,
        ),
    ] = 1.0
    waste: Annotated[
        float, Param(message("Gas lost at the nozzle and in pops, as a share."), low=0.0, high=1.0)
    ] = 0.05
    size_margin: Annotated[
        float,
        Param(
            message(
                "Share of its nominal size that a floating latex balloon keeps free at the "
                "warmest; below 0: it may grow so much beyond."
            ),
            low=-0.1,
            high=0.4,
            rare=True,
        ),
    ] = -0.02
    """Floating latex is filled to the size it is sold for (common practice, no source); 0.02 is
    what it grows by from 20 to 37 °C, as from a cool shop to a hot room."""


class Cylinder(Table):
    """A kind of helium cylinder the studio rents."""

    name: Annotated[
        str,
        Param(message("What the supplier calls it."), example="helium cylinder 30 L", longest=60),
    ] = Field(min_length=1)
    water: Annotated[
        float,
        Param(
            message("Stamped on its shoulder."),
            VOLUME,
            "0.5 L",
            "150 L",
            "30 L",
            label=message("Water volume"),
        ),
    ]
    gauge: Annotated[
        float,
        Param(
            message("Gauge pressure, as a dial reads it."),
            PRESSURE,
            "5 bar",
            "300 bar",
            label=message("Pressure when full"),
        ),
    ] = 200e5
    most: Annotated[
        int,
        Param(
            message("More than that is never planned."),
            low=0,
            high=200,
            label=message("You can get, for one job"),
        ),
    ] = 4
    mass: Annotated[
        float,
        Param(
            message("For the van and for your back."),
            MASS,
            "0.5 kg",
            "150 kg",
            "45 kg",
            label=message("Weighs, full"),
        ),
    ]
    price: Annotated[
        Decimal,
        Param(
            message("What your supplier takes for it."),
            low=0,
            high=100_000,
            example="210.00",
            label=message("One filling with its rent"),
        ),
    ]
    rent: Annotated[
        Decimal,
        Param(
            message("The rest is gas: a job is charged for what it uses, what is left is stock."),
            low=0,
            high=10000,
            example="25.00",
            label=message("Of that, rent for one job"),
        ),
    ] = Decimal(0)
    currency: PriceCurrency = None
    priced_on: PricedOn = None

    @model_validator(mode="after")
    def _rent_is_part_of_it(self) -> Cylinder:
        if self.rent > self.price:
            raise PydanticCustomError(
                "rent",
                "{what}",
                {
                    "what": message("The rent is more than the filling with its rent."),
                    "mend": message("Give the rent alone, or put it on top of the price."),
                },
            )
        return self


CYLINDERS = (
    Cylinder(
        name="helium cylinder 10 L",
        water=0.010,
        mass=17.0,
        price=Decimal("85.00"),
        rent=Decimal("15.00"),
    ),
    Cylinder(
        name="helium cylinder 20 L",
        water=0.020,
        mass=33.0,
        price=Decimal("150.00"),
        rent=Decimal("20.00"),
    ),
    Cylinder(
        name="helium cylinder 50 L",
        water=0.050,
        mass=68.0,
        price=Decimal("310.00"),
        rent=Decimal("30.00"),
    ),
)
"""Common sizes at 200 bar gauge; masses, prices and rents from memory, a studio
enters its supplier's."""


class Studio(Table):
    """A studio's settings, validated and frozen."""

    format: Literal["airwright-studio/1"] = STUDIO_FORMAT
    studio: House = House()
    pricing: Pricing = Pricing()
    delivery: Delivery = Delivery()
    set_up: SetUp = SetUp()
    take_down: TakeDown = TakeDown()
    out_of_hours: OutOfHours = OutOfHours()
    rush: Rush = Rush()
    gas: Gas = Gas()
    hire: Hire = Hire()
    permits: Permits = Permits()
    payment: PaymentTerms = PaymentTerms()
    crew: Crew = Crew()
    van: Van = Van()
    care: Care = Care()
    helium: Helium = Helium()
    business: Business = Business()
    mail: MailServer = MailServer()
    letters: Letters = Letters()
    keeping: Keeping = Keeping()
    cylinders: tuple[Cylinder, ...] = CYLINDERS
    measured: tuple[Measured, ...] = ()
    weighed: tuple[Weighed, ...] = ()
    trials: tuple[Trial, ...] = ()
    balloons: tuple[Balloon, ...] = ()
    hardware: tuple[Hardware, ...] = ()
    operations: tuple[Operation, ...] = ()
    shades: tuple[StockShade, ...] = ()

    def catalog(self) -> Catalog:
        """The catalogue with this studio's own rows and weighings in it.

        Raises:
            UnknownName: a weighing names a size that the catalogue does not hold; never of a
                studio that was read from a file.
        """
        own = default_catalog().with_rows(
            balloons=self.balloons,
            hardware=self.hardware,
            operations=self.operations,
            shades=self.shades,
        )
        weighed = [
            own.balloon(row.size).model_copy(
                update={
                    "mass_g": row.mass * 1000 / row.count,
                    "source": f"weighed by the studio: {row.count} together",
                }
            )
            for row in self.weighed
        ]
        return own.with_rows(balloons=weighed)
