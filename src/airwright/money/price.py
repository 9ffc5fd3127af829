"""From what a piece costs to what one of it is sold for: the same in every option and menu.

    direct  = materials + labour + wear + gas, and set-up and take-down where pieces carry them
    cost    = direct x (1 + overhead)
    price   = cost / (1 - margin), times (1 + share) for charges folded in by a share,
              times (1 + tax) where prices are told with tax, up to the next price point

Everything in it belongs to the piece or to the studio, nothing to the job.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from airwright.job.studio import Pricing, Studio
from airwright.language import message
from airwright.money.amount import ZERO, MoneyError, rounded, step_up
from airwright.money.tax import Tax, TaxBasis, TaxCategory


@dataclass(frozen=True, slots=True)
class PieceCost:
    """Direct cost of one piece by its parts, not rounded.

    Attributes:
        materials: what is used up, waste included.
        labour: making it, in the workshop and where it is built on site.
        wear: its share of hardware that lasts for many jobs.
        gas: helium its balloons take.
        set_up, take_down: standing it up, and taking it down again.
    """

    materials: Decimal = ZERO
    labour: Decimal = ZERO
    wear: Decimal = ZERO
    gas: Decimal = ZERO
    set_up: Decimal = ZERO
    take_down: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class PiecePrice:
    """What one piece is sold for.

    Attributes:
        cost: by its parts.
        direct: the parts its price carries, together.
        full_cost: with overhead, rounded to the cent.
        by_rule: price by the studio's rules, as it is told (with or before tax).
        unit_price: what holds: by rule, or set by hand.
        net: of it without tax.
        by_hand: whether it was set by hand.
        reason: why.
    """

    cost: PieceCost
    direct: Decimal
    full_cost: Decimal
    by_rule: Decimal
    unit_price: Decimal
    net: Decimal
    by_hand: bool = False
    reason: str = ""

    @property
    def margin(self) -> Decimal:
        """What is left of one, tax and cost taken off."""
        return self.net - self.full_cost

    @property
    def margin_share(self) -> Decimal:
        """The margin as a share of the price without tax."""
        return self.margin / self.net


def basis_of(pricing: Pricing) -> TaxBasis:
    """How the studio tells its prices."""
    return TaxBasis.INCLUDED if pricing.told == "with tax" else TaxBasis.ON_TOP


def tax_of(pricing: Pricing, word: str = "standard", exempt: str | None = None) -> Tax:
    """The tax behind a charge's word.

    Args:
        pricing: the studio's rates.
        word: "standard", "reduced" or "exempt".
        exempt: why this client pays none at all; None for one who does.
    """
    if exempt is not None:
        return Tax(category=TaxCategory.EXEMPT, name=pricing.tax_name, reason=exempt)
    if word == "exempt":
        return Tax(category=TaxCategory.EXEMPT, name=pricing.tax_name)
    rate = pricing.tax_reduced if word == "reduced" else pricing.tax
    if rate == 0:
        outside = pricing.tax == 0
        category = TaxCategory.OUTSIDE if outside else TaxCategory.ZERO_RATED
        return Tax(category=category, name=pricing.tax_name)
    return Tax(rate, name=pricing.tax_name)


def selling(cost: Decimal, margin: Decimal) -> Decimal:
    """The price of which `margin` is profit: 60 at 0.4 is 100.

    Raises:
        MoneyError: a cost below zero, or a margin that no price has.
    """
    if not 0 <= margin < 1:
        raise MoneyError(
            message("No price holds a margin of {margin}.", margin=margin),
            message("Use a share below 1, like 0.4."),
        )
    if cost < 0:
        raise MoneyError(
            message("A cost of {cost} cannot be.", cost=cost), message("Check rates and prices.")
        )
    return cost / (1 - margin)


def pointed(amount: Decimal, pricing: Pricing, currency: str) -> Decimal:
    """Up to the next price point; the lowest one is above zero."""
    step = rounded(max(pricing.price_step, ZERO), currency) or rounded(Decimal(1), currency)
    return rounded(max(step_up(amount, step), step), currency)


def direct_cost(cost: PieceCost, studio: Studio) -> Decimal:
    """The parts of a piece's cost that its own price carries."""
    parts = cost.materials + cost.labour
    if studio.hire.rule == "by cost" and studio.hire.show == "in the pieces":
        parts += cost.wear
    if studio.gas.rule == "by cost" and studio.gas.show == "in the pieces":
        parts += cost.gas
    if studio.set_up.rule != "none" and studio.set_up.show == "in the pieces":
        parts += cost.set_up
    if studio.take_down.rule != "none" and studio.take_down.show == "in the pieces":
        parts += cost.take_down
    return parts


def piece_price(
    cost: PieceCost,
    studio: Studio,
    currency: str,
    *,
    by_hand: Decimal | None = None,
    reason: str = "",
) -> PiecePrice:
    """The price of one piece, from the piece and the studio alone.

    Args:
        cost: its direct cost, in the same currency as the studio's amounts.
        studio: the studio's rules.
        currency: ISO 4217 code.
        by_hand: a price that somebody set, told as the studio tells prices.
        reason: why.

    Raises:
        MoneyError: a price by hand that is not above zero.
    """
    pricing = studio.pricing
    direct = direct_cost(cost, studio)
    full = direct * (1 + pricing.overhead)
    price = selling(full, pricing.margin)
    if studio.delivery.rule != "none" and studio.delivery.show == "in the pieces":
        price *= 1 + studio.delivery.in_pieces
    tax = tax_of(pricing)
    told = price * (1 + tax.rate) if basis_of(pricing) is TaxBasis.INCLUDED else price
    by_rule = pointed(told, pricing, currency)
    if by_hand is not None and not rounded(by_hand, currency) > 0:
        raise MoneyError(
            message("A price of {by_hand} is none.", by_hand=by_hand),
            message("Set one above zero, or leave it out."),
        )
    unit = by_rule if by_hand is None else rounded(by_hand, currency)
    return PiecePrice(
        cost=cost,
        direct=direct,
        full_cost=rounded(full, currency),
        by_rule=by_rule,
        unit_price=unit,
        net=net(unit, tax, pricing, currency),
        by_hand=by_hand is not None,
        reason=reason,
    )


def net(told: Decimal, tax: Tax, pricing: Pricing, currency: str) -> Decimal:
    """A price without its tax, however prices are told."""
    if basis_of(pricing) is TaxBasis.ON_TOP:
        return told
    return rounded(told / (1 + tax.rate), currency)
