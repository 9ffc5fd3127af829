"""Rounding, currencies, markup and tax: ISO 4217, Python's decimal, worked examples."""

from decimal import Decimal
from fractions import Fraction

import pytest

from airwright.job.studio import Hire, Pricing, Studio
from airwright.money.amount import cent, rounded, shared
from airwright.money.lines import LineKind, line
from airwright.money.price import PieceCost, piece_price, selling
from airwright.money.tax import Tax, net_of
from airwright.money.totals import totals

EXPONENTS = {
    "USD": 2, "EUR": 2, "GBP": 2, "CHF": 2, "HUF": 2, "JPY": 0, "CLP": 0, "ISK": 0,
    "KWD": 3, "BHD": 3, "TND": 3, "CLF": 4, "UYW": 4,
}  # fmt: skip


@pytest.mark.other_program
@pytest.mark.parametrize("code", EXPONENTS)
def test_minor_units(compare, code: str) -> None:
    compare(
        -cent(code).as_tuple().exponent,
        EXPONENTS[code],
        source="ISO 4217 exponents as in py-moneyed 3.0",
        what=f"decimals of {code}",
    )


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("amount", "half_up"),
    [("0.125", "0.13"), ("0.135", "0.14"), ("1.005", "1.01"), ("2.675", "2.68")],
)
def test_halves_go_up_without_binary_floats(compare, amount: str, half_up: str) -> None:
    compare(
        rounded(Decimal(amount), "USD"),
        Decimal(half_up),
        source="Python decimal, ROUND_HALF_UP",
        what=f"{amount} to the cent",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("margin", "price"), [("0.40", "100.00"), ("0.20", "75.00"), ("0.25", "80.00")]
)
def test_margin_is_a_share_of_the_price(compare, margin: str, price: str) -> None:
    pricing = Pricing(
        margin=Decimal(margin), overhead=Decimal(0), price_step=Decimal("0.01"), tax=Decimal(0)
    )
    studio = Studio(pricing=pricing, hire=Hire(rule="none"))
    compare(
        piece_price(PieceCost(materials=Decimal(60)), studio, "USD").unit_price,
        Decimal(price),
        source="price = cost / (1 - margin); cost 60 at 40 % is 100.00",
        what=f"price of 60.00 at {margin}",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("margin", "markup"), [("0.2", "0.25"), ("0.25", "1/3"), ("0.3", "3/7"), ("0.4", "2/3"),
                           ("0.5", "1"), ("0.6", "1.5")],
)  # fmt: skip
def test_margin_and_markup(compare, margin: str, markup: str) -> None:
    compare(
        float(selling(Decimal(100), Decimal(margin)) / 100 - 1),
        float(Fraction(markup)),
        rtol=1e-12,
        source="markup = margin / (1 - margin)",
        what=f"markup of a margin of {margin}",
    )


@pytest.mark.closed_form
def test_tax_is_taken_once_on_the_whole(compare) -> None:
    """3 x 3.33 at 8.25 %: 0.82 on the invoice, where per line it would be 0.81."""
    tax = Tax(Decimal("0.0825"))
    lines = [line(LineKind.PIECE, "x", Decimal("3.33"), "USD", tax=tax) for _ in range(3)]
    compare(
        totals("USD", lines).tax,
        Decimal("0.82"),
        source="tax on the category's total, EN 16931 BR-CO-17",
        what="tax on 3 x 3.33 at 8.25 %",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("gross", "rate", "net"), [("120", "0.20", "100.00"), ("100", "0.19", "84.03")]
)
def test_tax_within_a_price(compare, gross: str, rate: str, net: str) -> None:
    compare(
        net_of(Decimal(gross), Tax(Decimal(rate)), "EUR"),
        Decimal(net),
        source="net = gross / (1 + rate)",
        what=f"{gross} with {rate} in it",
    )


@pytest.mark.other_program
def test_a_cent_that_cannot_be_halved(compare) -> None:
    compare(
        [int(100 * part) for part in shared(Decimal("10.03"), [Decimal(50)] * 2, "EUR")],
        [502, 501],
        rtol=0.0,
        atol=0.0,
        source="tests of dinero.js, allocate: 1003 by 50 and 50",
        what="1003 cents in two halves",
    )
