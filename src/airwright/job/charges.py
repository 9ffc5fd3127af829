"""What a studio charges beside the pieces, how clients pay, and what a job says of both.

Every charge has a rule ("none" charges nothing) and stands as a line of its own or in the
pieces' prices. In the pieces it follows the piece alone (its own time, gas and hardware) or is
one share for all jobs, so that a piece costs the same in every option.
"""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Annotated, Final, Literal

from pydantic import Field

from airwright.job.pieces import Table
from airwright.job.price_notes import DistanceBand, Instalment
from airwright.language import message
from airwright.params import Param

LARGEST: Final = 10_000_000_000
"""Highest amount a rule takes: a price in any currency."""

Share = Annotated[Decimal, Field(ge=0, le=1)]
Price = Annotated[Decimal, Field(ge=0)]

# Keys that several charges have.
WorkRule = Annotated[Literal["none", "by cost", "flat"], Param(message("How it is charged."))]
FlatPrice = Annotated[
    Price, Param(message('What it is charged at under the rule "flat".'), low=0, high=LARGEST)
]
SurchargeRule = Annotated[
    Literal["none", "flat", "share"],
    Param(message("How it is charged; a share is of the pieces' price.")),
]
SurchargePrice = Annotated[
    Price, Param(message("Flat charge, and the least a share comes to."), low=0, high=LARGEST)
]
SurchargeShare = Annotated[Share, Param(message("Share of the pieces' price."), low=0, high=1)]
Shown = Annotated[
    Literal["as a line", "in the pieces"],
    Param(message("Whether clients see a line of its own, or it is in the pieces' prices.")),
]
TaxWord = Annotated[
    Literal["standard", "reduced", "exempt"], Param(message("Which of your tax rates it bears."))
]


class Delivery(Table):
    """Bringing it there and fetching the hardware: van, and the crew's time on the road."""

    rule: Annotated[
        Literal["none", "by cost", "flat", "by distance"], Param(message("How it is charged."))
    ] = "by distance"
    price: FlatPrice = Decimal("40.00")
    bands: Annotated[
        list[DistanceBand],
        Param(
            message("By distance: price of one trip, up to a distance one way."),
            example="25 km: 40.00",
        ),
    ] = [
        DistanceBand(10_000.0, Decimal("0.00")),
        DistanceBand(25_000.0, Decimal("40.00")),
        DistanceBand(50_000.0, Decimal("75.00")),
    ]
    beyond: Annotated[
        Price,
        Param(
            message("By distance: each kilometer one way past the last band."), low=0, high=LARGEST
        ),
    ] = Decimal("1.50")
    show: Shown = "as a line"
    in_pieces: Annotated[
        Share,
        Param(
            message("In the pieces: share added to every piece's price, whatever the job."),
            low=0,
            high=1,
        ),
    ] = Decimal("0.12")
    tax: TaxWord = "standard"


class SetUp(Table):
    """Carrying in, standing up and dressing, before guests come."""

    rule: WorkRule = "by cost"
    price: FlatPrice = Decimal("75.00")
    show: Shown = "as a line"
    tax: TaxWord = "standard"


class TakeDown(Table):
    """Taking it down after the event and leaving the room clean."""

    rule: WorkRule = "by cost"
    price: FlatPrice = Decimal("50.00")
    show: Shown = "as a line"
    tax: TaxWord = "standard"


class OutOfHours(Table):
    """Work on site early or late."""

    rule: SurchargeRule = "share"
    price: SurchargePrice = Decimal("60.00")
    share: SurchargeShare = Decimal("0.15")
    start: Annotated[
        str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$"), Param(message("Usual hours begin."))
    ] = "06:00"
    end: Annotated[
        str, Field(pattern=r"^([01]\d|2[0-3]):[0-5]\d$"), Param(message("Usual hours end."))
    ] = "22:00"
    tax: TaxWord = "standard"


class Rush(Table):
    """Work that came at short notice: few days from the client's yes to the event."""

    rule: SurchargeRule = "share"
    days: Annotated[
        int, Param(message("Notice of so many days or fewer is short."), low=0, high=365)
    ] = 7
    price: SurchargePrice = Decimal("50.00")
    share: SurchargeShare = Decimal("0.20")
    tax: TaxWord = "standard"


class Gas(Table):
    """Helium, by what the balloons take."""

    rule: Annotated[Literal["none", "by cost"], Param(message("How it is charged."))] = "by cost"
    show: Shown = "in the pieces"
    tax: TaxWord = "standard"


class Hire(Table):
    """Hardware that comes back: its wear, or a charge for lending it."""

    rule: WorkRule = "by cost"
    price: FlatPrice = Decimal("25.00")
    show: Shown = "in the pieces"
    tax: TaxWord = "standard"


class Permits(Table):
    """Permits, parking and fees of the venue; the job says what they cost."""

    rule: Annotated[
        Literal["none", "at cost"], Param(message("Whether they are passed on as they are."))
    ] = "at cost"
    tax: TaxWord = "standard"


class PaymentTerms(Table):
    """When a client pays what."""

    deposit: Annotated[
        Decimal | None,
        Param(message("A fixed deposit instead of the share under Prices."), low=0, high=LARGEST),
    ] = None
    instalments: Annotated[
        list[Instalment],
        Param(
            message("Parts between deposit and balance."), example="25 %, 60 days before the event"
        ),
    ] = Field(default_factory=list)
    balance_days: Annotated[
        int,
        Param(message("The rest is due so many days before the event; below 0 after it."), low=-120,
              high=365),
    ] = 7  # fmt: skip


class JobCharges(Table):
    """What one job says about its charges; prices set by hand win over the studio's rules."""

    trips: Annotated[
        int, Param(message("Trips there and back: one to build, one to take down."), low=1, high=20)
    ] = 2
    rush: Annotated[
        Literal["by the notice", "no", "yes"], Param(message("Whether it came at short notice."))
    ] = "by the notice"
    ordered: Annotated[
        dt.date | None,
        Param(
            message("The day the client said yes, from which notice counts; today until then."),
            rare=True,
        ),
    ] = None
    out_of_hours: Annotated[
        Literal["by the clock", "no", "yes"],
        Param(message("Whether work on site falls out of the usual hours.")),
    ] = "by the clock"
    permits: Annotated[
        Decimal, Param(message("What is paid for permits, parking and fees."), low=0, high=LARGEST)
    ] = Decimal(0)
    delivery: Annotated[
        Decimal | None, Param(message("Delivery, set by hand."), low=0, high=LARGEST, rare=True)
    ] = None
    set_up: Annotated[
        Decimal | None, Param(message("Set-up, set by hand."), low=0, high=LARGEST, rare=True)
    ] = None
    take_down: Annotated[
        Decimal | None, Param(message("Take-down, set by hand."), low=0, high=LARGEST, rare=True)
    ] = None
    reason: Annotated[
        str,
        Param(
            message("Why a charge was set by hand; for the studio only."), longest=300, rare=True
        ),
    ] = ""
    tax: Annotated[
        Literal["as usual", "exempt"], Param(message("Whether this client pays tax."))
    ] = "as usual"
    tax_reason: Annotated[
        str, Param(message("Why no tax is taken, as the invoice must say it."), longest=200)
    ] = ""
