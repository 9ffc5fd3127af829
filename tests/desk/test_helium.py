"""Cylinders on the desk: their dials in litres, rent by the day, and what a hand gets wrong."""

from __future__ import annotations

import re

import pytest

from tests.desk.conftest import House, Visitor

CAME = {"name": "No. 7", "size": "50 L", "gauge": "200 bar", "since": "2027-02-20", "paid": "1,50",
        "place": "shed", "key": "came-seven"}  # fmt: skip


@pytest.fixture
def visitor(house: House) -> Visitor:
    made = house.visitor()
    made.get("/stock/helium")
    return made


def test_a_cylinder_from_its_coming_to_its_return(visitor: Visitor) -> None:
    """50 L at 200 bar hold about 9.1 m³ (suppliers' tables): near 320 cubic feet at 15 °C.

    From 20 February to 1 March 2027 are ten days, both counted.
    """
    for _ in range(2):  # the same form twice is one cylinder
        assert visitor.post("/stock/helium", CAME).status_code == 303
    page = visitor.page("/stock/helium")
    (row,) = page.select("li.card")
    text = " ".join(row.get_text(" ").split())
    assert "rent so far $15.00" in text
    full = gas(text)
    assert full == pytest.approx(320, rel=0.05)
    address = str(row.select("form[action$='/reading']")[0]["action"])
    assert visitor.post(address, {"gauge": "1450", "key": "half-of-it"}).status_code == 303  # psi
    half = gas(" ".join(visitor.page("/stock/helium").select("li.card")[0].get_text(" ").split()))
    assert half == pytest.approx(full / 2, rel=0.08)
    assert visitor.post(address.replace("reading", "returned")).status_code == 303
    assert "No cylinder is here" in visitor.get("/stock/helium").text
    late = visitor.post(address, {"gauge": "10 bar", "key": "too-late"})
    assert late.status_code == 400
    assert "went back already" in late.text


def gas(text: str) -> float:
    found = re.search(r"([\d.,]+) ft³ left", text)
    assert found is not None, text
    return float(found[1].replace(",", ""))


@pytest.mark.parametrize(
    "wrong",
    [{"gauge": "-5 bar"}, {"gauge": "900 bar"}, {"gauge": "much"}, {"size": "1 ml"},
     {"size": ""}, {"name": ""}, {"paid": "cheap"}, {"since": "soon"}],
)  # fmt: skip
def test_wrong_words_are_told(visitor: Visitor, wrong: dict[str, str]) -> None:
    answer = visitor.post("/stock/helium", {**CAME, "key": "wrong-one", **wrong})
    assert answer.status_code == 422
    assert "No cylinder is here" in visitor.get("/stock/helium").text


def test_the_condition_of_hardware_is_kept_with_its_history(visitor: Visitor) -> None:
    put = {"item": "steel base", "quantity": "4", "key": "bases-came", "condition": ""}
    assert visitor.post("/stock/lots", put).status_code == 303
    shown = "/stock/goods?item=steel+base&shade="
    form = visitor.page(shown).select_one("form[action$='/condition']")
    assert form is not None
    said = {"condition": "one is bent", "key": "bent-one"}
    assert visitor.post(str(form["action"]), said).status_code == 303
    text = visitor.page(shown).get_text(" ")
    assert "one is bent" in text
    assert "condition: one is bent" in text
    assert "4 there" in text
