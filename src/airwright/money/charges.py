"""Job lines: delivery, set-up, take-down and the like, each by the rule the studio sets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from airwright.job.charges import JobCharges, OutOfHours, Rush, SetUp, TakeDown
from airwright.job.price_notes import DistanceBand
from airwright.job.studio import Studio
from airwright.language import message
from airwright.money.amount import ZERO, rounded
from airwright.money.lines import Line, LineKind, line
from airwright.money.price import basis_of, pointed, selling, tax_of
from airwright.money.tax import Tax, TaxBasis


@dataclass(frozen=True, slots=True)
class JobFacts:
    """What the charges of one option hang on; costs are direct and not rounded.

    Attributes:
        distance_m: one way from workshop to venue [m].
        road: van and crew on the road, all trips.
        set_up, take_down: work on site before guests and after them.
        gas, hire: helium taken, and wear of hardware lent.
        pieces: price of all pieces, as told.
        early_or_late: whether work on site falls out of the usual hours.
        notice_days: days from the client's yes, or today, to the event; None where unknown.
    """

    distance_m: float
    road: Decimal
    set_up: Decimal
    take_down: Decimal
    gas: Decimal
    hire: Decimal
    pieces: Decimal
    early_or_late: bool
    notice_days: int | None = None


def job_lines(
    facts: JobFacts, charges: JobCharges, studio: Studio, currency: str
) -> tuple[Line, ...]:
    """The lines beside the pieces; a charge that comes to nothing has none.

    Args:
        facts: what the option takes.
        charges: what the job says, prices by hand among it.
        studio: rules and rates, in `currency`.
        currency: ISO 4217 code.
    """
    maker = _Maker(charges, studio, currency)
    found = [
        maker.delivery(facts),
        maker.work(
            LineKind.SET_UP, message("Set-up on site"), studio.set_up, facts.set_up, charges.set_up
        ),
        maker.work(
            LineKind.TAKE_DOWN,
            message("Take-down"),
            studio.take_down,
            facts.take_down,
            charges.take_down,
        ),
    ]
    late = facts.pieces if _out_of_hours(facts, charges) else ZERO
    hurried = facts.pieces if _short_notice(facts, charges, studio.rush) else ZERO
    found += [
        maker.surcharge(
            LineKind.OUT_OF_HOURS, message("Work out of usual hours"), studio.out_of_hours, late
        ),
        maker.surcharge(LineKind.RUSH, message("Short notice"), studio.rush, hurried),
    ]
    if studio.gas.rule == "by cost" and studio.gas.show == "as a line":
        price = maker.by_cost(facts.gas, studio.gas.tax)
        found.append(maker.line(LineKind.GAS, message("Helium"), price, studio.gas.tax))
    found.append(maker.hire(facts))
    if studio.permits.rule == "at cost":
        what = message("Permits, parking and fees")
        tax = maker.tax(studio.permits.tax)
        passed_on = maker.told(charges.permits, tax)
        found.append(maker.line(LineKind.PERMITS, what, passed_on, studio.permits.tax))
    return tuple(one for one in found if one is not None and one.price > 0)


def _out_of_hours(facts: JobFacts, charges: JobCharges) -> bool:
    if charges.out_of_hours == "by the clock":
        return facts.early_or_late
    return charges.out_of_hours == "yes"


def _short_notice(facts: JobFacts, charges: JobCharges, rule: Rush) -> bool:
    if charges.rush == "by the notice":
        return facts.notice_days is not None and 0 <= facts.notice_days <= rule.days
    return charges.rush == "yes"


def trip_price(distance_m: float, bands: Sequence[DistanceBand], beyond: Decimal) -> Decimal:
    """Price of one trip by distance: the first band that reaches, and each km past the last.

    Args:
        distance_m: one way [m].
        bands: in any order.
        beyond: for each kilometre one way past the last band.
    """
    ordered = sorted(bands, key=lambda band: band.up_to_m)
    for band in ordered:
        if distance_m <= band.up_to_m:
            return band.price
    last_m, price = (ordered[-1].up_to_m, ordered[-1].price) if ordered else (0.0, ZERO)
    return price + Decimal(str(round((distance_m - last_m) / 1000, 3))) * beyond


@dataclass(frozen=True, slots=True)
class _Maker:
    charges: JobCharges
    studio: Studio
    currency: str

    def tax(self, word: str) -> Tax:
        return tax_of(self.studio.pricing, word, exempt_reason(self.charges))

    def told(self, before_tax: Decimal, tax: Tax) -> Decimal:
        included = basis_of(self.studio.pricing) is TaxBasis.INCLUDED
        return before_tax * (1 + tax.rate) if included else before_tax

    def by_cost(self, direct: Decimal, word: str) -> Decimal:
        if direct <= 0:
            return ZERO
        pricing = self.studio.pricing
        price = selling(direct * (1 + pricing.overhead), pricing.line_margin)
        return pointed(self.told(price, self.tax(word)), pricing, self.currency)

    def line(
        self, kind: LineKind, what: str, price: Decimal, word: str, reason: str = ""
    ) -> Line | None:
        amount = rounded(price, self.currency)
        if amount <= 0:
            return None
        return line(kind, what, amount, self.currency, tax=self.tax(word), reason=reason)

    def delivery(self, facts: JobFacts) -> Line | None:
        rule, by_hand = self.studio.delivery, self.charges.delivery
        what = message("Delivery")
        if by_hand is not None:
            return self.line(LineKind.DELIVERY, what, by_hand, rule.tax, self.charges.reason)
        if rule.show == "in the pieces" or rule.rule == "none":
            return None
        if rule.rule == "flat":
            price = rule.price
        elif rule.rule == "by cost":
            price = self.by_cost(facts.road, rule.tax)
        else:
            price = trip_price(facts.distance_m, rule.bands, rule.beyond) * self.charges.trips
            price = pointed(price, self.studio.pricing, self.currency) if price > 0 else ZERO
        return self.line(LineKind.DELIVERY, what, price, rule.tax)

    def work(
        self,
        kind: LineKind,
        what: str,
        rule: SetUp | TakeDown,
        direct: Decimal,
        by_hand: Decimal | None,
    ) -> Line | None:
        if by_hand is not None:
            return self.line(kind, what, by_hand, rule.tax, self.charges.reason)
        if rule.show == "in the pieces" or rule.rule == "none":
            return None
        price = rule.price if rule.rule == "flat" else self.by_cost(direct, rule.tax)
        return self.line(kind, what, price, rule.tax)

    def surcharge(
        self, kind: LineKind, what: str, rule: OutOfHours | Rush, pieces: Decimal
    ) -> Line | None:
        if pieces <= 0 or rule.rule == "none":
            return None
        if rule.rule == "flat":
            return self.line(kind, what, rule.price, rule.tax)
        share = max(pieces * rule.share, rule.price)
        return self.line(kind, what, pointed(share, self.studio.pricing, self.currency), rule.tax)

    def hire(self, facts: JobFacts) -> Line | None:
        rule = self.studio.hire
        if rule.show == "in the pieces" or rule.rule == "none" or facts.hire <= 0:
            return None
        price = rule.price if rule.rule == "flat" else self.by_cost(facts.hire, rule.tax)
        return self.line(LineKind.HIRE, message("Hire of hardware"), price, rule.tax)


def exempt_reason(charges: JobCharges) -> str | None:
    """Why this client pays no tax; None for one who does."""
    return charges.tax_reason if charges.tax == "exempt" else None
