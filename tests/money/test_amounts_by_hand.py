"""Rules of amounts, one by one, each reckoned by hand in the test."""

import datetime as dt

import pytest

from airwright.money.amount import (
    Amount,
    amount_text,
    cent,
    is_currency,
    number,
    rounded,
    shared,
    step_up,
)  # fmt: skip
from airwright.money.currency import Rate, convert, factor, find_rate
from airwright.money.reading import read_amount, read_money
from tests.money.by_hand import DAY, D, refused


def test_numbers_at_the_edge() -> None:
    assert number("999999999999.99") == D("999999999999.99")
    assert "Stay below 999999999999.99" in refused(number, "1000000000000").mend
    assert refused(number, "-1000000000000").what == "-1000000000000 is no amount."
    assert refused(number, "twenty-one dollars and").what == '"twenty-one dollars a" is no number.'


def test_rounding_goes_away_from_zero() -> None:
    assert rounded(D("0.125"), "USD") == D("0.13")
    assert rounded(D("-0.125"), "USD") == D("-0.13")
    assert rounded(D("0.5"), "JPY") == 1
    assert [str(cent(code)) for code in ("USD", "JPY", "KWD")] == ["0.01", "1", "0.001"]
    assert [is_currency(code) for code in ("USD", "usd", "USDX", "XQX")] == [
        True, False, False, False]  # fmt: skip
    assert amount_text(D("184.5"), "USD") == "184.50"
    assert step_up(D("10.01"), D(5)) == 15
    assert step_up(D(10), D(5)) == 10
    assert refused(step_up, D(1), D(0)).what == "A price step of 0 rounds nothing."


def test_a_total_is_shared_to_the_cent() -> None:
    # 10.00 by 1 : 1 : 1 is 3.333 each; the cent left goes to the first
    assert shared(D(10), [D(1)] * 3, "USD") == (D("3.34"), D("3.33"), D("3.33"))
    assert shared(D(-10), [D(1)] * 3, "USD") == (D("-3.34"), D("-3.33"), D("-3.33"))
    # by 2 : 1 : 1 of 0.05: 0.025, 0.0125, 0.0125; two cents left go to the largest remainder,
    # 0.5 of a cent, and of those with 0.25 to the first
    assert shared(D("0.05"), [D(2), D(1), D(1)], "USD") == (D("0.03"), D("0.01"), D("0.01"))
    # by 1 : 2 of 0.02: 0.0067 and 0.0133: 0.00 and 0.01, and 0.67 is the larger remainder
    assert shared(D("0.02"), [D(1), D(2)], "USD") == (D("0.01"), D("0.01"))
    assert shared(D("0.03"), [D(0), D(0)], "USD") == (D("0.02"), D("0.01"))
    assert shared(D(7), [D(1), D(1)], "JPY") == (4, 3)
    assert shared(D(5), [], "USD") == ()
    assert str(shared(D(1), [D(1)], "USD")[0]) == "1.00"


def test_amounts_know_their_currency() -> None:
    five, seven = Amount.of(5, "USD"), Amount.of("7.50", "USD")
    assert (seven - five) == Amount.of("2.50", "USD")
    assert (five + seven).number == D("12.50")
    assert -five == Amount.of(-5, "USD")
    assert five < seven
    assert five <= five
    assert not seven <= five
    assert not five < five
    assert bool(five)
    assert not Amount.of(0, "USD")
    assert str(seven) == "$7.50"
    assert Amount.round("1.005", "USD").number == D("1.01")
    euro = Amount.of(1, "EUR")
    for wrong in (lambda: five + euro, lambda: five - euro, lambda: five < euro,
                  lambda: five <= euro):  # fmt: skip
        assert refused(wrong).what == "USD and EUR cannot be calculated together."
    assert refused(Amount.of, "1.005", "USD").mend == "Round it to a multiple of 0.01."
    assert refused(Amount.of, 1, "DOLLARSDOLLARSDOLLARSX").what == (
        '"DOLLARSDOLLARSDOLLAR" is no currency.')  # fmt: skip


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("1,200", "1200"), ("1,200.5", "1200.5"), ("1.200,5", "1200.5"), ("4,20", "4.20"),
        ("4,2", "4.2"), ("1.125", "1.125"), ("1,2345", "12345"), ("1'200", "1200"), ("7.", "7"),
        ("1 200,50", "1200.50"), ("1.2.3", None), ("", None), ("-4", None), ("x", None),
        ("1,200,50", None), ("1,200,500", "1200500"), ("1" * 24, "1" * 24), ("1" * 25, None),
        ("12 EUR", "12"), ("€12", "12"),
    ],
)  # fmt: skip
def test_plain_amounts(text: str, found: str | None) -> None:
    assert read_amount(text) == (None if found is None else D(found))


def test_amounts_in_a_currency() -> None:
    assert read_money("+5", "USD").number == 5
    assert read_money("−5", "USD", negative=True).number == -5
    assert read_money("0", "USD").number == 0
    assert read_money("-0", "USD").number == 0
    assert read_money("7", "USD", least=D(7)).number == 7
    assert read_money("US$7", "USD").number == 7
    assert read_money("7 usd", "USD").number == 7
    assert read_money("¥120", "JPY").number == 120
    assert read_money(".50", "USD").number == D("0.50")
    assert read_money("-$.50", "USD", negative=True).number == D("-0.50")
    assert read_money(",50", "USD").number == D("0.50")
    assert read_money("Fr.50", "CHF").number == 50
    assert read_money("999999999999.99", "USD").number == D("999999999999.99")
    for text, what, mend in (
        ("", "No amount is written.", 'Write one like "120.00".'),
        ("lots", '"lots" is no amount.', 'Write it like "120.00".'),
        ("-5", "-5 is below zero.", "Write an amount above zero."),
        ("1000000000000", "1000000000000 is too large.", "Stay below 999999999999.99."),
        ("1.005", "1.005 is more precise than USD can be paid.", "Round it to a multiple of 0.01."),
        ("€40", '"€40" is not in USD.',
         "Write it in USD, converted at the rate of the day."),
        ("6.99", "6.99 is too little.", "The least is 7.00."),
    ):  # fmt: skip
        found = refused(read_money, text, "USD", least=D("7.00"))
        assert (found.what, found.mend) == (what, mend)
    assert refused(read_money, "", "JPY").mend == 'Write one like "120".'


def test_rates_of_the_day() -> None:
    old, young = DAY, DAY + dt.timedelta(days=1)
    rates = [Rate("EUR", "USD", D("1.25"), young), Rate("EUR", "USD", D("1.10"), old)]
    assert find_rate(rates, "EUR", "USD") == rates[0]
    back = find_rate(rates, "USD", "EUR")
    assert back == Rate("USD", "EUR", D("0.8"), young)
    assert find_rate(rates, "EUR", "JPY") is None
    assert find_rate([rates[0], Rate("USD", "EUR", D("0.5"), old)], "EUR", "USD") == rates[0]
    assert factor(rates, "JPY", "JPY") == 1
    assert convert(Amount.of("33.33", "EUR"), "USD", rates).number == D("41.66")  # 41.6625
    assert refused(factor, rates, "EUR", "JPY").what == "There is no rate from EUR to JPY."
    for wrong in (("EUR", "EUR", 1), ("EUR", "XQX", 1), ("XQX", "EUR", 1), ("EUR", "USD", 0)):
        refused(Rate, wrong[0], wrong[1], D(wrong[2]), DAY)
