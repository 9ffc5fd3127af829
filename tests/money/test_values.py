"""Amounts, reading, rates, tax groups and sums: exact to the cent, and nonsense refused."""

import datetime as dt
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.language import speaking
from airwright.money.amount import Amount, MoneyError, number
from airwright.money.currency import Rate, convert, factor
from airwright.money.lines import Line, LineKind, line, sum_of
from airwright.money.reading import read_amount, read_money
from airwright.money.tax import Tax, TaxBasis, TaxCategory
from airwright.money.totals import Adjustment, broken_rules, net_lines, totals, totals_as_told

STANDARD = Tax(Decimal("0.19"))
REDUCED = Tax(Decimal("0.07"))
EXEMPT = Tax(category=TaxCategory.EXEMPT)
CURRENCIES = ("USD", "JPY", "KWD")


def test_floats_have_no_door() -> None:
    for wrong in (1.5, True, None):
        with pytest.raises(TypeError):
            number(wrong)  # type: ignore[arg-type]
    for text in ("NaN", "inf", "1e30", "ten"):
        with pytest.raises(MoneyError):
            number(text)


def test_an_amount_is_whole_cents_of_a_real_currency() -> None:
    assert Amount.of("12.5", "USD").number.as_tuple().exponent == -2
    for value, code in (("1.005", "USD"), ("0.5", "JPY"), ("1", "XQX"), ("1", "usd")):
        with pytest.raises(MoneyError):
            Amount.of(value, code)
    with pytest.raises(MoneyError, match="dated rate"):
        _ = Amount.of(1, "USD") + Amount.of(1, "EUR")


@pytest.mark.parametrize(
    ("text", "found"),
    [("12.50", "12.50"), ("12,50", "12.50"), ("$1,200", "1200"), ("1.200,50", "1200.50"),
     ("1'200.50", "1200.50"), ("US$ 40", "40"), ("40 USD", "40"), (" 7 ", "7")],
)  # fmt: skip
def test_amounts_are_read_as_people_write_them(text: str, found: str) -> None:
    assert read_money(text, "USD").number == Decimal(found)


@pytest.mark.parametrize(
    ("text", "word"),
    [("", "No amount"), ("-5", "below zero"), ("1.005", "precise"), ("€40", "not in USD"),
     ("40 EUR", "not in USD"), ("lots", "no amount"), ("1" * 20, "large"), ("--", "no amount"),
     ("0", "too little")],
)  # fmt: skip
def test_wrong_amounts_say_what_is_wrong(text: str, word: str) -> None:
    with pytest.raises(MoneyError, match=word):
        read_money(text, "USD", least=Decimal("0.01"))


@pytest.mark.parametrize(
    ("language", "text", "found"),
    [("de", "1.500", "1500"), ("de", "1.234.567", "1234567"), ("de", "262,50 €", "262.50"),
     ("es", "1.500,00", "1500"), ("en-US", "1,500", "1500"), ("en-GB", "0.500", "0.50")],
)  # fmt: skip
def test_thousands_are_parted_as_the_language_parts_them(
    language: str, text: str, found: str
) -> None:
    """Decimal signs of the languages: Unicode CLDR, as Babel carries it."""
    with speaking(language):
        assert read_money(text, "EUR").number == Decimal(found)


@pytest.mark.parametrize(
    ("language", "text", "why"),
    [("en-US", "1.500", "two ways"), ("en-US", "1.505", "precise"), ("de", "262,505", "precise"),
     ("de", "1,500", "two ways")],
)  # fmt: skip
def test_a_sum_that_can_be_read_in_two_ways_is_asked_again(
    language: str, text: str, why: str
) -> None:
    with speaking(language), pytest.raises(MoneyError) as problem:
        read_money(text, "EUR")
    assert why in problem.value.what


def test_a_price_in_thousandths_has_the_comma_of_its_language() -> None:
    assert read_amount("0,125") == Decimal("0.125")
    assert read_amount("1,125") == Decimal(1125)
    with speaking("de"):
        assert [read_amount(text) for text in ("1,125", "1.125", "1.234,56")] == [
            Decimal("1.125"), Decimal("1.125"), Decimal("1234.56")
        ]  # fmt: skip


def test_a_refund_may_be_negative() -> None:
    assert read_money("-5,00", "EUR", negative=True).number == Decimal("-5.00")


def test_nothing_is_converted_one_to_one() -> None:
    day = dt.date(2027, 1, 4)
    later = day.replace(month=3)
    rates = [
        Rate("EUR", "USD", Decimal("1.10"), day),
        Rate("EUR", "USD", Decimal("1.25"), later),
    ]
    assert convert(Amount.of("80", "EUR"), "USD", rates) == Amount.of("100", "USD")
    assert convert(Amount.of("100", "USD"), "EUR", rates) == Amount.of("80", "EUR")
    assert factor([], "USD", "USD") == 1
    with pytest.raises(MoneyError, match="no rate"):
        convert(Amount.of(1, "USD"), "JPY", rates)
    for wrong in (Decimal(0), Decimal(-1), Decimal("NaN")):
        with pytest.raises(MoneyError):
            Rate("EUR", "USD", wrong, day)


def test_tax_refuses_nonsense() -> None:
    for rate in ("-0.1", "1.01", "NaN"):
        with pytest.raises(MoneyError):
            Tax(Decimal(rate))
    with pytest.raises(MoneyError):
        Tax(Decimal("0.1"), TaxCategory.EXEMPT)


lines_of = st.lists(
    st.tuples(
        st.decimals("0.01", 9999, places=2),
        st.integers(1, 60),
        st.sampled_from([STANDARD, REDUCED, EXEMPT]),
    ),
    min_size=1,
    max_size=20,
)


def made(rows: list[tuple[Decimal, int, Tax]], currency: str) -> list[Line]:
    return [
        line(LineKind.PIECE, "x", price, currency, quantity=Decimal(n), tax=tax)
        for price, n, tax in rows
    ]


@given(lines_of, st.sampled_from(CURRENCIES), st.decimals(0, 50, places=2))
def test_random_carts_keep_the_rules(
    rows: list[tuple[Decimal, int, Tax]], currency: str, off: Decimal
) -> None:
    lines = made(rows, currency)
    sums = totals(currency, lines, [Adjustment("Discount", -off.quantize(Decimal(1)), STANDARD)])
    assert broken_rules(sums, lines) == ()
    assert sum((g.base for g in sums.groups), Decimal(0)) == sums.net
    assert sums.due == sum_of(lines) - off.quantize(Decimal(1)) + sums.tax


@given(lines_of, st.sampled_from(CURRENCIES))
def test_prices_with_tax_come_back_to_the_cent(
    rows: list[tuple[Decimal, int, Tax]], currency: str
) -> None:
    lines = made(rows, currency)
    nets, rounding = net_lines(currency, lines)
    sums = totals_as_told(currency, lines, TaxBasis.INCLUDED)
    assert broken_rules(sums, nets) == ()
    assert sums.due == sum_of(lines), "the client pays what was told"
    assert abs(rounding) <= 2 * sums.groups[0].amount.copy_abs().scaleb(-30) + len(
        sums.groups
    ) * Decimal(1).scaleb(sums.due.as_tuple().exponent)  # type: ignore[arg-type]


def test_at_nineteen_percent_no_net_amount_leads_to_three_cents() -> None:
    sums = totals_as_told("EUR", made([(Decimal("0.03"), 1, STANDARD)], "EUR"), TaxBasis.INCLUDED)
    assert (sums.net, sums.tax, sums.rounding, sums.due) == (
        Decimal("0.03"), Decimal("0.01"), Decimal("-0.01"), Decimal("0.03"))  # fmt: skip
