"""A tax, and what it comes to: rounded once a group, on the group's total.

EN 16931-1 taxes the total of each category and rate (BR-CO-17: base times rate, two decimals),
not every line; 3 x 3.33 at 8.25 % is 0.82, where line by line it would be 0.81.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from airwright.language import message
from airwright.money.amount import ZERO, MoneyError, rounded


class TaxCategory(StrEnum):
    """Categories of UNCL 5305 as EN 16931 uses them."""

    STANDARD = "S"
    ZERO_RATED = "Z"
    EXEMPT = "E"
    OUTSIDE = "O"
    REVERSE_CHARGE = "AE"


class TaxBasis(StrEnum):
    """Whether prices are told before tax, or with it."""

    ON_TOP = "on top"
    INCLUDED = "included"


@dataclass(frozen=True, slots=True)
class Tax:
    """One tax on one line.

    Attributes:
        rate: share of the net amount: 0.0825 = 8.25 %.
        category: why it is taxed so.
        name: as papers call it.
        reason: why nothing is taken, for exempt and the like ("reseller's certificate").
    """

    rate: Decimal = ZERO
    category: TaxCategory = TaxCategory.STANDARD
    name: str = "Tax"
    reason: str = ""

    def __post_init__(self) -> None:
        if not (self.rate.is_finite() and 0 <= self.rate <= 1):
            raise MoneyError(
                message("A tax of {rate} is no share.", rate=self.rate),
                message("Write 0.08 for 8 %, at the most 1."),
            )
        if self.category is not TaxCategory.STANDARD and self.rate != 0:
            raise MoneyError(
                message(
                    "A line that is {value} bears no tax.",
                    value=self.category.name.lower().replace("_", " "),
                ),
                message("Set its rate to 0, or its category to standard."),
            )

    @property
    def percent(self) -> Decimal:
        """The rate as people write it: 8.25."""
        return (self.rate * 100).normalize()

    @property
    def key(self) -> tuple[str, Decimal]:
        """What puts lines into one group: category and rate."""
        return self.category.value, self.rate.normalize()


NO_TAX: Final = Tax(category=TaxCategory.OUTSIDE)
"""For a studio that charges no tax at all."""


@dataclass(frozen=True, slots=True)
class TaxGroup:
    """All lines of one category and rate: their net total and the tax on it (BG-23)."""

    tax: Tax
    base: Decimal
    amount: Decimal


def tax_on(base: Decimal, tax: Tax, currency: str) -> Decimal:
    """Tax on a net total (BR-CO-17)."""
    return rounded(base * tax.rate, currency)


def net_of(gross: Decimal, tax: Tax, currency: str) -> Decimal:
    """What is left of a total that includes its tax: 120 at 20 % is 100, 100 at 19 % is 84.03."""
    return rounded(gross / (1 + tax.rate), currency)


def tax_groups(taxed: Iterable[tuple[Decimal, Tax]], currency: str) -> tuple[TaxGroup, ...]:
    """Net amounts with their taxes, grouped in the order in which they come.

    Args:
        taxed: net amount and tax of each line, allowance (negative) and charge.
        currency: ISO 4217 code.
    """
    sums: dict[tuple[str, Decimal], Decimal] = {}
    named: dict[tuple[str, Decimal], Tax] = {}
    for amount, tax in taxed:
        sums[tax.key] = sums.get(tax.key, ZERO) + amount
        named.setdefault(tax.key, tax)
    return tuple(
        TaxGroup(named[key], base, tax_on(base, named[key], currency)) for key, base in sums.items()
    )
