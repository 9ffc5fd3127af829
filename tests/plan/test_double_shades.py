"""One balloon in another, anywhere in a job: both are bought, weighed, timed and told."""

from __future__ import annotations

import csv
import datetime as dt
import io
from collections import Counter

import pytest

from airwright.catalog import default_catalog
from airwright.decor.assembly import Shade
from airwright.decor.double import colour_seen
from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.findings import Finding
from airwright.job.writing import write_job
from airwright.papers.make_sheet.model import make_sheet_of
from airwright.plan.balloon_list import balloon_list
from airwright.plan.planning import evaluate
from airwright.plan.values import Plan
from airwright.units import INCH_M

HEAD = """\
format = "airwright-job/1"
[job]
title = "Two in one"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
coral = "#f0705a"
white = "#f7f5f0"
clear = { colour = "#eef3f5", finish = "clear" }
"""
COLUMN = """
[[pieces]]
name = "Column"
kind = "column"
height = "6 ft"
body = ["4 x 11in @ 9.5in"]
"""
SHELL = HEAD + 'shell = { inside = "coral", outside = "white" }\n'
NAMED = SHELL + COLUMN
PLAIN = HEAD + COLUMN + 'shades = ["white"]\n'
DOUBLE = NAMED + 'shades = ["shell"]\n'
TODAY = dt.date(2027, 3, 1)
CATALOG = default_catalog()


def planned(text: str) -> Plan:
    whole = evaluate(read_job(text, SPECS), Studio(), today=TODAY)
    assert whole.plan is not None, whole.findings
    return whole.plan


def errors(text: str) -> list[Finding]:
    found = evaluate(read_job(text, SPECS), Studio(), today=TODAY).findings
    return [one for one in found if one.severity == "error"]


def used(plan: Plan) -> Counter[str | None]:
    return Counter({n.shade: int(n.used) for n in plan.needs if n.kind == "balloon"})


def test_both_balloons_are_bought_and_both_have_spares() -> None:
    plan, plain = planned(DOUBLE), planned(PLAIN)
    many = used(plain)["white"]
    assert used(plan) == {"white": many, "coral": many}
    assert all(need.spare > 0 for need in plan.needs if need.kind == "balloon")


def test_mass_doubles_and_stuffing_takes_time() -> None:
    two, one = planned(DOUBLE).pieces[0], planned(PLAIN).pieces[0]
    rubber = len(one.assembly) * CATALOG.balloon("11in").mass_g / 1000
    assert two.mass_kg - one.mass_kg == pytest.approx(rubber)
    (stuffing,) = [line for line in two.work if line.operation == "stuff balloon"]
    minutes = CATALOG.operation("stuff balloon").minutes * (1 + CATALOG.allowance)
    assert stuffing.hours == pytest.approx(len(one.assembly) * minutes / 60)
    assert not [line for line in one.work if line.operation == "stuff balloon"]


def test_the_colour_is_that_of_two_films() -> None:
    shade = planned(DOUBLE).context.shades["shell"]
    row = CATALOG.balloon("11in")
    outside, inside = Shade("white", "#f7f5f0"), Shade("coral", "#f0705a")
    assert shade.colour == colour_seen(outside, inside, row, row.usual_in * INCH_M)
    other = planned(DOUBLE.replace('inside = "coral", outside = "white"',
                                   'inside = "white", outside = "coral"'))  # fmt: skip
    assert other.context.shades["shell"].colour != shade.colour


def test_through_a_clear_balloon_the_inner_one_is_seen() -> None:
    shade = planned(DOUBLE.replace('outside = "white"', 'outside = "clear"')).context.shades[
        "shell"
    ]
    assert (shade.finish, shade.inner, shade.bags) == ("clear", "coral", ("clear", "coral"))


def test_it_may_be_written_in_place_anywhere() -> None:
    pair = '{ inside = "coral", outside = "white" }'
    inline = HEAD + COLUMN + f"shades = [{pair}]\n"
    inline += f'topper = {{ balloon = "24in @ 22in", shade = {pair}, tie = "260" }}\n'
    plan = planned(inline)
    sizes = Counter({(n.size_in, n.shade): int(n.used) for n in plan.needs if n.kind == "balloon"})
    assert sizes[24.0, "coral"] == sizes[24.0, "white"] == 1
    assert sizes[11.0, "coral"] == sizes[11.0, "white"] == len(plan.pieces[0].assembly) - 1
    assert sizes[2.0, "white"] == 1  # the tie is one balloon, in the shade outside
    again = read_job(write_job(plan.job), SPECS).job
    assert again == plan.job


def test_lists_and_sheets_name_both() -> None:
    plan = planned(DOUBLE)
    rows = list(csv.DictReader(io.StringIO(balloon_list(plan))))
    assert {(row["shade"], row["outside"], row["inside"]) for row in rows} == {
        ("shell", "white", "coral")
    }
    plain = list(csv.DictReader(io.StringIO(balloon_list(planned(PLAIN)))))
    assert {(row["shade"], row["outside"], row["inside"]) for row in plain} == {
        ("white", "white", "")
    }
    sheet = make_sheet_of(plan, TODAY)
    assert "coral inside white" in {str(row.role) for row in sheet.pieces[0].sizes}
    assert sheet.techniques[:2] == ("size", "stuff")


def test_a_floating_one_carries_two_skins() -> None:
    piece = """
[[pieces]]
name = "Bouquet"
kind = "bouquet"
height = "8 ft"
balloons = [{ balloon = "17in @ 15in", shades = ["SHADE"] }]
"""
    two, one = (planned(SHELL + piece.replace("SHADE", name)) for name in ("shell", "white"))
    lines = [plan.pieces[0].floats[0] for plan in (two, one)]
    assert lines[0].balloon_kg == pytest.approx(2 * lines[1].balloon_kg)
    assert lines[0].gross_lift_kg == pytest.approx(lines[1].gross_lift_kg)


@pytest.mark.parametrize(
    ("shade", "code", "place"),
    [
        ('{ inside = "shell", outside = "white" }', "shade-in-itself", "shades.shell.inside"),
        ('{ inside = "coral", outside = "twin" }', "shade-in-itself", "shades.shell.outside"),
        ('{ inside = "corall", outside = "white" }', "unknown-shade", "shades.shell.inside"),
        ('{ inside = "coral" }', "missing", "shades.shell.outside"),
        ('{ inside = "coral", outside = "white", colour = "#ffffff" }', "unknown-key",
         "shades.shell.colour"),
        ('{ inside = 3, outside = "white" }', None, "shades.shell.inside"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_with_place_and_cure(
    shade: str, code: str | None, place: str
) -> None:
    text = DOUBLE.replace('{ inside = "coral", outside = "white" }', shade)
    text = text.replace("[shades]\n", '[shades]\ntwin = { inside = "white", outside = "coral" }\n')
    found = [one for one in errors(text) if one.place == place]
    assert found
    assert code in (None, found[0].code)
    assert found[0].line == 12
    assert found[0].mend


def test_the_same_shade_twice_is_a_caution() -> None:
    text = DOUBLE.replace('inside = "coral"', 'inside = "white"')
    found = evaluate(read_job(text, SPECS), Studio(), today=TODAY).findings
    assert "shade-in-itself" in {one.code for one in found if one.severity == "caution"}


def test_foil_holds_no_balloon() -> None:
    text = SHELL + '\n[[pieces]]\nname = "Age"\nkind = "foils"\ntext = "4"\nshades = ["shell"]\n'
    (found,) = errors(text)
    assert (found.code, found.place) == ("not-stuffed", "pieces[0]")
