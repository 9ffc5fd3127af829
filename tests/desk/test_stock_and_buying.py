"""The shelf and buying as hands use them: orders for the book's jobs, parcels, counts."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from decimal import Decimal
from importlib.resources import files
from pathlib import Path

import pytest
from bs4 import BeautifulSoup

from airwright.operations.buying.supplier_file import read_suppliers
from airwright.operations.buying.values import Wish
from tests.desk.conftest import House, Visitor

SEASON = files("airwright.job.examples").joinpath("season")
SUPPLIERS = SEASON.joinpath("suppliers.toml").read_text("utf-8")
JOBS = ("1-timetable-launch", "2-bakery-opening")
SEASON_JOBS = ("3-rowing-club-prize-day", "5-captains-wedding")


def job_text(name: str) -> str:
    return SEASON.joinpath("jobs", f"{name}.toml").read_text("utf-8")


@pytest.fixture
def house(tmp_path: Path) -> Iterator[House]:
    """A desk of its own for each test: the shelf must start empty."""
    made = House(f"sqlite:///{tmp_path / 'desk.db'}")
    yield made
    made.desk.database.close()


@pytest.fixture
def visitor(house: House) -> Visitor:
    """At a desk with two booked jobs and two suppliers."""
    for name in JOBS:
        job = house.job(job_text(name))
        house.visitor().post(f"/jobs/{job}/stage", {"stage": "booked"})
    found = house.visitor()
    saved = found.post("/buying/suppliers", {"text": SUPPLIERS, "version": "0"})
    assert saved.status_code == 303, saved.text[:600]
    return found


def orders(visitor: Visitor) -> list[dict[str, str]]:
    page = visitor.page("/buying?horizon=120")
    return [
        {field["name"]: field.get("value", "") for field in form.find_all("input")}
        for form in page.find_all("form", action="/buying/orders")
    ]


def fields(form: BeautifulSoup) -> dict[str, str]:
    return {field["name"]: field.get("value", "") for field in form.find_all("input")}


def test_without_suppliers_the_way_is_shown(house: House) -> None:
    assert "First, your suppliers" in house.visitor().page("/buying").get_text()


def test_a_wrong_price_list_is_told_and_changes_nothing(house: House) -> None:
    visitor = house.visitor()
    broken = SUPPLIERS.replace('price = "16.50"', 'price = "0.00"', 1)
    answer = visitor.post("/buying/suppliers", {"text": broken, "version": "0"})
    assert answer.status_code == 422
    assert "would cost nothing" in answer.text
    assert "line" in answer.text
    assert "First, your suppliers" in visitor.page("/buying").get_text()


def test_two_hands_do_not_overwrite_each_other(visitor: Visitor) -> None:
    answer = visitor.post("/buying/suppliers", {"text": SUPPLIERS, "version": "0"})
    assert answer.status_code == 409
    assert "Somebody else changed the suppliers first" in answer.text


def test_from_need_to_shelf(visitor: Visitor) -> None:
    found = orders(visitor)
    assert found
    text = visitor.page("/buying?horizon=120").get_text()
    assert "Proven: nothing is cheaper" in text
    assert "this saves" in text
    mark = found[0]["mark"]
    pdf = visitor.get(f"/buying/orders/{mark}.pdf?horizon=120")
    assert pdf.content.startswith(b"%PDF")
    assert (
        "text/csv" in visitor.get(f"/buying/orders/{mark}.csv?horizon=120").headers["content-type"]
    )
    assert visitor.get("/buying/orders/0123.pdf").status_code >= 400
    for one in found:
        assert visitor.post("/buying/orders", one).status_code == 303
    # sent twice is sent once, and what is on its way is not ordered again
    assert visitor.post("/buying/orders", found[0]).status_code == 303  # the first answer again
    anew = {name: value for name, value in found[0].items() if name != "once"}
    assert visitor.post("/buying/orders", anew).status_code >= 400
    page = visitor.page("/buying?horizon=120")
    assert "Nothing has to be ordered" in page.get_text()
    links = [a["href"] for a in page.find_all("a", href=re.compile("/buying/purchases/"))]
    assert len(links) == len(found)
    for link in links:
        assert "Sent Mon 1 Mar 2027, due here" in visitor.page(link).get_text()  # this very day
        form = visitor.page(link).find("form", action=f"{link}/receive")
        assert form is not None
        sent = {**fields(form), "place": "shelf A"}
        assert visitor.post(f"{link}/receive", sent).status_code == 303
        assert visitor.post(f"{link}/receive", sent).status_code == 303
        assert "received" in visitor.page(link).get_text()
    stock = visitor.page("/stock")
    row = next(
        r
        for r in stock.find_all("tr")
        if "11in round balloon coral" in " ".join(r.get_text(" ").split())
    )
    counts = [cell.get_text() for cell in row.find_all("td")]
    assert counts[0].isdecimal()
    assert counts[3] == "0"
    assert counts[5] == "shelf A"


def test_counting_posts_the_difference_once(visitor: Visitor) -> None:
    form = visitor.page("/stock").find("form", action="/stock/lots")
    assert form is not None
    put = {**fields(form), "item": "Pole", "quantity": "12", "place": "wall"}
    put.pop("opened", None)
    for _ in range(2):
        assert visitor.post("/stock/lots", put).status_code == 303
    page = visitor.page("/stock/count?place=wall")
    (count,) = page.find_all("form", action=re.compile("/stock/lots/.*/count"))
    sent = {**fields(count), "seen": "11"}
    for _ in range(2):
        assert visitor.post(count["action"], sent).status_code == 303
    assert "-1" in visitor.page("/stock/goods?item=Pole").get_text()
    (move,) = visitor.page("/stock/goods?item=Pole").find_all("form", action=re.compile("/move"))
    too_many = visitor.post(move["action"], {**fields(move), "kind": "taken", "quantity": "12"})
    assert too_many.status_code >= 400
    assert "Only 11 are there" in too_many.text
    gone = visitor.post(move["action"], {**fields(move), "kind": "taken", "quantity": "2"})
    assert gone.status_code == 303
    assert "9 there" in visitor.page("/stock/goods?item=Pole").get_text()


def test_a_job_reserves_and_takes(visitor: Visitor) -> None:
    visitor.post("/stock/lots", {"item": "11in round balloon", "shade": "coral", "quantity": "900"})
    page = visitor.page("/stock/jobs")
    (reserve, *_) = page.find_all("form", action=re.compile("/stock/jobs/.*/reserve"))
    for _ in range(2):
        assert visitor.post(reserve["action"], fields(reserve)).status_code == 303
    job = reserve["action"].split("/")[3]
    told = " ".join(visitor.page("/stock/jobs").get_text(" ").split())
    assert re.search(r"(\d+) pieces needed, \1 reserved, 0 taken", told), told
    before = orders(visitor)
    assert before, "a job's own promises do not hide its needs"
    (take, *_) = visitor.page("/stock/jobs").find_all("form", action=f"/stock/jobs/{job}/take")
    for _ in range(2):
        assert visitor.post(take["action"], fields(take)).status_code == 303
    told = " ".join(visitor.page("/stock/jobs").get_text(" ").split())
    taken = re.search(r"needed, \d+ reserved, (\d+) taken", told)
    assert taken is not None
    assert 0 < int(taken[1]) < 900


def test_a_bar_code_is_tied_once_and_found_again(visitor: Visitor) -> None:
    visitor.post("/stock/lots", {"item": "11in round balloon", "shade": "coral", "quantity": "40"})
    page = visitor.page("/stock/count?code=4006381333931")
    assert "This code is new" in page.get_text()
    tied = {"code": "4006381333931", "goods": "11in round balloon|coral"}
    assert visitor.post("/stock/codes", tied).status_code == 303
    page = visitor.page("/stock/count?code=4006381333931")
    assert "11in round balloon" in page.get_text()


@pytest.mark.parametrize(
    ("sent", "word"),
    [
        ({"item": "", "quantity": "3"}, "item is missing"),
        ({"item": "Pole", "quantity": "many"}, "no number"),
        ({"item": "Pole", "quantity": "0"}, "no number"),
        ({"item": "Pole", "quantity": "3", "paid": "cheap"}, "no amount"),
        ({"item": "Pole", "quantity": "3", "good_until": "soon"}, "no date"),
    ],
)
def test_wrong_fields_are_told(house: House, sent: dict[str, str], word: str) -> None:
    answer = house.visitor().post("/stock/lots", sent)
    assert 400 <= answer.status_code < 500
    assert word in answer.text


LIST = (
    "Article;Colour;Bag;Our price\n11in round balloon;coral;100;$13.90\n"
    "5in round balloon;;50;4,20\n"
)


def pick(visitor: Visitor, text: str) -> object:
    return visitor.post(
        "/buying/price-list",
        {"supplier": "Quayside Supply"},
        files={"file": ("list.csv", text.encode(), "text/csv")},
    )


def test_columns_of_a_price_list_are_asked_once_and_remembered(visitor: Visitor) -> None:
    asked = BeautifulSoup(pick(visitor, LIST).text, "html.parser")  # type: ignore[attr-defined]
    form = asked.find("form", action="/buying/price-list")
    assert form is not None
    chosen = {
        select["name"]: next((o.get_text() for o in select.find_all("option", selected=True)), "")
        for select in form.find_all("select")
    }
    assert chosen["column-item"] == "Article"
    assert chosen["column-price"] == ""
    told = {**fields(form), **chosen, "column-price": "Our price", "column-pack": "Bag"}
    assert visitor.post("/buying/price-list", told).status_code == 303
    text = visitor.page("/buying/suppliers").find("textarea").get_text()  # type: ignore[union-attr]
    assert 'price = "13.90"' in text
    assert 'price = "4.20"' in text
    again = pick(visitor, LIST.replace("13.90", "12.90"))
    assert again.status_code == 303  # type: ignore[attr-defined]
    wrong = pick(visitor, LIST.replace("$13.90", "free"))
    assert wrong.status_code == 422  # type: ignore[attr-defined]
    assert "line 2" in wrong.text  # type: ignore[attr-defined]
    euros = pick(visitor, LIST.replace("$13.90", "€13.90"))
    assert euros.status_code == 422  # type: ignore[attr-defined]


def test_a_near_shade_is_taken_only_after_a_tick(visitor: Visitor) -> None:
    """What is ticked can only make the orders cheaper, and goes back by one press."""
    head = "[[suppliers.offers]]"
    shell = f'{head}\nitem = "11in round balloon"\nshade = "shell"\ncolour = "#e9d6b8"\n'
    near = SUPPLIERS.replace(head, f'{shell}pack = 10\nprice = "0.10"\n\n{head}', 1)
    kept = visitor.post("/buying/suppliers", {"text": near, "version": "1"})
    assert kept.status_code == 303, kept.text[:400]

    def cost() -> Decimal:
        return to_pay(visitor.page("/buying?horizon=120"))

    before = cost()
    page = visitor.page("/buying?horizon=120")
    forms = page.select("form[action='/buying/substitutes']")
    assert forms
    saving = re.search(r"saves \S([\d.]+)", forms[0].find_parent("li").get_text())  # type: ignore[union-attr]
    assert visitor.post("/buying/substitutes", fields(forms[0])).status_code == 303
    again = visitor.post("/buying/substitutes", fields(forms[0]))  # twice is once
    assert again.status_code == 303
    after = cost()
    if saving is not None and len(forms[0].find_parent("li").select("form")) == 1:  # type: ignore[union-attr]
        assert before - after >= Decimal(saving[1])
    assert after <= before
    undo = visitor.page("/buying?horizon=120").select("form[action$='/undo']")
    assert len(undo) == 1
    assert visitor.post(str(undo[0]["action"])).status_code == 303
    assert cost() == before
    lost = visitor.post("/buying/substitutes", {**fields(forms[0]), "job": "nobody"})
    assert lost.status_code == 404
    assert visitor.post("/buying/substitutes", {"job": "x"}).status_code == 422


def test_a_yes_reserves_and_an_offer_wishes(house: House) -> None:
    """Softly while it is offered, firmly once it is accepted, and never twice."""
    visitor = house.visitor()
    job = house.job(job_text(JOBS[0]))
    visitor.get("/stock")
    put = {"item": "11in round balloon", "shade": "coral", "quantity": "5", "key": "first"}
    assert visitor.post("/stock/lots", put).status_code == 303

    def promised() -> tuple[int, int]:
        rows = visitor.page("/stock").select("tbody tr")
        coral = next(row for row in rows if "11in" in row.text and "coral" in row.text)
        cells = [cell.get_text() for cell in coral.select("td")]
        return int(cells[1]), int(cells[2])

    assert promised() == (0, 0)
    visitor.post(f"/jobs/{job}/stage", {"stage": "offered"})
    firm, soft = promised()
    assert firm == 0 < soft
    for _ in range(2):
        visitor.post(f"/jobs/{job}/stage", {"stage": "accepted"})
        assert promised() == (soft, 0)
    visitor.post(f"/jobs/{job}/stage", {"stage": "booked"})
    assert promised() == (soft, 0)
    visitor.post(f"/jobs/{job}/stage", {"stage": "offered"})  # not after all
    assert promised() == (0, soft)
    visitor.post(f"/jobs/{job}/stage", {"stage": "drawn"})
    assert promised() == (0, 0)
    visitor.post(f"/jobs/{job}/stage", {"stage": "accepted"})
    assert promised() == (soft, 0)
    visitor.post(f"/jobs/{job}/remove")  # a job that is gone holds nothing
    assert promised() == (0, 0)


def test_what_is_left_of_a_job_comes_back(visitor: Visitor, house: House) -> None:
    """As movements of that job, never more than it took, and once however often it is pressed."""
    put = {"item": "11in round balloon", "shade": "coral", "quantity": "60", "key": "first"}
    assert visitor.post("/stock/lots", put).status_code == 303
    page = visitor.page("/stock/jobs")
    take = next(f for f in page.select("form[action$='/take']"))
    job = str(take["action"]).split("/")[-2]
    assert visitor.post(str(take["action"]), fields(take)).status_code == 303
    address = f"/stock/jobs/{job}/back"
    form = visitor.page(address).select_one(f"form[action='{address}']")
    assert form is not None
    box = str(form.select_one("input[name^=back-]")["name"])  # type: ignore[index]
    out = int(re.search(r"Of (\d+) taken", form.get_text())[1])  # type: ignore[index]
    assert out > 7
    for wrong in ("", "-1", "some", str(out + 1)):
        answer = visitor.post(address, {**fields(form), box: wrong})
        assert answer.status_code in (400, 422), wrong
    for _ in range(2):
        assert visitor.post(address, {**fields(form), box: "7"}).status_code == 303
    assert f"Of {out - 7} taken" in visitor.page(address).get_text()
    row = next(r for r in visitor.page("/stock").select("tbody tr") if "coral" in r.text)
    assert int(row.select("td")[0].get_text()) == 60 - out + 7
    history = visitor.page("/stock/goods?item=11in round balloon&shade=coral").get_text(" ")
    assert "brought back" in history
    visitor.post(f"/jobs/{job}/stage", {"stage": "settled"})  # it may still come back then
    assert visitor.page("/stock/jobs").select(f"a[href='{address}']")


def test_a_call_hears_what_it_adds_to_the_orders(visitor: Visitor) -> None:
    """What lies on the shelf adds nothing; what is bought beside others costs less than alone."""
    page = visitor.page("/enquiry")
    design = next(str(i["name"]) for i in page.select("input[name^='design:']"))
    call = {"client": "Pier Inn", design: "1", "date": "2027-05-20"}
    words = visitor.post("/enquiry/order", call).text
    assert "orders" in words
    assert re.search(r"\d", words)
    assert visitor.post("/enquiry/order", {**call, "date": ""}).text.strip() == ""


def test_prices_are_learnt_from_the_delivery_note(visitor: Visitor) -> None:
    assert visitor.post("/buying/orders", orders(visitor)[0]).status_code == 303
    page = visitor.page("/buying?horizon=120")
    link = str(page.find("a", href=re.compile("/buying/purchases/"))["href"])  # type: ignore[index]
    row = next(li for li in visitor.page(link).select(".count-list li") if "11in" in li.text)
    old = row.select_one("input[name^=paid-]")
    assert old is not None
    ordered = str(old["placeholder"]).lstrip("$")
    sent = fields(visitor.page(link).find("form", action=f"{link}/receive"))  # type: ignore[arg-type]
    wrong = visitor.post(f"{link}/receive", {**sent, str(old["name"]): "€3"})
    assert wrong.status_code == 422
    assert visitor.post(f"{link}/receive", {**sent, str(old["name"]): "17,77"}).status_code == 303
    text = visitor.page("/buying/suppliers").select_one("textarea").text  # type: ignore[union-attr]
    before, after = tomllib.loads(SUPPLIERS), tomllib.loads(text)
    changed = [
        (one["price"], other["price"])
        for mine, theirs in zip(before["suppliers"], after["suppliers"], strict=True)
        for one, other in zip(mine["offers"], theirs["offers"], strict=True)
        if one != other
    ]
    assert changed == [(ordered, "17.77")]


def form_of(page: BeautifulSoup) -> dict[str, str]:
    """What a browser would send back of a supplier's form, nothing touched."""
    form = page.select_one("form[action='/buying/supplier']")
    assert form is not None
    found = {}
    for field in form.find_all("input"):
        if field.get("type") != "checkbox" or field.has_attr("checked"):
            found[str(field["name"])] = str(field.get("value", ""))
    return found | {str(a["name"]): a.text for a in form.find_all("textarea")}


def test_suppliers_are_written_in_a_form(visitor: Visitor) -> None:
    """A form left as it was changes nothing; a change keeps the rest, comments too."""
    before = read_suppliers(SUPPLIERS.encode()).table
    assert before is not None
    for row in before.suppliers:
        form = form_of(visitor.page(f"/buying/supplier?name={row.name}"))
        assert visitor.post("/buying/supplier", form).status_code == 303
    text = visitor.page("/buying/suppliers").select_one("textarea").text  # type: ignore[union-attr]
    assert read_suppliers(text.encode()).table == before
    assert text.splitlines()[0] == SUPPLIERS.splitlines()[0]  # a comment

    form = form_of(visitor.page(f"/buying/supplier?name={before.suppliers[0].name}"))
    assert form["freight"] == "0.00: 8.90\n120.00: 0.00"
    new = int(form["lines"]) - 1
    changes = {"freight": "0 kg: 7.50\n5 kg: 12", "item:0": "", "shade:0": "", "pack:0": "",
               "price:0": "", "breaks:0": "", "available:0": "", "colour:0": "",
               f"item:{new}": "9in round balloon", f"pack:{new}": "50", f"price:{new}": "6,20",
               f"breaks:{new}": "3: 5.90, 10: 5.50", "late": "7",
               "priced_on": "2025-01-05"}  # fmt: skip
    assert visitor.post("/buying/supplier", {**form, **changes}).status_code == 303
    text = visitor.page("/buying/suppliers").select_one("textarea").text  # type: ignore[union-attr]
    after = read_suppliers(text.encode()).table
    assert after is not None
    row, old = after.suppliers[0], before.suppliers[0]
    assert row.offers[:-1] == old.offers[1:]
    assert row.offers[-1].price == Decimal("6.20")
    assert [step.packs for step in row.offers[-1].breaks] == [3, 10]
    assert [step.from_weight for step in row.freight] == [0.0, 5.0]
    assert after.suppliers[1:] == before.suppliers[1:]
    assert "of 2025-01-05" in visitor.page("/buying?horizon=120").get_text()  # old prices are told


WRONG = (
    {"name": ""}, {"usual": "soon"}, {"minimum": "€5"}, {"freight": "free"}, {"cutoff": "25:00"},
    {"price:0": "0"}, {"price:0": "-3"}, {"pack:0": "some"}, {"breaks:0": "5"},
    {"breaks:0": "5: 99"}, {"priced_on": "soon"}, {"item:0": ""}, {"holidays": "XX"},
    {"colour:0": "red"},
)  # fmt: skip


def test_a_wrong_supplier_is_told_and_changes_nothing(house: House) -> None:
    visitor = house.visitor()
    assert visitor.post("/buying/suppliers", {"text": SUPPLIERS, "version": "0"}).status_code == 303
    form = form_of(visitor.page("/buying/supplier?name=Quayside Supply"))
    for wrong in WRONG:
        answer = visitor.post("/buying/supplier", {**form, **wrong})
        assert answer.status_code == 422, wrong
        page = BeautifulSoup(answer.text, "html.parser")
        assert page.select(".finding-error"), wrong
        kept, own = form_of(page), ("token", "once")
        assert {k: v for k, v in kept.items() if k not in own} == {
            k: v for k, v in {**form, **wrong}.items() if k not in own
        }
    after = visitor.page("/buying/suppliers").select_one("textarea").text  # type: ignore[union-attr]
    assert after.strip() == SUPPLIERS.strip()


def test_the_first_supplier_begins_the_file_and_the_last_one_ends_it(house: House) -> None:
    visitor = house.visitor()
    form = form_of(visitor.page("/buying/supplier"))
    first = {"name": "Quayside Supply", "item:0": "11in round balloon", "pack:0": "100",
             "price:0": "16.50"}  # fmt: skip
    assert visitor.post("/buying/supplier", {**form, **first}).status_code == 303
    assert "Quayside Supply" in visitor.page("/buying/suppliers").get_text()
    del form["once"]  # not a second press: somebody else was there meanwhile
    assert visitor.post("/buying/supplier", {**form, **first}).status_code == 422  # the same name
    other = {**first, "name": "Tideway"}
    assert visitor.post("/buying/supplier", {**form, **other}).status_code == 409
    gone = {"name": "Quayside Supply", "version": "1"}
    assert visitor.post("/buying/supplier/remove", gone).status_code == 303
    assert "First, your suppliers" in visitor.page("/buying").get_text()


def suppliers_in(page: BeautifulSoup) -> list[str]:
    """Who is ordered from, an entry an order."""
    forms = page.find_all("form", action="/buying/orders")
    return [form.find_parent("section").h2.get_text() for form in forms]


def test_wishes_are_ticked_planned_with_and_kept(visitor: Visitor, house: House) -> None:
    """As `test_wishes_are_met_before_the_price` of buying, but by the page's own fields."""
    for name in SEASON_JOBS:
        job = house.job(job_text(name))
        house.visitor().post(f"/jobs/{job}/stage", {"stage": "booked"})
    page = visitor.page("/buying?horizon=200")
    boxes = page.select("form[action='/buying'] input[name=wish]")
    assert {box["value"] for box in boxes} == set(Wish)
    assert not page.select("input[name=wish][checked]")
    assert "Planned with" not in page.get_text()
    assert len(set(suppliers_in(page))) == 2

    few = visitor.page("/buying?horizon=200&wish=few-suppliers&wish=season")
    text = " ".join(few.get_text().split())
    assert (
        "Planned with: as few suppliers as possible, one order a supplier for the season." in text
    )
    assert "Proven: with these wishes nothing is cheaper." in text
    assert len(suppliers_in(few)) == 1
    assert to_pay(few) > to_pay(page)
    ticked = {box["value"] for box in few.select("input[name=wish][checked]")}
    assert ticked == {"few-suppliers", "season"}

    order = few.find("form", action="/buying/orders")
    assert order is not None
    paper = few.find("a", href=re.compile(r"\.csv\?"))
    assert paper is not None
    assert visitor.get(str(paper["href"])).status_code == 200  # the very order that was seen
    sent = visitor.post("/buying/orders", fields(order))
    assert sent.status_code == 303
    after = visitor.page(sent.headers["location"])
    assert {box["value"] for box in after.select("input[name=wish][checked]")} == ticked


def to_pay(page: BeautifulSoup) -> Decimal:
    """The sum above the orders."""
    head = page.select_one("#sum")
    found = re.search(r"[\d,.]+", "" if head is None else head.get_text())
    assert found is not None
    return Decimal(found[0].replace(",", ""))


def test_a_wish_that_is_none_is_told(visitor: Visitor) -> None:
    answer = visitor.get("/buying?wish=cheap")
    assert answer.status_code == 422
    text = BeautifulSoup(answer.text, "html.parser").get_text()
    assert '"cheap" is no wish that orders are planned with.' in text
    assert "Choose from: few-suppliers, no-half-bags, season." in text
    order = orders(visitor)[0]
    wrong = visitor.post("/buying/orders", {**order, "wish": "few-suppliers cheap"})
    assert wrong.status_code == 422
    assert visitor.post("/buying/orders", order).status_code == 303  # nothing was sent before
