"""Rules of prices and of an offer's lines, each amount reckoned by hand in the test."""

from decimal import Decimal
from typing import Any

from airwright.job.charges import (
    Delivery,
    Gas,
    Hire,
    JobCharges,
    OutOfHours,
    Permits,
    Rush,
    SetUp,
    TakeDown,
)  # fmt: skip
from airwright.job.models import OptionSpec
from airwright.job.price_notes import DistanceBand, QuantityStep
from airwright.job.studio import Pricing, Studio
from airwright.money.charges import JobFacts, job_lines, trip_price
from airwright.money.lines import Line, LineKind, line
from airwright.money.options import PieceSale, option_lines, piece_lines
from airwright.money.price import (
    PieceCost,
    basis_of,
    direct_cost,
    net,
    piece_price,
    pointed,
    selling,
    tax_of,
)  # fmt: skip
from airwright.money.tax import Tax, TaxBasis, TaxCategory, net_of, tax_groups, tax_on
from tests.money.by_hand import REDUCED, STANDARD, D, refused

PRICING = Pricing(
    overhead=D("0.25"), margin=D("0.5"), line_margin=D("0.2"), price_step=D(5), tax=D("0.2"),
    tax_reduced=D("0.1"), minimum=D(0), labour_rate=D(30),
)  # fmt: skip
WITH_TAX = PRICING.model_copy(update={"told": "with tax"})


def test_what_a_price_is_made_of() -> None:
    cost = PieceCost(D(1), D(2), D(4), D(8), D(16), D(32))
    lines = {
        "gas": Gas(rule="by cost", show="as a line"),
        "hire": Hire(rule="by cost", show="as a line"),
        "set_up": SetUp(show="as a line"),
        "take_down": TakeDown(show="as a line"),
    }
    assert direct_cost(cost, Studio(**lines)) == 3
    for key, value in (("hire", 4), ("gas", 8), ("set_up", 16), ("take_down", 32)):
        inside = lines[key].model_copy(update={"show": "in the pieces"})
        assert direct_cost(cost, Studio(**{**lines, key: inside})) == 3 + value
        none = inside.model_copy(update={"rule": "none"})
        assert direct_cost(cost, Studio(**{**lines, key: none})) == 3


def test_from_cost_to_price() -> None:
    studio = Studio(pricing=PRICING, gas=Gas(show="as a line"), hire=Hire(show="as a line"))
    found = piece_price(PieceCost(materials=D("20.00")), studio, "USD")
    # 20 x 1.25 = 25; / 0.5 = 50
    assert (found.direct, found.full_cost, found.by_rule) == (D(20), D("25.00"), D("50.00"))
    assert (found.unit_price, found.net, found.margin) == (D(50), D(50), D(25))
    assert found.margin_share == D("0.5")
    assert not found.by_hand
    # told with tax: 50 x 1.2 = 60, of which 50 are the studio's
    told_with = piece_price(PieceCost(materials=D(20)), studio.model_copy(
        update={"pricing": WITH_TAX}), "USD")  # fmt: skip
    assert (told_with.by_rule, told_with.net) == (D(60), D(50))
    # delivery folded in by a tenth: 55
    folded = studio.model_copy(
        update={"delivery": Delivery(show="in the pieces", in_pieces=D("0.1"))}
    )
    assert piece_price(PieceCost(materials=D(20)), folded, "USD").by_rule == 55
    free = studio.model_copy(
        update={"delivery": Delivery(rule="none", show="in the pieces", in_pieces=D("0.1"))}
    )
    assert piece_price(PieceCost(materials=D(20)), free, "USD").by_rule == 50
    hand = piece_price(PieceCost(materials=D(20)), studio, "USD", by_hand=D("41.005"), reason="x")
    assert (hand.unit_price, hand.by_rule, hand.by_hand, hand.reason) == (
        D("41.01"), D(50), True, "x")  # fmt: skip
    wrong = refused(piece_price, PieceCost(), studio, "USD", by_hand=D("0.004"))
    assert wrong.what == "A price of 0.004 is none."


def test_margins_that_no_price_has() -> None:
    assert selling(D(60), D("0.4")) == 100
    assert selling(D(0), D(0)) == 0
    for cost, margin in ((1, 1), (1, "-0.01"), ("-0.01", "0.5")):
        refused(selling, D(cost), D(margin))


def test_price_points() -> None:
    assert pointed(D("50.01"), PRICING, "USD") == 55
    assert pointed(D(0), PRICING, "USD") == 5
    none = PRICING.model_copy(update={"price_step": D(0)})
    assert pointed(D("0.20"), none, "USD") == 1
    assert pointed(D("7.20"), none, "USD") == 8
    assert str(pointed(D("50.01"), PRICING, "USD")) == "55.00"
    below = PRICING.model_copy(update={"price_step": D(-5)})
    assert pointed(D("7.20"), below, "USD") == 8


def test_the_tax_behind_a_word() -> None:
    assert basis_of(PRICING) is TaxBasis.ON_TOP
    assert basis_of(WITH_TAX) is TaxBasis.INCLUDED
    named = PRICING.model_copy(update={"tax_name": "VAT"})
    assert tax_of(named) == Tax(D("0.2"), name="VAT")
    assert tax_of(named, "reduced") == Tax(D("0.1"), name="VAT")
    assert tax_of(named, "exempt") == Tax(category=TaxCategory.EXEMPT, name="VAT")
    assert tax_of(named, exempt="charity") == Tax(
        category=TaxCategory.EXEMPT, name="VAT", reason="charity")  # fmt: skip
    nothing = named.model_copy(update={"tax": D(0), "tax_reduced": D(0)})
    assert tax_of(nothing) == Tax(category=TaxCategory.OUTSIDE, name="VAT")
    half = named.model_copy(update={"tax_reduced": D(0)})
    assert tax_of(half, "reduced") == Tax(category=TaxCategory.ZERO_RATED, name="VAT")
    assert net(D(60), STANDARD, PRICING, "USD") == 60
    assert net(D(60), tax_of(PRICING), WITH_TAX, "USD") == 50


def test_taxes() -> None:
    assert Tax(D("0.0825")).percent == D("8.25")
    assert Tax(D("0.190")).key == ("S", D("0.19"))
    assert tax_on(D("9.99"), Tax(D("0.0825")), "USD") == D("0.82")
    assert net_of(D(120), Tax(D("0.2")), "USD") == 100
    assert net_of(D(100), STANDARD, "EUR") == D("84.03")
    groups = tax_groups([(D(1), STANDARD), (D(2), REDUCED), (D("3.33"), STANDARD)], "EUR")
    assert [(g.tax, g.base, g.amount) for g in groups] == [
        (STANDARD, D("4.33"), D("0.82")), (REDUCED, D(2), D("0.14"))]  # fmt: skip
    assert Tax(D(1)).rate == 1
    assert "reverse charge" in refused(Tax, D("0.1"), TaxCategory.REVERSE_CHARGE).what


FACTS = JobFacts(
    distance_m=22_000.0, road=D(20), set_up=D(10), take_down=D(5), gas=D(4), hire=D(3),
    pieces=D(400), early_or_late=False,
)  # fmt: skip
HOUSE = Studio(
    pricing=PRICING,
    delivery=Delivery(bands=["10 km: 0.00", "25 km: 40.00"], beyond=D("1.50")),
    gas=Gas(show="in the pieces"),
    hire=Hire(show="in the pieces"),
)


def lines_of(
    facts: JobFacts = FACTS, studio: Studio = HOUSE, **charges: Any
) -> dict[str, tuple[str, Decimal]]:
    found = job_lines(facts, JobCharges(**charges), studio, "USD")
    return {one.kind.value: (one.what, one.price) for one in found}


def test_the_usual_lines_beside_the_pieces() -> None:
    assert lines_of() == {
        "delivery": ("Delivery", D(80)),  # the band up to 25 km, two trips
        "set-up": ("Set-up on site", D(20)),  # 10 x 1.25 / 0.8 = 15.625
        "take-down": ("Take-down", D(10)),  # 5 x 1.25 / 0.8 = 7.8125
    }
    told_with = HOUSE.model_copy(update={"pricing": WITH_TAX})
    # 15.625 x 1.2 = 18.75; 7.8125 x 1.2 = 9.375; a delivery by distance is told as it is set
    assert lines_of(studio=told_with)["set-up"][1] == 20
    assert lines_of(studio=told_with)["take-down"][1] == 10
    paid = lines_of(studio=told_with, permits=D(30))
    assert paid["permits"] == ("Permits, parking and fees", D("36.00"))  # 30 x 1.2
    assert lines_of(permits=D("30.005"))["permits"][1] == D("30.01")
    not_passed = HOUSE.model_copy(update={"permits": Permits(rule="none")})
    assert "permits" not in lines_of(studio=not_passed, permits=D(30))


def test_delivery_in_every_way() -> None:
    def price(**rule: Any) -> Decimal | None:
        base = {"bands": ["10 km: 0.00", "25 km: 40.00"], "beyond": D("1.50"), **rule}
        made = lines_of(studio=HOUSE.model_copy(update={"delivery": Delivery(**base)}))
        return made["delivery"][1] if "delivery" in made else None

    assert price(rule="none") is None
    assert price(show="in the pieces") is None
    assert price(rule="flat", price=D("33.33")) == D("33.33")
    assert price(rule="by cost") == 35  # 20 x 1.25 / 0.8 = 31.25
    assert price(bands=["25 km: 0.00"]) is None
    assert price(bands=["25 km: 0.40"]) == 5  # 0.80, up to the next price point
    assert lines_of(trips=3)["delivery"][1] == 120
    assert lines_of(delivery=D("12.50"))["delivery"][1] == D("12.50")
    assert "delivery" not in lines_of(delivery=D(0))
    bands = [DistanceBand.parse(text) for text in ("25 km: 40", "10 km: 0")]
    # 1.234 km past the last band at 1.50
    assert trip_price(26_234.0, bands, D("1.50")) == D("41.851")


def test_work_at_a_flat_price_or_by_hand() -> None:
    flat = HOUSE.model_copy(
        update={
            "set_up": SetUp(rule="flat", price=D(33)),
            "take_down": TakeDown(rule="none"),
        }
    )
    assert lines_of(studio=flat)["set-up"] == ("Set-up on site", D(33))
    assert "take-down" not in lines_of(studio=flat)
    inside = HOUSE.model_copy(update={"set_up": SetUp(show="in the pieces")})
    assert "set-up" not in lines_of(studio=inside)
    made = job_lines(
        FACTS, JobCharges(set_up=D(7), take_down=D(6), reason="a friend"), inside, "USD"
    )
    assert [(one.price, one.reason) for one in made if one.kind is not LineKind.DELIVERY] == [
        (D(7), "a friend"), (D(6), "a friend")]  # fmt: skip
    nothing = JobFacts(0.0, D(0), D(0), D(0), D(0), D(0), D(0), early_or_late=False)
    assert lines_of(nothing) == {}


def test_gas_and_hire_on_lines() -> None:
    beside = HOUSE.model_copy(update={"gas": Gas(show="as a line"), "hire": Hire(show="as a line")})
    found = lines_of(studio=beside)
    assert found["gas"] == ("Helium", D(10))  # 4 x 1.25 / 0.8 = 6.25
    assert found["hire"] == ("Hire of hardware", D(5))  # 3 x 1.25 / 0.8 = 4.69
    assert "gas" not in lines_of()
    assert "hire" not in lines_of()
    none = HOUSE.model_copy(update={"gas": Gas(rule="none", show="as a line"),
                                    "hire": Hire(rule="none", show="as a line")})  # fmt: skip
    assert {"gas", "hire"}.isdisjoint(lines_of(studio=none))
    flat = HOUSE.model_copy(update={"hire": Hire(rule="flat", price=D(9), show="as a line")})
    assert lines_of(studio=flat)["hire"][1] == 9
    empty = JobFacts(22_000.0, D(20), D(10), D(5), D(0), D(0), D(400), early_or_late=False)
    assert {"gas", "hire"}.isdisjoint(lines_of(empty, beside))
    assert "hire" not in lines_of(empty, flat)


def test_surcharges() -> None:
    rules = {
        "out_of_hours": OutOfHours(share=D("0.15"), price=D(60)),
        "rush": Rush(share=D("0.201"), price=D(50), days=7),
    }
    house = HOUSE.model_copy(update=rules)
    found = lines_of(studio=house, out_of_hours="yes", rush="yes")
    assert found["out of hours"] == ("Work out of usual hours", D(60))  # 15 % of 400
    assert found["rush"] == ("Short notice", D(85))  # 20.1 % of 400: 80.40
    small = JobFacts(0.0, D(0), D(0), D(0), D(0), D(0), D(100), early_or_late=True)
    # 15 and 20.10 are less than the least
    made = lines_of(small, house, rush="yes")
    assert (made["out of hours"][1], made["rush"][1]) == (60, 50)
    assert "out of hours" not in lines_of(small, house, out_of_hours="no")
    for days, told_short in ((None, False), (-1, False), (0, True), (7, True), (8, False)):
        facts = JobFacts(0.0, D(0), D(0), D(0), D(0), D(0), D(100), False, days)
        assert ("rush" in lines_of(facts, house)) is told_short
        assert "rush" not in lines_of(facts, house, rush="no")
    flat = HOUSE.model_copy(update={"rush": Rush(rule="flat", price=D("12.34"))})
    assert lines_of(studio=flat, rush="yes")["rush"][1] == D("12.34")
    none = HOUSE.model_copy(update={"rush": Rush(rule="none")})
    assert "rush" not in lines_of(studio=none, rush="yes")


def test_each_line_bears_its_own_tax() -> None:
    house = HOUSE.model_copy(
        update={
            "delivery": Delivery(rule="flat", price=D(9), tax="reduced"),
            "set_up": SetUp(tax="exempt"),
            "rush": Rush(rule="flat", price=D(8), tax="reduced"),
            "gas": Gas(show="as a line", tax="reduced"),
            "hire": Hire(show="as a line", tax="exempt"),
            "permits": Permits(tax="reduced"),
        }
    )
    charges = JobCharges(rush="yes", permits=D(5))
    taxes = {one.kind.value: one.tax for one in job_lines(FACTS, charges, house, "USD")}
    low, none = tax_of(PRICING, "reduced"), tax_of(PRICING, "exempt")
    assert taxes == {
        "delivery": low, "set-up": none, "take-down": tax_of(PRICING), "rush": low, "gas": low,
        "hire": none, "permits": low,
    }  # fmt: skip
    free = JobCharges(tax="exempt", tax_reason="charity")
    assert {one.tax.reason for one in job_lines(FACTS, free, house, "USD")} == {"charity"}


def spec(**changes: Any) -> OptionSpec:
    return OptionSpec(name="x", pieces=["x"], **changes)


def test_pieces_and_what_comes_off() -> None:
    rules = PRICING.model_copy(
        update={"quantity": [QuantityStep.parse("3: 5 %"), QuantityStep.parse("10: 12.5 %")]}
    )
    sales = [
        PieceSale("Column", 3, D("33.30"), STANDARD, "as last year"),
        PieceSale("Arch", 1, D(200), REDUCED),
    ]
    pieces = piece_lines(sales, rules, "EUR")
    assert pieces == (
        Line(LineKind.PIECE, "Column", D(3), D("33.30"), D("99.90"), "Column", STANDARD,
             "as last year"),
        # 5 % of 99.90: 4.995, half up
        Line(LineKind.QUANTITY, "5 % off 3 × Column", D(1), D("-5.00"), D("-5.00"), "Column",
             STANDARD),
        Line(LineKind.PIECE, "Arch", D(1), D("200.00"), D("200.00"), "Arch", REDUCED),
    )  # fmt: skip
    # a tenth of 294.90 is 29.49, shared over 94.90 and 200.00 as 99.90 and 200.00 stand above zero:
    # 29.49 x 99.90 / 299.90 = 9.8235, 29.49 x 200 / 299.90 = 19.6665
    tenth = option_lines(pieces, (), spec(discount=D("0.1"), price_reason="friends"), rules, "EUR")
    assert [(one.kind, one.what, one.price, one.tax, one.reason) for one in tenth[3:]] == [
        (LineKind.DISCOUNT, "Discount 10 %", D("-9.82"), STANDARD, "friends"),
        (LineKind.DISCOUNT, "Discount 10 %", D("-19.67"), REDUCED, "friends"),
    ]
    both = option_lines(pieces, (), spec(discount=D("0.1"), amount_off=D(5)), rules, "EUR")
    assert {one.what for one in both[3:]} == {"Discount"}
    assert sum(one.price for one in both[3:]) == D("-34.49")
    package = option_lines(
        pieces, (), spec(package_price=D("250.005"), price_reason="regular"), rules, "EUR"
    )
    assert {(one.kind, one.what, one.reason) for one in package[3:]} == {
        (LineKind.PACKAGE, "Package price", "regular")}  # fmt: skip
    assert sum(one.price for one in package) == D("250.01")
    same = option_lines(pieces, (), spec(package_price=D("294.90")), rules, "EUR")
    assert same == pieces


def test_whole_yen_come_off() -> None:
    yen = (line(LineKind.PIECE, "x", D(110), "JPY", tax=STANDARD),)
    # 5 % of 110 is 5.5, half up: 6; of 3.4 more 3
    off = option_lines(yen, (), spec(discount=D("0.05"), amount_off=D("3.4")), PRICING, "JPY")
    assert off[1].price == -9
    least = PRICING.model_copy(update={"minimum": D("120.4")})
    assert option_lines(yen, (), spec(), least, "JPY")[1].price == 10
    package = option_lines(yen, (), spec(package_price=D("99.5")), PRICING, "JPY")
    assert package[1].price == -10


def test_the_minimum_order_and_what_is_refused() -> None:
    least = PRICING.model_copy(update={"minimum": D(100)})
    one = (line(LineKind.PIECE, "x", D(60), "USD", tax=STANDARD),)
    made = option_lines(one, (), spec(), least, "USD")
    assert [(row.kind, row.what, row.price) for row in made[1:]] == [
        (LineKind.MINIMUM, "Up to our minimum order", D(40))]  # fmt: skip
    assert option_lines(one, (), spec(), least, "USD", minimum=False) == one
    one_more = option_lines(one, (), spec(), least.model_copy(update={"minimum": D(61)}), "USD")
    assert one_more[1].price == 1
    enough = (line(LineKind.PIECE, "x", D(100), "USD", tax=STANDARD),)
    assert option_lines(enough, (), spec(), least, "USD") == enough
    assert option_lines((), (), spec(), least, "USD") == ()
    # what is left of 60.00 after 59.99
    assert option_lines(one, (), spec(amount_off=D("59.99")), PRICING, "USD")[1].price == D(
        "-59.99"
    )
    gone = refused(option_lines, one, (), spec(amount_off=D(60)), PRICING, "USD")
    assert gone.what == "60.00 is taken off a price of 60.00."
    loose = spec().model_copy(update={"package_price": D("0.004")})
    assert refused(option_lines, one, (), loose, PRICING, "USD").what == (
        "A package price of 0.004 is none.")  # fmt: skip
    for key in ("discount", "amount_off"):
        below = spec().model_copy(update={key: D("-0.01")})
        assert refused(option_lines, one, (), below, PRICING, "USD").what == (
            "A discount below zero is none.")  # fmt: skip
