"""Random carts: whatever is sold and taken off, lines add up to the price to the cent."""

from decimal import Decimal
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from airwright.job.charges import JobCharges
from airwright.job.models import OptionSpec
from airwright.job.price_notes import DistanceBand, QuantityStep
from airwright.job.studio import Pricing, Studio
from airwright.money.amount import MoneyError, cent
from airwright.money.charges import JobFacts, job_lines, trip_price
from airwright.money.lines import LineKind, sum_of
from airwright.money.options import PieceSale, option_lines, piece_lines, quantity_off
from airwright.money.price import PieceCost, basis_of, piece_price, tax_of
from airwright.money.tax import Tax
from airwright.money.totals import broken_rules, net_lines, totals_as_told

CURRENCIES = ("USD", "JPY", "KWD")
amounts = st.decimals("0.01", 5000, places=2)
carts = st.lists(st.tuples(amounts, st.integers(1, 40), st.booleans()), min_size=1, max_size=8)


def pricing(told_as: Any, minimum: Decimal = Decimal(0)) -> Pricing:
    return Pricing(
        tax=Decimal("0.19"),
        tax_reduced=Decimal("0.07"),
        told=told_as,
        minimum=minimum,
        quantity=["4: 5 %", "10: 12.5 %"],
    )


@given(
    carts,
    st.decimals(0, "0.9", places=3),
    st.decimals(0, 300, places=2),
    st.one_of(st.none(), st.decimals("0.01", 9000, places=2)),
    st.decimals(0, 900, places=2),
    st.sampled_from(["before tax", "with tax"]),
    st.sampled_from(CURRENCIES),
)
def test_random_carts(
    cart: list[tuple[Decimal, int, bool]],
    discount: Decimal,
    off: Decimal,
    package: Decimal | None,
    minimum: Decimal,
    told_as: str,
    currency: str,
) -> None:
    rules = pricing(told_as, minimum)
    taxes = (tax_of(rules), tax_of(rules, "reduced"))
    unit = cent(currency)
    sales = [
        PieceSale(f"P{at}", n, max(each.quantize(unit), unit), taxes[low])
        for at, (each, n, low) in enumerate(cart)
    ]
    spec = OptionSpec(
        name="x", pieces=["x"], discount=discount, amount_off=off, package_price=package
    )
    pieces = piece_lines(sales, rules, currency)
    assert all(
        one.unit_price == sale.unit_price
        for one, sale in zip([p for p in pieces if p.kind is LineKind.PIECE], sales, strict=True)
    )
    try:
        lines = option_lines(pieces, (), spec, rules, currency)
    except MoneyError:
        whole = sum_of(pieces)
        by_hand = package is not None and not package.quantize(unit, "ROUND_HALF_UP") > 0
        assert by_hand or whole * discount + off >= whole - 2 * unit
        return
    price = sum_of(lines)
    assert price > 0
    assert all(one.price == one.price.quantize(unit) for one in lines)
    if package is not None:
        assert price == package.quantize(unit, "ROUND_HALF_UP")
    else:
        assert price >= minimum.quantize(unit, "ROUND_HALF_UP")
    basis = basis_of(rules)
    sums = totals_as_told(currency, lines, basis)
    nets = lines if told_as == "before tax" else net_lines(currency, lines)[0]
    assert broken_rules(sums, nets) == ()
    assert sums.due == (price if told_as == "with tax" else sums.net + sums.tax)


@given(
    st.builds(PieceCost, *[st.decimals(0, 900, places=4)] * 6),
    st.sampled_from(CURRENCIES),
    st.sampled_from(["before tax", "with tax"]),
    st.decimals(0, "0.95", places=2),
)
def test_no_piece_is_ever_given_away(
    cost: PieceCost, currency: str, told_as: Any, margin: Decimal
) -> None:
    rules = pricing(told_as).model_copy(update={"margin": margin})
    price = piece_price(cost, Studio(pricing=rules), currency)
    assert price.unit_price > 0
    assert price.unit_price % rules.price_step == 0
    assert price.unit_price >= price.net
    assert price.net >= price.full_cost - cent(currency)


def test_nonsense_is_refused_by_the_rules_themselves() -> None:
    """Settings are bounded where they are read; the rules do not rely on it."""
    fine = Studio()
    for key, value in (("margin", "1"), ("margin", "40"), ("labour_rate", "-500")):
        wrong = fine.pricing.model_copy(update={key: Decimal(value)})
        house = fine.model_copy(update={"pricing": wrong})
        cost = PieceCost(labour=min(wrong.labour_rate, Decimal(5)))
        with pytest.raises(MoneyError):
            piece_price(cost, house, "USD")
    zero = fine.pricing.model_copy(update={"price_step": Decimal(0)})
    price = piece_price(PieceCost(), fine.model_copy(update={"pricing": zero}), "USD")
    assert price.unit_price > 0
    for hand in ("0", "-3", "0.001"):
        with pytest.raises(MoneyError):
            piece_price(PieceCost(), fine, "USD", by_hand=Decimal(hand))
    for wrong_tax in ("-0.2", "7"):
        with pytest.raises(MoneyError):
            Tax(Decimal(wrong_tax))


def test_bands_of_distance_in_any_order() -> None:
    bands = [DistanceBand.parse(text) for text in ("50 km: 75", "10 km: 0", "25 km: 40")]
    per_km = Decimal("1.50")
    found = [trip_price(km * 1000, bands, per_km) for km in (0, 10, 10.001, 25, 50, 60)]
    assert found == [0, 0, 40, 40, 75, 90]
    assert trip_price(8000, [], per_km) == 12


def test_the_last_quantity_step_reached_counts() -> None:
    steps = [QuantityStep.parse(text) for text in ("10: 12.5 %", "4: 5 %")]
    off = [quantity_off(n, steps) for n in (1, 3, 4, 9, 10, 500)]
    assert [str(share) for share in off] == ["0", "0", "0.05", "0.05", "0.125", "0.125"]


@given(st.builds(JobFacts, st.floats(0, 5e5), *[st.decimals(0, 2000, places=3)] * 6, st.booleans()))
def test_job_lines_are_above_zero_and_on_price_points(facts: JobFacts) -> None:
    assume(facts.pieces > 0)
    house = Studio()
    for one in job_lines(facts, JobCharges(permits=Decimal(7)), house, "USD"):
        assert one.price > 0
        assert one.kind is LineKind.PERMITS or one.price % 5 == 0


def of_kind(facts: JobFacts, kind: LineKind, house: Studio, **charges: Any) -> Decimal:
    """Price of the one line of a kind."""
    lines = job_lines(facts, JobCharges(**charges), house, "USD")
    (price,) = [one.price for one in lines if one.kind is kind]
    return price


@pytest.mark.parametrize(("told_as", "price"), [("with tax", 120), ("before tax", 100)])
def test_what_is_passed_on_bears_its_tax_where_prices_include_it(told_as: Any, price: int) -> None:
    """Closed form: 120 told with 20 % leaves the fee of 100 that was paid."""
    facts = JobFacts(0.0, *[Decimal(0)] * 5, Decimal(100), early_or_late=False)
    house = Studio(pricing=Pricing(tax=Decimal("0.20"), told=told_as))
    assert of_kind(facts, LineKind.PERMITS, house, permits=Decimal(100)) == price


def test_a_charge_by_cost_carries_overhead_and_margin() -> None:
    """Closed form: 60 with a tenth of overhead is 66, and 66 / (1 - 0.4) is 110."""
    rules = Pricing(overhead=Decimal("0.1"), line_margin=Decimal("0.4"), price_step=Decimal(1))
    nothing = Decimal(0)
    facts = JobFacts(0.0, nothing, Decimal(60), *[nothing] * 3, Decimal(100), early_or_late=False)
    assert of_kind(facts, LineKind.SET_UP, Studio(pricing=rules)) == 110


def test_a_reduced_rate_of_nought_is_zero_rated_and_no_tax_is_outside() -> None:
    """Codes of UNCL 5305, from memory: Z zero rated, O outside the scope, E exempt."""
    nought = Pricing(tax=Decimal("0.19"), tax_reduced=Decimal(0))
    assert tax_of(nought, "reduced").category.value == "Z"
    assert tax_of(Pricing(tax=Decimal(0)), "standard").category.value == "O"
    assert tax_of(nought, "exempt").category.value == "E"
