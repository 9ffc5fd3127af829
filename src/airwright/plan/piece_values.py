"""What is read off one piece, and the lines that pieces add up to: frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from airwright.decor.assembly import Assembly
from airwright.decor.pieces import KINDS
from airwright.job.pieces import PieceSpec
from airwright.money.price import PiecePrice
from airwright.plan.floating import FloatLine, Weighting
from airwright.plan.stability import Stability
from airwright.plan.strength import Hanging


@dataclass(frozen=True, slots=True)
class BalloonLine:
    """Balloons of one size, diameter, shade and role in one piece.

    `bags`: shades taken from the bags for one, the outer one first where one is in another.
    """

    size: str
    size_in: float
    inflated_in: float
    shade: str
    role: str
    count: int
    helium: bool = False
    bags: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ClusterLine:
    """Clusters of one recipe and colouring in one piece."""

    recipe: str
    sizes: tuple[str, ...]
    shades: tuple[str, ...]
    count: int
    role: str


@dataclass(frozen=True, slots=True)
class HardwareLine:
    """One thing that is not a balloon, in one piece (quantity in `unit`).

    `shade` and `depth_m` are of a sleeve's strip: its colour, and how deep it hangs [m].
    """

    item: str
    use: str
    quantity: float
    unit: str
    shade: str | None = None
    depth_m: float | None = None


@dataclass(frozen=True, slots=True)
class WorkLine:
    """Time for one operation in one piece, allowance included [h of one pair of hands].

    `place` is "workshop", "road", "site" or "take-down"; `quantity` counts what `per` names.
    """

    operation: str
    what: str
    place: str
    quantity: float
    hours: float
    per: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class PiecePlan:
    """All that is read off one piece; figures are for one of it, `count` says how many.

    Attributes:
        place: "pieces[2]", where it stands in the job file.
        ties: 260s and other modelling balloons used as ties (fractions: loops cut from one).
        mass_kg: rubber, hardware and fabric, base unballasted [kg].
        bulk_m3: room it takes in the van when it travels built [m³].
        hours: hands' time, workshop and site [h].
        stability: force and tipping figures of what stands, fixing loads of what hangs, else None.
        floats: balloons filled with helium.
        weighting: what holds down a piece that only floats, else None.
        price: what one of it is sold for, in every option; None before it was reckoned.
    """

    spec: PieceSpec
    assembly: Assembly
    place: str
    balloons: tuple[BalloonLine, ...]
    ties: tuple[BalloonLine, ...]
    clusters: tuple[ClusterLine, ...]
    hardware: tuple[HardwareLine, ...]
    mass_kg: float
    bulk_m3: float
    work: tuple[WorkLine, ...] = ()
    stability: Stability | Hanging | None = None
    floats: tuple[FloatLine, ...] = ()
    weighting: Weighting | None = None
    price: PiecePrice | None = None

    @property
    def name(self) -> str:
        """The piece's name."""
        return self.spec.name

    @property
    def count(self) -> int:
        """How many of it."""
        return self.spec.count

    @property
    def hours(self) -> float:
        """Hands' time for one [h]."""
        return sum(line.hours for line in self.work)

    @property
    def rises_to_ceiling(self) -> bool:
        """Whether it floats loose and is held by the ceiling alone."""
        return bool(KINDS[self.spec.kind].under_ceiling(self.spec))

    @property
    def rises_by_itself(self) -> bool:
        """Whether it is tied on the ground and goes up without a ladder."""
        return self.weighting is not None or self.rises_to_ceiling

    @property
    def take_in_gust_m_s(self) -> float | None:
        """Gust above which it is taken in, however it is held; None indoors [m/s]."""
        held = self.stability or self.weighting
        return None if held is None else held.take_in_gust_m_s

    def hours_at(self, place: str) -> float:
        """Hands' time for one in the workshop, on site or at take-down [h]."""
        return sum(line.hours for line in self.work if line.place == place)


@dataclass(frozen=True, slots=True)
class PackLine:
    """Bags of one kind to buy."""

    count: int
    bags: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class Need:
    """One line of the whole job's needs.

    `size_in` and `shade` are None for what is no balloon; the spares of all balloons together
    cover the accepted chance of running short; `packs` is the cheapest way to buy `total`.
    `depth_m` is how deep a sleeve's strip hangs [m].
    What is `rented` costs the job its rent, `unit_cost`, and goes back.
    `reserve` of the spares are for the most layers that hands may come to, see `Assembly.reserve`.
    `failure_rate` was learnt from `failure_seen` balloons, and leaves this line short with
    `chance_short`; None and 0 for what does not fail.
    """

    item: str
    kind: str
    size_in: float | None
    shade: str | None
    used: float
    spare: float
    unit: str
    packs: tuple[PackLine, ...] = ()
    unit_cost: Decimal = Decimal(0)
    reuses: int = 1
    rented: bool = False
    mass_kg: float = 0.0
    bulk_m3: float = 0.0
    failure_rate: float | None = None
    failure_seen: float | None = None
    reserve: int = 0
    chance_short: float = 0.0
    depth_m: float | None = None

    @property
    def total(self) -> float:
        """Used and spare."""
        return self.used + self.spare

    @property
    def purchase(self) -> Decimal:
        """What the bags cost; zero for what the studio owns."""
        return sum((pack.price * pack.bags for pack in self.packs), Decimal(0))


@dataclass(frozen=True, slots=True)
class Money:
    """One reckoning, every amount rounded once to the currency's cent, sums exact.

    cost = materials + labour + transport + rental + overhead + other (permits and the like,
    passed on as they are). price = the sum of the lines, as clients are told it. net is what is
    left of it without tax, margin = net - cost, total = net + tax; where prices are told before
    tax, price = net, and where they are told with it, price = total.
    """

    currency: str
    materials: Decimal
    labour: Decimal
    transport: Decimal
    rental: Decimal
    overhead: Decimal
    cost: Decimal
    margin: Decimal
    price: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    other: Decimal = Decimal(0)
    net: Decimal = Decimal(0)

    @property
    def margin_share(self) -> Decimal:
        """What is left, as a share of the price without tax."""
        return self.margin / self.net if self.net else Decimal(0)
