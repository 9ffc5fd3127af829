"""The shopping list says what the plan needs, to the unit and the cent, and runs nothing."""

from __future__ import annotations

import csv
import io
import math
import re
from dataclasses import replace
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from airwright.job.models import Job
from airwright.job.reading import read_job
from airwright.job.studio import Studio
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import OnShelf
from airwright.papers.common.request import request_for
from airwright.papers.common.trade_words import item_word
from airwright.papers.shopping import make, shopping_of
from airwright.papers.shopping.list import csv_of, origin
from airwright.plan.planning import make_plan
from airwright.plan.values import Need, Plan
from tests.papers.plans import ARABIC, CJK, TODAY, example_plan, plan_with, studio_with
from tests.plan.samples import column
from tests.plan.samples import plan as planned

HEADS = 4
"""Row of the column heads, as a spreadsheet counts."""


def files_of(plan: Plan) -> tuple[bytes, bytes]:
    xlsx, table = make(request_for(plan, TODAY))
    assert (xlsx.path, table.path) == ("shopping.xlsx", "shopping.csv")
    return xlsx.data, table.data


def csv_rows(plan: Plan) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(files_of(plan)[1].decode("utf-8-sig"), newline="")))


def sheets(plan: Plan, *, values: bool) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(files_of(plan)[0]), data_only=values)


def balloons(plan: Plan) -> list[Need]:
    return [need for need in plan.needs if need.kind == "balloon"]


def cents(amount: Decimal, places: str = "0.01") -> Decimal:
    return amount.quantize(Decimal(places), rounding=ROUND_HALF_UP)


def to_pay(need: Need) -> Decimal:
    """What a need costs at the till, reckoned here from the plan alone."""
    if need.kind == "balloon":
        return sum((pack.price * pack.bags for pack in need.packs), Decimal(0))
    return Decimal(0) if need.reuses > 1 else need.unit_cost * Decimal(str(need.total))


class Calculator:
    """Just enough of a spreadsheet to work our formulas out anew, from the cells they name."""

    def __init__(self, book: openpyxl.Workbook) -> None:
        self.book = book

    def value(self, sheet: Worksheet, name: str) -> float:
        held: Any = sheet[name].value
        if isinstance(held, str) and held.startswith("="):
            return self.formula(sheet, held[1:])
        return 0.0 if held is None else float(held)

    def formula(self, sheet: Worksheet, text: str) -> float:
        def abroad(found: re.Match[str]) -> str:
            return repr(self.value(self.book[found[1]], found[2]))

        def column(found: re.Match[str]) -> str:
            letter, first, last = found[1], int(found[2]), int(found[3])
            return repr([self.value(sheet, f"{letter}{row}") for row in range(first, last + 1)])

        def cell(found: re.Match[str]) -> str:
            return repr(self.value(sheet, found[0]))

        text = re.sub(r"'([^']+)'!([A-Z]\d+)", abroad, text)
        text = re.sub(r"SUM\(([A-Z])(\d+):[A-Z](\d+)\)", lambda m: f"SUM({column(m)})", text)
        text = re.sub(r"\b[A-Z]\d+\b", cell, text)
        names = {"SUM": sum, "MAX": max, "ROUND": _round, "ROUNDUP": _round_up}
        return float(eval(text, {"__builtins__": {}}, names))  # our own formulas


def _round(value: float, places: int) -> float:
    return float(cents(Decimal(repr(value)), str(Decimal(1).scaleb(-places))))


def _round_up(value: float, _: int) -> float:
    return float(math.ceil(value - 1e-9))


@pytest.fixture(params=["example", "dear", "yen"])
def plan(request: pytest.FixtureRequest) -> Plan:
    if request.param == "example":
        return example_plan()
    if request.param == "yen":
        pricing = {"currency": "JPY", "catalog_rate": Decimal("151.37")}
        return plan_with(head={"currency": "JPY"}, studio=studio_with(pricing=pricing))
    pricing = {"currency": "EUR", "catalog_rate": Decimal("0.917")}
    return plan_with(head={"currency": "EUR"}, count=23, studio=studio_with(pricing=pricing))


def step(plan: Plan) -> str:
    return "1" if plan.job.job.currency == "JPY" else "0.01"


def test_csv_holds_every_need_to_the_unit_and_the_cent(plan: Plan) -> None:
    *rows, last = csv_rows(plan)
    assert len(rows) == len(plan.needs)
    for row, need in zip(rows, plan.needs, strict=True):
        assert (row["kind"], row["item"]) == (need.kind, need.item)
        assert row["shade"] == (need.shade or "")
        for name, value in (("used", need.used), ("spare", need.spare), ("total", need.total)):
            assert float(row[name]) == pytest.approx(value, abs=1e-9), (need.item, name)
        assert Decimal(row["price"]) == cents(to_pay(need), step(plan))
        assert row["source"] == ("own" if need.reuses > 1 else "buy")
    total = sum((cents(to_pay(need), step(plan)) for need in plan.needs), Decimal(0))
    assert Decimal(last["price"]) == total > 0
    assert last["currency"] == plan.job.job.currency


def test_bags_hold_what_is_needed_and_no_whole_bag_more(plan: Plan) -> None:
    for row, need in zip(csv_rows(plan), balloons(plan), strict=False):
        bags = [tuple(map(int, part.split(" x "))) for part in row["bags"].split(", ")]
        assert bags == [(pack.bags, pack.count) for pack in need.packs]
        held = sum(many * count for many, count in bags)
        assert int(row["bought"]) == held >= need.total
        assert int(row["left_over"]) == held - need.total


def test_csv_is_as_rfc_4180_has_it_with_a_mark_for_spreadsheets() -> None:
    data = files_of(example_plan())[1]
    assert data.startswith(b"\xef\xbb\xbf")
    assert data.count(b"\n") == data.count(b"\r\n") == len(example_plan().needs) + 2


def test_workbook_has_typed_numbers_and_the_plans_figures(plan: Plan) -> None:
    sheet = sheets(plan, values=True)["Balloons"]
    needs = balloons(plan)
    for at, need in enumerate(needs):
        cells = [cell.value for cell in sheet[HEADS + 1 + at]]
        assert cells[0] == str(item_word(need.item))
        assert cells[1:3] == [need.size_in, need.shade]
        assert cells[3:7] == [need.used, need.spare, need.total, 0]
        assert all(isinstance(cells[k], int | float) for k in (1, 3, 4, 5, 6, 8, 9, 10, 11))
        assert cells[10] == pytest.approx(float(need.unit_cost))
        assert cells[11] == pytest.approx(float(cents(to_pay(need), step(plan))), abs=1e-9)
    sums = [cell.value for cell in sheet[HEADS + 1 + len(needs)]]
    assert sums[3:6] == [
        sum(n.used for n in needs),
        sum(n.spare for n in needs),
        sum(n.total for n in needs),
    ]


def test_what_lies_on_the_shelf_is_not_bought(plan: Plan) -> None:
    """Fewer bags, never dearer, and the counts still add up; all of it there buys none."""
    bare = shopping_of(plan, TODAY)
    first = bare.balloons[0]
    goods = Goods.named(first.item, first.shade)
    for there in (1, first.total - 1, first.total, first.total + 50):
        held = shopping_of(plan, TODAY, {goods: OnShelf(there, ("shelf A",))})
        row = held.balloons[0]
        assert row.shelf == min(there, first.total)
        assert row.bought >= row.total - row.shelf
        assert row.left == row.bought + row.shelf - row.total
        assert row.price <= first.price
        assert held.balloons[1:] == bare.balloons[1:]
        assert held.price == bare.price - first.price + row.price
    assert (row.bags, row.price) == ((), 0)
    text = csv_of(held).decode("utf-8-sig")
    assert next(one for one in csv.DictReader(io.StringIO(text)))["source"] == "own"


def test_links_on_the_shelf_are_found_by_their_name() -> None:
    """A size of two words: "6in link" is listed as "6in link balloon"."""
    swags = (
        '[[pieces]]\nname = "Swags"\nkind = "ceiling"\nform = "swags"\nwidth = "12 ft"\n'
        'length = "10 ft"\nheight = "10 ft"\nsag = "1 ft"\nballoon = "6in link"\n'
        "shades = { coral = 1 }\n"
    )
    made = planned(column().split("[[pieces]]")[0] + swags)
    goods = Goods.named("6in link balloon", "coral")
    (row,) = shopping_of(made, TODAY, {goods: OnShelf(70, ("shelf A",))}).balloons
    assert (row.item, row.shelf) == ("6in link balloon", 70)
    assert 0 < row.bought < row.total


def test_formulas_worked_out_anew_give_the_values_beside_them(plan: Plan) -> None:
    book, cached = sheets(plan, values=False), sheets(plan, values=True)
    calculator = Calculator(book)
    count = 0
    for sheet in book.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    held = cached[sheet.title][cell.coordinate].value
                    found = calculator.value(sheet, cell.coordinate)
                    assert found == pytest.approx(held, abs=1e-6), (sheet.title, cell.value)
                    count += 1
    assert count > 4 * len(plan.needs)
    total = sum((cents(to_pay(need), step(plan)) for need in plan.needs), Decimal(0))
    assert calculator.value(book["Summary"], "B6") == pytest.approx(float(total), abs=1e-6)


def test_what_is_missing_on_the_shelf_is_counted_and_priced() -> None:
    book = sheets(example_plan(), values=False)
    sheet = book["Everything else"]
    owned = next(n for n in example_plan().needs if n.kind == "pole")
    row = next(c.row for c in sheet["A"] if c.value == owned.item)
    before = Calculator(book).value(book["Summary"], "B6")
    sheet[f"G{row}"] = owned.total - 3
    after = Calculator(book).value(book["Summary"], "B6")
    assert after - before == pytest.approx(3 * float(owned.unit_cost))


def test_print_setup_panes_and_money_format() -> None:
    for paper, number in (("A4", 9), ("Letter", 1)):
        pricing = {"currency": "KWD", "catalog_rate": Decimal("0.31")}
        studio = studio_with(house={"paper": paper}, pricing=pricing)
        plan = plan_with(studio=studio, head={"currency": "KWD"})
        for sheet in sheets(plan, values=False).worksheets:
            assert sheet.page_setup.paperSize == number
            assert sheet.page_setup.orientation == "landscape"
            fitting = sheet.sheet_properties.pageSetUpPr
            assert fitting is not None
            assert fitting.fitToPage  # one page wide, as many long
            assert sheet.page_setup.fitToHeight == 0
            if sheet.title == "Summary":
                continue
            assert sheet.freeze_panes == f"B{HEADS + 1}"
            assert sheet.print_title_rows == f"${HEADS}:${HEADS}"
            assert all(sheet.column_dimensions[c].width >= 6 for c in "ABCDEFGHIJKL")
        # ISO 4217: the Kuwaiti dinar has 1,000 fils, so three digits
        price = sheets(plan, values=False)["Balloons"][f"K{HEADS + 1}"]
        assert price.number_format == "[$KWD] #,##0.000"


RISKY = ["=1+1", "+SUM(A1)", "-2+3", "@cmd", '=HYPERLINK("http://x")']


def risky_job() -> Job:
    shades = "\n".join(f"'{name}' = \"#f0705a\"" for name in RISKY[:4])
    names = ", ".join(f"'{name}'" for name in RISKY[:4])
    text = f"""
format = "airwright-job/1"
[job]
title = '=1+1 & more, "quoted"'
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
{shades}
[[pieces]]
name = '{RISKY[4]}'
kind = "column"
height = "4 ft"
body = ["4 x 11in @ 9.5in"]
shades = [{names}]
"""
    from airwright.decor.pieces import SPECS

    reading = read_job(text, SPECS)
    assert reading.job is not None, reading.findings
    return reading.job


def test_names_that_look_like_formulas_stay_names() -> None:
    plan = make_plan(risky_job())
    assert {need.shade for need in balloons(plan)} == set(RISKY[:4])
    book = sheets(plan, values=False)
    names = {c.value: c.data_type for c in book["Balloons"]["C"]}
    assert {names[shade] for shade in RISKY[:4]} == {"s"}
    assert book["Summary"]["A2"].data_type == "s"
    pieces = [c for c in book["Summary"]["A"] if c.value == RISKY[4]]
    assert [c.data_type for c in pieces] == ["s"]
    for row in csv_rows(plan):
        for cell in row.values():
            assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert {row["shade"].removeprefix("'") for row in csv_rows(plan)[:4]} == set(RISKY[:4])


def test_any_script_survives_both_files() -> None:
    plan = plan_with([ARABIC, CJK, 'a, "b"; c'], head={"title": CJK})
    held = {c.value for c in sheets(plan, values=True)["Summary"]["A"]}
    assert {ARABIC, CJK, 'a, "b"; c'} <= held
    assert CJK in sheets(plan, values=True).properties.title


def test_equal_plans_give_equal_files() -> None:
    assert files_of(example_plan()) == files_of(plan_with_nothing_changed())


def plan_with_nothing_changed() -> Plan:
    from airwright.job.studio import Studio
    from airwright.plan.planning import assemble_plan
    from tests.papers.plans import built, example_job

    return assemble_plan(example_job(), Studio(), built(), today=TODAY)


def test_the_list_covers_the_scope_alone() -> None:
    options = [("Small", ["One"]), ("Large", ["Two", "Three"])]
    small = plan_with(options=options, head={"chosen": "Small"})
    model = shopping_of(small, TODAY)
    assert model.pieces == ("One",)
    assert sum(row.used for row in model.balloons if not row.item.startswith("260")) == len(
        small.piece("One").assembly
    )


def test_what_the_studio_counted_comes_off_its_shelf_and_the_rest_is_bought() -> None:
    """Closed form: 4 plates needed, 1 owned, 3 to buy at the plate's own price."""
    shipped = Studio().catalog().hardware["column base plate"]
    studio = Studio().model_copy(update={"hardware": (shipped.model_copy(update={"owned": 1.0}),)})
    plan = plan_with(["One", "Two", "Three", "Four"])
    plan = replace(plan, context=replace(plan.context, catalog=studio.catalog()))
    (row,) = [item for item in shopping_of(plan, TODAY).items if item.item == shipped.item]
    assert (row.total, row.shelf, row.buy) == (4.0, 1.0, 3.0)
    assert row.price == (3 * row.each).quantize(Decimal("0.01"), ROUND_HALF_UP)
    assert origin(row) == "own 1, buy 3"
    others = [item for item in shopping_of(plan, TODAY).items if item.lasts > 1 and item != row]
    assert others
    assert all(
        item.buy == 0 and item.price == 0 for item in others
    )  # never counted: taken as owned
