"""airwright buy as its users meet it: orders, JSON by its schema, what is short, refusals."""

from __future__ import annotations

import csv
import email
import io
import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from typer.testing import CliRunner, Result

from airwright.cli.app import app
from airwright.operations.buying.export import schema

RUNNER = CliRunner()
SUPPLIERS = """
format = "airwright-suppliers/1"
currency = "EUR"
[[suppliers]]
name      = "Quayside Supply"
lead_days = 3
minimum   = "40.00"
mail      = "orders@quayside.example"
freight   = [ { from = "0.00", price = "8.90" }, { from = "120.00", price = "0.00" } ]
rush      = { lead_days = 1, price = "25.00" }
[[suppliers.offers]]
item  = "11in round balloon"
shade = "coral"
colour = "#f0705a"
pack  = 100
price = "16.50"
breaks = [ { packs = 5, price = "15.00" } ]
[[suppliers.offers]]
item  = "11in round balloon"
pack  = 50
price = "9.50"
"""
NEEDS = (
    "item,shade,quantity,due\n11in round balloon,coral,430,2027-05-20\n"
    "11in round balloon,teal,70,2027-05-12\n"
)


def call(folder: Path, *more: str, needs: str = NEEDS, suppliers: str = SUPPLIERS) -> Result:
    (folder / "needs.csv").write_text(needs)
    (folder / "suppliers.toml").write_text(suppliers)
    return RUNNER.invoke(
        app,
        ["buy", "--needs", str(folder / "needs.csv"), "--suppliers",
         str(folder / "suppliers.toml"), "--today", "2027-05-03", *more],
    )  # fmt: skip


def answer(done: Result) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(done.stdout)
    jsonschema.validate(found, schema())
    return found


def test_the_answer_keeps_to_its_schema_and_adds_up(tmp_path: Path) -> None:
    jsonschema.Draft202012Validator.check_schema(schema())
    done = call(tmp_path, "--json")
    assert done.exit_code == 0, done.output
    found = answer(done)
    # 430 coral: 5 x 100 at the break, 75.00, beats 4 x 100 + 1 x 50, 75.50; 70 teal: 2 x 50,
    # 19.00; freight 8.90 stays cheaper than filling up to 120.00
    assert found["cost"] == found["bound"] == found["net"] == "102.90"
    assert (found["gap"], found["proven"], found["short"]) == (0.0, True, [])
    for order in found["orders"]:
        assert Decimal(order["goods"]) == sum(Decimal(line["price"]) for line in order["lines"])
        for line in order["lines"]:
            assert line["units"] == line["pack"] * line["packs"]
    assert Decimal(found["cost"]) == sum(
        Decimal(order["goods"]) + Decimal(order["freight"]) for order in found["orders"]
    )
    assert found["orders"][0]["order_on"] == "2027-05-07"
    assert found["orders"][0]["arrives_on"] == "2027-05-12"
    assert [row["quantity"] for row in found["left_over"]] == [70, 30]


def test_orders_are_written_as_pdf_mail_and_csv(tmp_path: Path) -> None:
    from pypdf import PdfReader

    done = call(tmp_path, "--out", str(tmp_path / "out"))
    assert done.exit_code == 0, done.output
    assert "proven cheapest" in done.output
    stem = tmp_path / "out" / "order-2027-05-07-quayside-supply"
    rows = list(csv.DictReader(io.StringIO(stem.with_suffix(".csv").read_text("utf-8-sig"))))
    assert [(row["shade"], row["packs"], row["price"]) for row in rows] == [
        ("coral", "5", "75.00"), ("teal", "2", "19.00"),
    ]  # fmt: skip
    text = "".join(page.extract_text() for page in PdfReader(stem.with_suffix(".pdf")).pages)
    text = text.replace("\u200b", "")
    for word in ("Quayside Supply", "Wednesday, May 12, 2027", "€94.00", "€8.90", "€102.90"):
        assert word in text
    mail = email.message_from_bytes(stem.with_suffix(".eml").read_bytes())
    assert mail["To"] == "orders@quayside.example"
    parts = [part.get_content_type() for part in mail.walk()]
    assert parts == ["multipart/mixed", "text/plain", "application/pdf"]
    assert json.loads((tmp_path / "out" / "buying.json").read_text())["cost"] == "102.90"
    again = call(tmp_path, "--out", str(tmp_path / "again"))
    assert again.exit_code == 0
    for file in sorted((tmp_path / "out").glob("[!.]*")):
        assert file.read_bytes() == (tmp_path / "again" / file.name).read_bytes()


def test_what_is_short_ends_with_1_and_the_ways_out(tmp_path: Path) -> None:
    needs = NEEDS + "11in round balloon,sand,10,2027-05-05\n"
    done = call(tmp_path, "--json", needs=needs)
    assert done.exit_code == 1
    found = answer(done)
    (short,) = found["short"]
    assert (short["shade"], short["quantity"], short["due"]) == ("sand", 10, "2027-05-05")
    kinds = {way["kind"]: way for way in short["remedies"]}
    assert set(kinds) == {"rush", "later day", "fewer"}
    assert "2027-05-06" in kinds["later day"]["what"]
    assert Decimal(kinds["later day"]["more"]) == Decimal("9.50")
    # by the quicker way everything may as well come: 103.50 goods, 8.90 and 25.00 freight
    assert Decimal(kinds["rush"]["more"]) == Decimal("34.50")
    assert [finding["code"] for finding in found["findings"]] == ["short"]


def test_substitutes_are_proposed_and_taken_only_with_leave(tmp_path: Path) -> None:
    extra = SUPPLIERS + (
        '[[suppliers.offers]]\nitem = "11in round balloon"\nshade = "blush"\ncolour = "#f0745e"\n'
        'pack = 100\nprice = "9.00"\n'
    )  # fmt: skip
    found = answer(call(tmp_path, "--json", suppliers=extra))
    (proposal,) = found["substitutes"]
    assert (proposal["shade"], proposal["instead"], proposal["applied"]) == (
        "coral",
        "blush",
        False,
    )
    assert 0 < proposal["delta_e"] < 5
    taken = answer(call(tmp_path, "--json", "--substitute", "coral=blush", suppliers=extra))
    assert Decimal(taken["cost"]) == Decimal(found["cost"]) - Decimal(proposal["saving"])
    assert [one["applied"] for one in taken["substitutes"]] == [True]


def test_stock_counts(tmp_path: Path) -> None:
    (tmp_path / "stock.toml").write_text(
        'format = "airwright-stock/1"\n[[lots]]\nitem = "11in round balloon"\nshade = "Teal"\n'
        'quantity = 70\nsince = 2027-03-01\n'
    )  # fmt: skip
    found = answer(call(tmp_path, "--json", "--stock", str(tmp_path / "stock.toml")))
    assert [line["shade"] for order in found["orders"] for line in order["lines"]] == ["coral"]


@pytest.mark.parametrize(
    ("more", "word"),
    [
        (("--today", "3 May"), "year-month-day"),
        (("--worth", "2"), "0 to 1"),
        (("--worth", "much"), "0 to 1"),
        (("--horizon", "-3"), "0 to 3650"),
        (("--wish", "cheap"), "few-suppliers"),
        (("--substitute", "coral"), "coral=peach"),
        (("--substitute", "puce=peach"), "puce"),
        (("--time", "25:00"), "14:30"),
        (("--stock", "/nowhere/stock.toml"), "no file"),
        (("--seconds", "0"), "600"),
    ],
)
def test_wrong_usage_ends_with_2(tmp_path: Path, more: tuple[str, ...], word: str) -> None:
    done = call(tmp_path, *more)
    assert done.exit_code == 2
    assert word in done.output


def test_wrong_files_end_with_1_and_their_findings(tmp_path: Path) -> None:
    broken = SUPPLIERS.replace('pack  = 100\n', "")  # fmt: skip
    done = call(tmp_path, "--json", suppliers=broken)
    assert done.exit_code == 1
    (finding,) = json.loads(done.stdout)["findings"]
    assert (finding["code"], finding["line"]) == ("missing", 11)
    done = call(tmp_path, needs="item,shade,quantity,due\na,b,c,d\n")
    assert done.exit_code == 1
    assert "needs.csv:2" in done.output


def test_a_day_past_a_shade_nobody_sells_and_a_long_lead_time_are_told(tmp_path: Path) -> None:
    only_coral = SUPPLIERS[: SUPPLIERS.rindex("[[suppliers.offers]]")]
    needs = NEEDS + "11in round balloon,coral,5,2027-05-01\n"
    done = call(tmp_path, "--json", needs=needs, suppliers=only_coral)
    assert done.exit_code == 1
    codes = {finding["code"]: finding for finding in answer(done)["findings"]}
    assert set(codes) == {"past-day", "short"}
    assert "Nobody sells" in codes["short"]["what"]
    slow = SUPPLIERS.replace("lead_days = 3", "lead_days = 60")
    found = answer(call(tmp_path, "--json", suppliers=slow))
    assert "lead-time" in {finding["code"] for finding in found["findings"]}


def test_neither_job_nor_needs_is_wrong_usage(tmp_path: Path) -> None:
    (tmp_path / "s.toml").write_text(SUPPLIERS)
    done = RUNNER.invoke(
        app, ["buy", "--suppliers", str(tmp_path / "s.toml"), "--today", "2027-05-03"]
    )
    assert done.exit_code == 2


def test_when_time_is_up_the_gap_is_told(tmp_path: Path) -> None:
    done = call(tmp_path, "--json", "--seconds", "0.1", "--holding", "0.3")
    found = answer(done)
    assert Decimal(found["bound"]) <= Decimal(found["net"])
    assert found["proven"] or found["gap"] >= 0


def test_a_wish_that_costs_more_than_habit_says_so(tmp_path: Path) -> None:
    """All from the one that sells both: 70.00 a bag of coral in place of 16.50 elsewhere."""
    dear = """
[[suppliers]]
name      = "Harbour Wholesale"
lead_days = 3
[[suppliers.offers]]
item  = "11in round balloon"
shade = "coral"
pack  = 100
price = "70.00"
[[suppliers.offers]]
item  = "11in round balloon"
shade = "plum"
pack  = 100
price = "15.00"
"""
    only_coral = SUPPLIERS.rpartition("[[suppliers.offers]]")[0].replace('"40.00"', '"0.00"')
    needs = (
        "item,shade,quantity,due\n11in round balloon,coral,100,2027-05-20\n"
        "11in round balloon,plum,100,2027-05-20\n"
    )
    wish = ["--wish", "few-suppliers", "--out", str(tmp_path / "orders")]
    done = call(tmp_path, *wish, needs=needs, suppliers=only_coral + dear)
    assert done.exit_code == 0, done.output
    # By habit 16.50 and 8.90 freight from one, 15.00 from the other: 40.40; 85.00 is 44.60 more.
    told = " ".join(done.output.split())
    assert "would cost €40.40 in 2 orders; this costs €44.60 more (110 %)." in told
    assert "together: €44.60 more (110 %)" in (tmp_path / "orders/saving.svg").read_text()
