"""Prices of pieces and options: the same piece costs the same everywhere, lines add up."""

import datetime as dt
import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.catalog import Pack, default_catalog
from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.charges import Delivery, Gas, Hire, SetUp, TakeDown
from airwright.job.studio import Pricing
from airwright.money.amount import cent
from airwright.money.lines import LineKind, line, sum_of
from airwright.money.tax import Tax
from airwright.plan.export import dumps
from airwright.plan.money import Costs, balance_part, payment_parts, reckon
from airwright.plan.planning import JobHasErrors, evaluate
from airwright.plan.values import OptionPlan, Plan
from tests.money.by_hand import dues
from tests.plan.samples import column, plan

TALL = (
    '\n[[pieces]]\nname = "Tall"\nkind = "column"\nheight = "7 ft"\n'
    'body = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
)


def with_options(*options: str, pieces: str = "", head: str = "", charges: str = "") -> str:
    text = column() + pieces + TALL
    text = text.replace('currency = "USD"', f'currency = "USD"\n{head}')
    for option in options:
        text += f"\n[[options]]\n{option}\n"
    return text + (f"\n[charges]\n{charges}\n" if charges else "")


ONE = 'name = "One"\npieces = ["Column"]'
BOTH = 'name = "Both"\npieces = ["Column", "Tall"]'


def studio(**tables: Any) -> Studio:
    return Studio(**tables)


def lines_of(option: OptionPlan) -> dict[str, Decimal]:
    return {one.kind.value: one.price for one in option.lines if one.piece is None}


def holds(made: Plan) -> None:
    for option in made.options:
        money = option.money
        assert sum_of(option.lines) == money.price > 0
        assert money.net + money.tax == money.total
        assert money.net - money.cost == money.margin
        parts = money.materials + money.labour + money.transport + money.rental + money.overhead
        assert parts + money.other == money.cost
        assert 0 <= money.deposit <= money.total


def test_a_piece_costs_the_same_in_every_option_and_at_every_venue() -> None:
    near = with_options(ONE, BOTH)
    far = near.replace('drive    = "22 km"', 'drive = "180 km"').replace('"10 m"', '"900 m"')
    upstairs = near.replace("[venue]", '[venue]\ncarry = "400 m"\nstairs = 6')
    upstairs = upstairs.replace("[job]\n", '[job]\nmade_by = "first time"\n', 1)
    hard = plan(upstairs)
    assert hard.options[0].hours > 1.4 * plan(near).options[0].hours
    outside = near.replace('"indoor"', '"open air"').replace('"0 m/s"', '"9 m/s"')
    prices: dict[str, set[Decimal]] = {}
    for text in (near, far, outside, upstairs):
        made = plan(text)
        holds(made)
        for option in made.options:
            for one in option.lines:
                if one.kind is LineKind.PIECE:
                    prices.setdefault(str(one.piece), set()).add(one.unit_price)
    assert set(prices) == {"Column", "Tall"}
    assert all(len(found) == 1 for found in prices.values())
    assert max(prices["Tall"]) > max(prices["Column"])


def test_two_equal_columns_cost_the_same_whatever_stands_beside_them() -> None:
    """The example in the issue: one identical column at 66.66 here and 275.00 there."""
    few, many = plan(with_options(ONE)), plan(with_options(BOTH))
    assert few.piece("Column").price == many.piece("Column").price


def test_an_option_says_how_many_of_each() -> None:
    made = plan(with_options(ONE, ONE.replace("One", "Five") + "\ncounts = { Column = 5 }"))
    one, five = made.options
    assert five.lines[0].quantity == 5
    assert five.lines[0].unit_price == one.lines[0].unit_price
    assert five.balloons == 5 * one.balloons
    assert made.piece("Column").count == 1
    taken = plan(
        with_options(ONE, ONE.replace("One", "Five") + "\ncounts = { Column = 5 }",
                     head='chosen = "Five"')
    )  # fmt: skip
    assert taken.piece("Column").count == 5
    assert taken.money == taken.options[1].money
    used = sum(need.used for need in taken.needs if need.size_in == 11)
    assert used == 5 * sum(row.count for row in taken.piece("Column").balloons if row.size_in == 11)


def test_what_comes_off_stands_on_its_own_line() -> None:
    text = with_options(
        BOTH,
        BOTH.replace("Both", "Tenth off") + "\ndiscount = 0.1",
        BOTH.replace("Both", "Thirty off") + "\namount_off = 30",
        BOTH.replace("Both", "Package") + '\npackage_price = 333\nprice_reason = "regular client"',
    )
    made = plan(text)
    holds(made)
    whole, tenth, thirty, package = made.options
    assert tenth.money.price == whole.money.price * Decimal("0.9")
    assert thirty.money.price == whole.money.price - 30
    assert package.money.price == 333
    assert package.lines[-1].reason == "regular client"
    for option in made.options:
        assert option.piece_prices == whole.piece_prices


def test_the_minimum_order_is_a_line() -> None:
    made = plan(with_options(ONE), studio(pricing=Pricing(minimum=Decimal(1000))))
    assert made.options[0].money.price == 1000
    assert made.options[0].lines[-1].kind is LineKind.MINIMUM


def test_quantity_price_leaves_the_unit_price() -> None:
    pricing = Pricing(quantity=["3: 5 %", "5: 10 %"])
    text = with_options(
        *(f'name = "{n}"\npieces = ["Column"]\ncounts = {{ Column = {n} }}' for n in (2, 3, 4, 6))
    )
    made = plan(text, studio(pricing=pricing))
    holds(made)
    each = made.options[0].lines[0].unit_price
    assert [option.piece_prices[0] for option in made.options] == [
        2 * each, 3 * each * Decimal("0.95"), 4 * each * Decimal("0.95"), 6 * each * Decimal("0.9")
    ]  # fmt: skip


@pytest.mark.parametrize(
    "wrong",
    ["discount = 1.0", "amount_off = 100000", "package_price = 0", "package_price = -5",
     "discount = -0.2", "amount_off = -1", "counts = { Column = 0 }"],
)  # fmt: skip
def test_prices_that_cannot_be_are_refused_in_words(wrong: str) -> None:
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job
    from airwright.plan.planning import make_plan

    reading = read_job(with_options(f"{ONE}\n{wrong}"), SPECS)
    if reading.job is None:
        assert [f.place for f in reading.findings if f.severity == "error"]
        assert all(f.mend for f in reading.findings)
        return
    with pytest.raises(JobHasErrors) as caught:
        make_plan(reading.job)
    refused = [f for f in caught.value.findings if f.severity == "error"]
    assert [f.code for f in refused] == ["no-price"]
    assert refused[0].place == "options[0]"


def test_a_price_by_hand_keeps_its_reason_and_warns_below_the_floor() -> None:
    text = with_options(ONE)
    cheap = text.replace('name = "Column"', 'name = "Column"\nprice = 22.5', 1)
    made = plan(cheap)
    price = made.piece("Column").price
    assert price is not None
    assert price.unit_price == Decimal("22.50")
    assert price.by_rule == plan(text).options[0].lines[0].unit_price
    found = {(f.code, f.place) for f in made.findings}
    assert ("below-floor", "pieces[0].price") in found
    assert ("no-price-reason", "pieces[0].price_reason") in found
    fair = text.replace(
        'name = "Column"', 'name = "Column"\nprice = 120\nprice_reason = "as last year"', 1
    )
    codes = {f.code for f in plan(fair).findings if f.place.startswith("pieces[0]")}
    assert not codes & {"below-floor", "no-price-reason"}


def test_delivery_by_distance_cost_flat_or_not_at_all() -> None:
    text = with_options(ONE)
    wanted = {"none": None, "flat": Decimal(40), "by distance": Decimal(80)}
    for rule, price in wanted.items():
        made = plan(text, studio(delivery=Delivery(rule=rule)))  # type: ignore[arg-type]
        assert lines_of(made.options[0]).get("delivery") == price
    by_cost = plan(text, studio(delivery=Delivery(rule="by cost")))
    assert lines_of(by_cost.options[0])["delivery"] > 40
    far = text.replace('drive    = "22 km"', 'drive = "100 km"')
    # 75.00 at 50 km and 50 km more at 1.50, two trips
    assert lines_of(plan(far).options[0])["delivery"] == 2 * (75 + 50 * Decimal("1.50"))
    three = plan(far + "\n[charges]\ntrips = 3\n")
    assert three.money.transport == plan(far).money.transport * 3 / 2
    once = plan(far + "\n[charges]\ntrips = 1\n")
    assert once.options[0].hours < plan(far).options[0].hours < three.options[0].hours
    assert lines_of(three.options[0])["delivery"] == 3 * 150


def test_charges_in_the_pieces_keep_piece_prices_equal() -> None:
    folded = studio(
        delivery=Delivery(show="in the pieces"),
        set_up=SetUp(show="in the pieces"),
        take_down=TakeDown(show="in the pieces"),
    )
    made = plan(with_options(ONE, BOTH), folded)
    holds(made)
    far = plan(with_options(ONE, BOTH).replace('"22 km"', '"300 km"'), folded)
    shown = plan(with_options(ONE, BOTH))
    for option in made.options:
        assert not set(lines_of(option)) & {"delivery", "set-up", "take-down"}
    prices = [m.piece("Column").price for m in (made, far)]
    assert prices[0] == prices[1]
    whole = shown.piece("Column").price
    assert whole is not None
    assert prices[0] is not None
    assert prices[0].unit_price > whole.unit_price


def test_gas_and_hire_may_stand_on_lines() -> None:
    bouquet = (
        '\n[[pieces]]\nname = "Bouquet"\nkind = "bouquet"\ncount = 2\n'
        'balloons = [{ balloon = "11in", count = 3, shades = ["coral"] }]\n'
    )
    text = with_options('name = "One"\npieces = ["Bouquet"]', pieces=bouquet)
    inside, beside = plan(text), plan(text, studio(gas=Gas(show="as a line")))
    assert "gas" in lines_of(beside.options[0])
    assert "gas" not in lines_of(inside.options[0])
    assert beside.options[0].piece_prices[0] < inside.options[0].piece_prices[0]
    hired = plan(with_options(ONE), studio(hire=Hire(show="as a line")))
    assert lines_of(hired.options[0])["hire"] > 0


def test_surcharges_and_permits() -> None:
    text = with_options(BOTH, charges='rush = "yes"\nout_of_hours = "yes"\npermits = 80')
    made = plan(text)
    holds(made)
    found = lines_of(made.options[0])
    pieces = made.options[0].pieces_price
    assert found["permits"] == 80
    assert made.options[0].money.other == 80
    assert found["rush"] == max(pieces * Decimal("0.20"), Decimal(50))
    assert found["out of hours"] >= 60
    by_hand = plan(with_options(ONE, charges='delivery = 12.5\nset_up = 0\nreason = "on our way"'))
    assert lines_of(by_hand.options[0])["delivery"] == Decimal("12.50")
    assert "set-up" not in lines_of(by_hand.options[0])


def test_work_at_night_costs_more_by_the_clock() -> None:
    late = with_options(BOTH).replace('strike   = "18:00"', 'strike = "23:30"')
    assert "out of hours" in lines_of(plan(late).options[0])
    assert "out of hours" not in lines_of(plan(with_options(BOTH)).options[0])


def test_prices_with_their_tax_and_clients_without() -> None:
    rate = Decimal("0.19")
    included = plan(with_options(ONE, BOTH), studio(pricing=Pricing(tax=rate, told="with tax")))
    holds(included)
    for option in included.options:
        assert option.money.price == option.money.total
        assert option.money.tax == pytest.approx(option.money.price * rate / (1 + rate), abs=1)
        assert option.money.margin == option.money.net - option.money.cost
    on_top = plan(with_options(ONE, BOTH), studio(pricing=Pricing(tax=rate)))
    holds(on_top)
    assert on_top.options[0].money.net == on_top.options[0].money.price
    free = plan(
        with_options(ONE, charges='tax = "exempt"\ntax_reason = "charity"'),
        studio(pricing=Pricing(tax=rate)),
    )
    assert free.options[0].money.tax == 0
    assert {one.tax.reason for one in free.options[0].lines} == {"charity"}


def test_several_rates_are_taxed_each_on_their_own_total() -> None:
    house = studio(
        pricing=Pricing(tax=Decimal("0.0825"), tax_reduced=Decimal("0.04")),
        delivery=Delivery(tax="exempt"),
        set_up=SetUp(tax="reduced"),
    )
    made = plan(with_options(BOTH + "\ndiscount = 0.07"), house)
    holds(made)
    sums: dict[Decimal, Decimal] = {}
    for one in made.options[0].lines:
        sums[one.tax.rate] = sums.get(one.tax.rate, Decimal(0)) + one.price
    assert len(sums) == 3
    expected = sum((base * rate).quantize(Decimal("0.01"), "ROUND_HALF_UP")
                   for rate, base in sums.items())  # fmt: skip
    assert made.options[0].money.tax == expected


def test_no_currency_is_taken_one_to_one() -> None:
    text = with_options(ONE).replace('"USD"', '"EUR"')
    with pytest.raises(JobHasErrors) as caught:
        plan(text.replace('"EUR"', '"KWD"'))  # a currency we have no starting rate of
    errors = [f for f in caught.value.findings if f.severity == "error"]
    assert {f.code for f in errors} == {"no-rate"}
    assert all("KWD" in f.mend for f in errors)
    pricing = Pricing(rates=["1 USD = 0.90 EUR on 2027-01-04"])
    euro, dollar = plan(text, studio(pricing=pricing)), plan(with_options(ONE))
    holds(euro)
    ours, theirs = euro.options[0].money, dollar.options[0].money
    assert ours.cost == pytest.approx(theirs.cost * Decimal("0.9"), abs=Decimal("0.05"))
    start = plan(text)  # nothing set: our starting prices at a starting rate, and a word about it
    told = [f for f in start.findings if f.code == "starting-rate"]
    assert len(told) == 1
    assert "0.93" in told[0].what
    assert start.options[0].money.cost == pytest.approx(
        theirs.cost * Decimal("0.93"), abs=Decimal("0.05")
    )
    own = Pricing(currency="EUR", rates=["1 EUR = 1.25 USD on 2027-01-04"])
    assert plan(text, studio(pricing=own)).options[0].money.labour == theirs.labour
    undated = Pricing(currency="EUR", catalog_rate=Decimal("0.9"))
    assert "undated-rate" in {f.code for f in plan(text, studio(pricing=undated)).findings}


def test_a_price_of_the_catalog_has_its_own_currency_and_day() -> None:
    """A bag told in euros costs as many euros in a job in euros, whatever the dollar is."""
    text = with_options(ONE).replace('currency = "USD"', 'currency = "EUR"')
    row = default_catalog().balloon("11in")
    packs = (Pack(count=100, price=Decimal("20.00")),)
    dear = row.model_copy(update={"packs": packs, "currency": "EUR",
                                  "priced_on": dt.date(2025, 1, 1)})  # fmt: skip
    own = Pricing(currency="EUR", rates=["1 EUR = 1.25 USD on 2026-06-01"])
    asked = studio(pricing=own, balloons=(dear,))
    found = evaluate(read_job(text, SPECS), asked, today=dt.date(2027, 1, 1))
    assert found.plan is not None
    need = next(one for one in found.plan.needs if one.item == "11in round balloon")
    assert need.unit_cost == Decimal("0.2")
    told = {one.code: one.what for one in found.findings}
    assert "2025-01-01" in told["old-prices"]
    assert "2026-06-01" in told["old-rate"]
    young = evaluate(read_job(text, SPECS), asked, today=dt.date(2025, 6, 1))
    assert {"old-prices", "old-rate"}.isdisjoint({one.code for one in young.findings})
    lost = dear.model_copy(update={"currency": "RWF"})
    refused = evaluate(read_job(text, SPECS), studio(pricing=own, balloons=(lost,)))
    assert refused.plan is None
    assert "RWF" in next(one.what for one in refused.findings if one.code == "no-rate")


def test_an_old_price_is_told_of_what_the_job_takes_and_of_nothing_else() -> None:
    """A letter of foil by its size; latex of a size that also begins a foil's name is not meant."""
    foils = (
        'kind = "foils"\non = "weights"\ntext = "40"\nsize = "34in"\nshades = ["coral"]\n'
        'height = "6 ft"\n'
    )
    text = column().split("[[pieces]]")[0] + f'[[pieces]]\nname = "Forty"\n{foils}'
    shelf = default_catalog()
    day = {"priced_on": dt.date(2025, 1, 1)}
    figure = shelf.balloon("34in foil figure").model_copy(update=day)
    latex = shelf.balloon("36in").model_copy(update={**day, "size": "34in"})
    for row, told in ((figure, True), (latex, False)):
        found = evaluate(
            read_job(text, SPECS), studio(balloons=(row,)), today=dt.date(2027, 1, 1)
        ).findings
        assert ("old-prices" in {one.code for one in found}) is told


def test_plan_json_tells_lines_that_add_up() -> None:
    whole = json.loads(dumps(plan(with_options(ONE, BOTH))))
    units: dict[str, set[str]] = {}
    for option in whole["options"]:
        assert sum(Decimal(one["price"]) for one in option["lines"]) == Decimal(option["price"])
        for one in option["lines"]:
            assert set(one) >= {"kind", "piece", "quantity", "unit_price", "price"}
            if one["kind"] == "piece":
                units.setdefault(one["piece"], set()).add(one["unit_price"])
    assert all(len(found) == 1 for found in units.values())
    told = {piece["name"]: piece["price"]["unit_price"] for piece in whole["pieces"]}
    assert {name: found.pop() for name, found in units.items()} == told


@given(
    st.tuples(*[st.decimals(0, 100_000, places=4)] * 5),
    st.lists(st.tuples(st.decimals("0.01", 9999, places=2), st.integers(1, 90)), min_size=1,
             max_size=9),
    st.decimals(0, "0.3", places=4),
    st.sampled_from(["before tax", "with tax"]),
    st.sampled_from(["USD", "JPY", "KWD"]),
)  # fmt: skip
@settings(deadline=None)
def test_costs_lines_tax_and_deposit_add_up(
    direct: tuple[Decimal, ...],
    cart: list[tuple[Decimal, int]],
    tax: Decimal,
    told: Any,
    currency: str,
) -> None:
    house = Studio(pricing=Pricing(tax=tax, told=told, currency=currency))
    lines = [
        line(LineKind.PIECE, "x", each, currency, quantity=Decimal(n), tax=Tax(tax))
        for each, n in cart
    ]
    money = reckon(currency, house, Costs(*direct), lines)
    parts = money.materials + money.labour + money.transport + money.rental + money.overhead
    assert parts + money.other == money.cost
    assert money.net - money.cost == money.margin
    assert money.net + money.tax == money.total
    assert money.price == sum_of(lines) == (money.net if told == "before tax" else money.total)
    assert 0 <= money.deposit <= money.total
    for amount in (money.cost, money.net, money.tax, money.total, money.deposit):
        assert amount == amount.quantize(cent(currency))


@pytest.mark.parametrize(
    ("charges", "today", "short"),
    [
        ("", dt.date(2027, 5, 14), False),  # 8 days before the event, 7 are short notice
        ("", dt.date(2027, 5, 15), True),
        ("", dt.date(2027, 5, 22), True),
        ("", dt.date(2027, 5, 23), False),  # it is over
        ("", None, False),
        ("ordered = 2027-03-01", dt.date(2027, 5, 20), False),
        ("ordered = 2027-05-20", dt.date(2027, 3, 1), True),
        ('rush = "no"', dt.date(2027, 5, 20), False),
        ('rush = "yes"', dt.date(2027, 3, 1), True),
    ],
)
def test_short_notice_counts_from_the_yes_or_today(
    charges: str, today: dt.date | None, short: bool
) -> None:
    """Days counted on a calendar; the event is on 22 May 2027."""
    reading = read_job(with_options(BOTH, charges=charges), SPECS)
    plan = evaluate(reading, Studio(), today=today).plan
    assert plan is not None
    assert plan.job.charges == reading.job.charges  # type: ignore[union-attr]
    kinds = {line.kind.value for line in plan.options[0].lines}
    assert ("rush" in kinds) is short


def test_the_rest_is_due_so_many_days_before_the_event() -> None:
    """Fourteen days before 22 May is 8 May, on any calendar."""
    terms = Studio().payment.model_copy(update={"balance_days": 14})
    studio = Studio().model_copy(update={"payment": terms})
    found = dues(
        Decimal("480.00"), "USD", payment_parts(studio), accepted=dt.date(2027, 3, 1),
        event=dt.date(2027, 5, 22), balance=balance_part(studio),
    )  # fmt: skip
    assert found == [
        ("Deposit", Decimal("240.00"), dt.date(2027, 3, 1)),
        ("Balance", Decimal("240.00"), dt.date(2027, 5, 8)),
    ]
