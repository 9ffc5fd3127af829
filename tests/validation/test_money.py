"""Rounding, currencies, markup and tax: ISO 4217, Python's decimal, worked examples."""

from decimal import Decimal

import pytest

from airwright.job.studio import Pricing
from airwright.plan.money import cent, reckon, rounded

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
    nothing = Decimal(0)
    money = reckon(
        "USD", pricing, materials=Decimal(60), labour=nothing, transport=nothing, rental=nothing
    )
    compare(
        money.price,
        Decimal(price),
        source="price = cost / (1 - margin); cost 60 at 40 % is 100.00",
        what=f"price of 60.00 at {margin}",
    )


@pytest.mark.closed_form
def test_tax_is_taken_once_on_the_whole(compare) -> None:
    """3 x 3.33 at 8.25 %: 0.82 on the invoice, where per line it would be 0.81."""
    pricing = Pricing(
        margin=Decimal(0), overhead=Decimal(0), price_step=Decimal("0.01"), tax=Decimal("0.0825")
    )
    nothing = Decimal(0)
    money = reckon(
        "USD",
        pricing,
        materials=3 * Decimal("3.33"),
        labour=nothing,
        transport=nothing,
        rental=nothing,
    )
    compare(
        money.tax,
        Decimal("0.82"),
        source="tax on the total, as EN 16931 does (from memory)",
        what="tax on 9.99 at 8.25 %",
    )
