"""Prices in the desk: rules typed in settings, a price by hand, and what was left in the end."""

from __future__ import annotations

import tomllib
from decimal import Decimal

from bs4 import BeautifulSoup

from tests.desk.conftest import TODAY, House


def test_bands_rates_and_steps_are_typed_one_a_line(house: House) -> None:
    visitor = house.visitor()
    page = visitor.page("/studio")
    bands = page.select_one("""textarea[name='f:["delivery", "bands"]']""")
    assert bands is not None
    assert "25 km: 40.00" in str(bands["placeholder"])
    sent = {
        'f:["delivery", "bands"]': "12 km: 0\n40 km: 33.50",
        'f:["pricing", "quantity"]': "5: 10 %",
        'f:["pricing", "rates"]': "1 EUR = 1.08 USD on 2027-01-04",
        'f:["payment", "instalments"]': "25 %, 60 days before the event",
    }
    assert visitor.post("/studio", sent).status_code == 303
    kept = visitor.page("/studio").select_one("""textarea[name='f:["delivery", "bands"]']""")
    assert kept is not None
    assert kept.get_text().strip() == "12 km: 0\n40 km: 33.50"
    wrong = visitor.post("/studio", {'f:["delivery", "bands"]': "forty"})
    assert wrong.status_code == 422
    assert "distance with its price" in wrong.text
    visitor.post("/studio/studio.toml", {"text": 'format = "airwright-studio/1"\n'})


def test_settings_are_folded_but_where_something_is_wrong(house: House) -> None:
    visitor = house.visitor()

    def opened(page: BeautifulSoup) -> list[str]:
        return [str(s.get_text()) for s in page.select("details.settings[open] > summary h2")]

    assert opened(visitor.page("/studio")) == ["Who you are", "Prices"]
    wrong = visitor.post("/studio", {'f:["delivery", "bands"]': "forty"})
    again = BeautifulSoup(wrong.text, "html.parser")
    assert opened(again) == ["Who you are", "Prices", "Delivery"]


def test_no_help_repeats_its_label(house: House) -> None:
    for field in house.visitor().page("/studio").select(".settings .field"):
        label, help_ = field.select_one("label"), field.select_one(".help")
        assert label is not None
        assert help_ is None or help_.get_text().rstrip(".") != label.get_text()


def test_work_times_are_told_in_american_english(house: House) -> None:
    words = house.visitor().page("/studio/times").get_text()
    assert "meter" in words
    assert "metre" not in words


def test_a_price_by_hand_is_kept_with_its_reason(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    offer, terms = f"/jobs/{job_id}/offer", f"/jobs/{job_id}/options/terms"

    def told() -> str:
        found = visitor.page(offer).select_one(".option .grand dd")
        return str(found.get_text()) if found is not None else ""

    by_rule = told()
    form = {"index": "0", "count:Swirl column": "3", "package_price": "455,50", "reason": "regular"}
    assert visitor.post(terms, form).status_code == 303
    assert told() == "$455.50"
    option = tomllib.loads(house.text_of(job_id))["options"][0]
    assert option["counts"] == {"Swirl column": 3}
    assert (option["package_price"], option["price_reason"]) == (455.5, "regular")
    for wrong in ({"package_price": "-5"}, {"package_price": "0"}, {"package_price": "€9"},
                  {"discount": "95"}, {"count:Swirl column": "0"}, {"index": "77"}):  # fmt: skip
        assert visitor.post(terms, {**form, **wrong}).status_code == 422, wrong
    assert told() == "$455.50"
    back = {
        "index": "0",
        "count:Swirl column": "2",
        "package_price": "",
        "discount": "",
        "reason": "",
    }
    assert visitor.post(terms, back).status_code == 303
    assert told() == by_rule
    assert set(tomllib.loads(house.text_of(job_id))["options"][0]) == {"name", "pieces"}
    assert visitor.post(terms, {**back, "discount": "10 %"}).status_code == 303
    cut = Decimal(told().lstrip("$").replace(",", ""))
    assert cut == Decimal(by_rule.lstrip("$").replace(",", "")) * Decimal("0.9")


def test_the_price_of_one_piece_by_hand_holds_in_every_option(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    offer, address = f"/jobs/{job_id}/offer", f"/jobs/{job_id}/pieces/price"

    def line() -> tuple[str, str]:
        form = visitor.page(offer).select(".piece-prices form")[0]
        head = form.select_one(".money-now").get_text()  # type: ignore[union-attr]
        return head, form.select_one("output").get_text()  # type: ignore[union-attr]

    by_rule, _ = line()
    cost = Decimal(str(visitor.page(offer).select(".piece-prices form")[0]["data-cost"]))
    form = {"index": "0", "piece": "Swirl column", "price": "35,50", "reason": "a friend's firm"}
    assert visitor.post(address, form).status_code == 303
    left = Decimal("35.50") - cost
    share = int((100 * left / Decimal("35.50")).to_integral_value())
    shown = f"-${-left:,.2f}" if left < 0 else f"${left:,.2f}"
    assert line()[0] == "$35.50"
    assert line()[1].startswith(f"{shown} left, {share} %")
    assert "below your floor" in line()[1]
    assert "2 × Swirl column" in visitor.page(offer).get_text(" ")
    piece = tomllib.loads(house.text_of(job_id))["pieces"][0]
    assert (piece["price"], piece["price_reason"]) == (35.5, "a friend's firm")
    for wrong in ({"price": "-5"}, {"price": "0"}, {"price": "€9"}, {"index": "9"},
                  {"piece": "Another"}):  # fmt: skip
        assert visitor.post(address, {**form, **wrong}).status_code == 422, wrong
    assert visitor.post(address, {**form, "price": ""}).status_code == 303
    assert line()[0] == by_rule
    assert not {"price", "price_reason"} & set(tomllib.loads(house.text_of(job_id))["pieces"][0])


def test_the_day_of_the_yes_is_kept_for_the_notice(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    visitor.get(f"/jobs/{job_id}/offer")
    assert visitor.post(f"/jobs/{job_id}/choose", {"name": "Classic"}).status_code == 303
    assert tomllib.loads(house.text_of(job_id))["charges"]["ordered"] == TODAY
    assert visitor.post(f"/jobs/{job_id}/choose", {"name": ""}).status_code == 303
    assert "ordered" not in house.text_of(job_id)


def test_a_job_exactly_as_planned_shows_exactly_the_planned_margin(house: House) -> None:
    """With tax on top, too: it comes in with the money and is not earned."""
    job_id, visitor = house.job(), house.visitor()
    paid = f"/jobs/{job_id}/outcome"
    visitor.post("/studio", {'f:["pricing", "tax"]': "8 %"})

    def rows() -> dict[str, list[str]]:
        return {row.th.get_text(): [td.get_text() for td in row.find_all("td")]  # type: ignore[union-attr]
                for row in visitor.page(paid).select("table.beside tbody tr")}  # fmt: skip

    def number(text: str) -> Decimal:
        return Decimal(text.lstrip("-").lstrip("$").replace(",", ""))

    before = rows()
    told = number(before["Price without tax"][0]) + number(before["Tax, not yours"][0])
    for kind, amount in (
        ("bought", number(before["Materials"][0])),
        ("spent", number(before["Driving and other spending"][0])),
        ("received", told),
    ):
        assert visitor.post(paid, {"kind": kind, "amount": str(amount)}).status_code == 303
    after = rows()
    assert after["Left over"][1] == after["Left over"][0] == before["Left over"][0]
    assert after["Tax, not yours"][1] == after["Tax, not yours"][0]
    visitor.get("/studio")
    visitor.post("/studio/studio.toml", {"text": 'format = "airwright-studio/1"\n'})
