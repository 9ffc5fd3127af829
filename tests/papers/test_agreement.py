"""No paper contradicts another: what is printed is read back and compared with plan.json.

Every length, weight, time, volume, wind speed, count and amount in the text of the papers of
random jobs must be one that plan.json holds, as the papers write such a value; and whatever a step
or a caution asks for stands on the load list. The rule is the issue's own, with no other source.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import random
import re
from collections.abc import Iterator
from functools import cache
from importlib import import_module
from typing import Any

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.studio import House
from airwright.language.figures import said_hours, said_money
from airwright.papers.common.request import request_for
from airwright.papers.common.words import distance
from airwright.papers.safety_sheet import safety_sheet_of
from airwright.papers.sizing_card.render import across
from airwright.plan import export
from airwright.plan.planning import make_plan
from airwright.plan.values import Plan
from airwright.plan.wording import Words
from airwright.units import INCH_M, LENGTH, MASS, VOLUME, System, show
from tests.papers import pdf_reading as pdf

TODAY = dt.date(2027, 3, 1)
PAPERS = ("make_sheet", "sizing_card", "load_list", "safety_sheet", "proposal")
JOBS = 5
FEWEST = 1200
"""Numbers compared at the least over all jobs, so that the reading cannot go blind."""

HEAD = """
format = "airwright-job/1"
[job]
title = "Random {seed}"
client = "Saltmarsh Ferries"
date = 2027-07-10
guests = "11:00"
strike = "20:00"
currency = "{currency}"
[venue]
name = "Pier hall"
setting = "{setting}"
access = "06:00"
altitude = "3 m"
workshop_temperature = "19 C"
peak_temperature = "24 C"
gust = "{gust} m/s"
drive = "{drive} km"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
"""


def _text(seed: int) -> tuple[str, System]:
    """A job of some pieces whose sizes are drawn at random."""
    chance = random.Random(seed)
    metric = seed % 2 == 1
    tall = f"{chance.randint(15, 23) / 10} m" if metric else f"{chance.randint(5, 7)} ft"
    wide = f"{chance.randint(20, 32) / 10} m" if metric else f"{chance.randint(7, 10)} ft"
    quad = f"4 x 11in @ {chance.choice((23, 24, 25))}cm" if metric else "4 x 11in @ 9.5in"
    small = "4 x 5in @ 11cm" if metric else "4 x 5in @ 4.5in"
    mixed = "2 x 17in @ 38cm + 4 x 11in @ 25cm" if metric else "2 x 17in @ 15in + 4 x 11in @ 10in"
    big = "24in @ 55cm" if metric else "24in @ 22in"
    head = HEAD.format(
        seed=seed,
        currency="USD",
        setting=chance.choice(("indoor", "open air")),
        gust=chance.randint(4, 8),
        drive=chance.randint(3, 60),
    )
    pieces = f"""
[[pieces]]
name = "Swirl"
kind = "column"
count = {chance.randint(1, 4)}
height = "{tall}"
body = ["{quad}"]
shades = ["coral", "sand", "teal", "white"]
topper = {{ balloon = "{big}", shade = "coral", tie = "260" }}
[[pieces]]
name = "Cloudy"
kind = "column"
count = {chance.randint(1, 3)}
height = "{tall}"
clouds = [
  {{ at = "foot", cluster = "{mixed}", shades = ["teal", "white"] }},
  {{ at = "head", cluster = "{mixed}", shades = ["teal", "white"] }},
]
sleeve = {{ material = "fringe", layers = 2, shade = "sand" }}
fillers = {{ cluster = "{small}", count = 4, tie = "loop", shades = ["coral"] }}
[[pieces]]
name = "Garland"
kind = "garland"
path = "swag"
width = "{wide}"
height = "{tall}"
sag = "{"0.4 m" if metric else "1 ft"}"
on = "hooks"
shades = ["coral", "white", "teal"]
setting = "indoor"
[[pieces]]
name = "Bunch"
kind = "bouquet"
count = {chance.randint(1, 8)}
height = "{tall}"
balloons = [{{ balloon = "11in @ {"25cm" if metric else "10in"}", count = 5, shades = ["coral"] }}]
setting = "indoor"
"""
    return head + pieces, System.METRIC if metric else System.FEET


@cache
def plan_of(seed: int) -> Plan:
    text, system = _text(seed)
    found = read_job(text, SPECS)
    assert found.job is not None, found.findings
    plan = make_plan(found.job, Studio(studio=House(units=system)), today=TODAY)
    assert plan.studio.studio.units is system
    return plan


@cache
def texts_of(seed: int) -> dict[str, str]:
    request = request_for(plan_of(seed), TODAY)
    found = {}
    for name in PAPERS:
        (paper,) = import_module(f"airwright.papers.{name}").make(request)
        found[name] = re.sub(r"\s+", " ", pdf.whole_text(paper.data))
    return found


# ---- what plan.json holds ---------------------------------------------------------------------


def leaves(value: Any, key: str = "") -> Iterator[tuple[str, float]]:
    """Every number of plan.json with its key."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from leaves(inner, name)
    elif isinstance(value, list):
        for inner in value:
            yield from leaves(inner, key)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield key, float(value)


class Held:
    """What the papers may print of each kind, written as they write it."""

    def __init__(self, plan: Plan) -> None:
        self.data = json.loads(export.dumps(plan))
        self.words = Words(plan.studio.studio.units)
        self.system = plan.studio.studio.units
        rows = list(leaves(self.data))
        counts = {piece["count"] for piece in self.data["pieces"]}
        self.lengths = self._lengths(plan, rows, counts)
        self.masses = self._masses(plan, rows, counts)
        self.volumes = {show(value, VOLUME, self.system) for key, value in rows if "m3" in key}
        self.volumes |= {f"< {step}" for step in ("0.1 ft³", "0.01 m³")}
        self.forces = {self.words.force(v) for key, v in rows if key.endswith("_n")}
        self.speeds = {
            text
            for key, value in rows
            if key.endswith("_m_s")
            for text in (self.words.limit(value), self.words.speed(value))
        }
        self.times = self._times(rows, plan)
        self.money = set(self._money(plan))

    def _lengths(self, plan: Plan, rows: list[tuple[str, float]], counts: set[int]) -> set[str]:
        # plan.json rounds to a tenth of a millimetre, a paper rounds what was not rounded yet.
        values = [
            value + off for key, value in rows if key.endswith("_m") for off in (0.0, 5e-5, -5e-5)
        ]
        values += [value * INCH_M for key, value in rows if key in ("inflated_in", "size_in")]
        values += [
            amount * many
            for rows_of in (
                *(piece["hardware"] for piece in self.data["pieces"]),
                self.data["needs"],
                *(group["items"] for group in self.data["van"]["groups"]),
            )
            for row in rows_of
            if row["unit"] == "m"
            for amount in [row.get("quantity", row.get("total"))]
            for many in (1, *counts)
        ]
        found = {
            text
            for v in values
            for text in (show(v, LENGTH, self.system), show(v, LENGTH, self.system, 0))
        }
        widths = [value * INCH_M for key, value in rows if key == "inflated_in"]
        found |= {across(value, self.system) for value in widths}
        found |= {across(math.pi * value, self.system, 1) for value in widths}
        found.add(distance(self.data["day"]["drive_m"], self.system))
        ladder = safety_sheet_of(plan).ladder  # OSHA's rule for the highest work, see its own test
        if ladder is not None:
            for value in (ladder.support_m, ladder.length_m, ladder.foot_out_m):
                found.add(show(value, LENGTH, self.system))
        # A person beside the decor, and the bars a printed card is checked by.
        return found | {show(1.70, LENGTH, self.system), "10 cm", "5 cm", "4 in"}

    def _masses(self, plan: Plan, rows: list[tuple[str, float]], counts: set[int]) -> set[str]:
        values = [value for key, value in rows if key.endswith("_kg")]
        values += [row["total"] for row in self.data["needs"] if row["unit"] == "kg"]
        for piece in self.data["pieces"]:
            stands = piece["stability"]
            if stands is not None and "ballast_kg" in stands:
                bases = stands["bases"]
                values += [
                    stands["ballast_kg"] / bases,
                    stands["own_mass_kg"] + stands["ballast_kg"],
                ]
                values += [stands[name] * piece["count"] for name in ("ballast_kg", "sandbags_kg")]
        sheet = safety_sheet_of(plan)
        values += [sheet.lift_limit_kg, *(row.mass_kg for row in sheet.heavy)]
        values += [row.mass_kg for row in sheet.cylinders]
        values += [row.ballast_kg for row in sheet.held]
        ballast = sum(row["mass_kg"] for row in self.data["needs"] if row["kind"] == "ballast")
        values.append(ballast)
        found = set()
        for value in values:
            found |= {self.words.mass(value), show(value, MASS, self.system)}
            found |= {show(value, MASS, self.system, 0), f"{round(1000 * value)} g"}
        return found | {"< 0.1 lb", "< 0.1 kg", "170 g"}

    def _times(self, rows: list[tuple[str, float]], plan: Plan) -> set[str]:
        values = [value for key, value in rows if "hours" in key or key.endswith("_h")]
        hands = self.data["day"]["hands"]
        crew = [piece["hours"] * piece["count"] / hands for piece in self.data["pieces"]]
        return {str(said_hours(value, 5)) for value in (*values, *crew, sum(crew))} | {
            f"{told:g} h"
            for key, value in rows
            if key.endswith(("good_h", "safe_h", "usual_h"))
            for told in (int(value), round(value), int(2 * value) / 2, round(2 * value) / 2)
        }

    def _money(self, plan: Plan) -> Iterator[str]:
        currency = self.data["money"]["currency"]
        for option in plan.options:
            money = option.money
            for amount in (money.price, money.tax, money.total, money.deposit):
                yield said_money(amount, currency)
            for line in option.lines:
                yield said_money(line.price, currency)
            for piece in option.pieces:
                if piece.price is not None:
                    yield said_money(piece.price.unit_price, currency)
            for part in option.piece_prices:
                yield said_money(part, currency)


# ---- what is printed --------------------------------------------------------------------------

NUMBER = r"(?<![\w.,/@])(?:\d[\d,]*(?:\.\d+)?)"
NOT_A_WORD = r"(?! all| a | the| each| order| its| \w+ed)"
FEET = rf"{NUMBER} ft \d+ in\b|{NUMBER} ft\b(?! ?[²³])|{NUMBER} in\b{NOT_A_WORD}"
PATTERNS = {
    "length": rf"{FEET}|{NUMBER} (?:cm|mi|km)\b|{NUMBER} m\b(?!/)",
    "mass": rf"(?:< )?{NUMBER} (?:lb|kg|oz|g)\b",
    "volume": rf"(?:< )?{NUMBER} (?:ft³|m³)",
    "force": rf"{NUMBER} (?:lbf|N)\b",
    "speed": rf"{NUMBER} (?:mph|m/s)",
    "time": rf"{NUMBER} h {NUMBER} min\b|{NUMBER} h\b|{NUMBER} min\b",
    "money": r"[$€]\d[\d,]*\.\d\d",
}


def printed(text: str, kind: str) -> list[str]:
    return re.findall(PATTERNS[kind], text)


def held_of(seed: int) -> dict[str, set[str]]:
    held = Held(plan_of(seed))
    return {
        "length": held.lengths,
        "mass": held.masses,
        "volume": held.volumes,
        "force": held.forces,
        "speed": held.speeds,
        "time": held.times,
        "money": held.money,
    }


COMPARED: dict[str, int] = {}


@pytest.mark.parametrize("seed", range(JOBS))
def test_every_quantity_on_paper_is_one_of_the_plan(seed: int) -> None:
    held, strays = held_of(seed), []
    for paper, text in texts_of(seed).items():
        for kind, allowed in held.items():
            found = printed(text, kind)
            COMPARED[kind] = COMPARED.get(kind, 0) + len(found)
            strays += [(paper, kind, value) for value in found if value not in allowed]
    assert strays == []


@pytest.mark.parametrize("seed", range(JOBS))
def test_balloons_and_cuts_are_the_same_on_every_paper(seed: int) -> None:
    data, texts = json.loads(export.dumps(plan_of(seed))), texts_of(seed)
    for piece in data["pieces"]:
        many = sum(row["count"] for row in piece["balloons"] if row["role"] != "tie")
        each = " each" if piece["count"] > 1 else ""
        assert f"{many} balloons{each}" in texts["make_sheet"]
        total = sum(cut["cut_m"] * cut["count"] for cut in piece["cuts"])
        sold = sum(
            row["quantity"]
            for row in piece["hardware"]
            if row["item"] in {cut["item"] for cut in piece["cuts"]}
        )
        assert total == pytest.approx(sold, abs=0.005 * max(1, len(piece["cuts"])) * 8)
        for step in piece["steps"]:
            if "cut_m" in step["measures"]:
                cut = round(step["measures"]["cut_m"], 2)
                assert cut in [row["cut_m"] for row in piece["cuts"]]
    assert f"Job {request_for(plan_of(seed), TODAY).mark.number}" in texts["load_list"]
    COMPARED["cuts"] = COMPARED.get("cuts", 0) + sum(len(p["cuts"]) for p in data["pieces"])


ASKED = {
    r"\btape\b": "tape",
    r"\bknife|\bcut\b": "knife",
    r"\bglue dots?\b": "glue dots",
    r"\b260s?\b": "260 model",
    r"\bladder\b": "step ladder",
    r"\bsandbags\b": "sandbags",
    r"\bwater or sand\b": "water or sand",
    r"\bhooks?\b": "garland hook",
    r"\bof line\b": "garland line",
    r"\bof ribbon\b": "curling ribbon",
    r"\bhelium\b": "helium cylinder",
    r"\bfringe\b": "fringe strip",
    r"\bpole\b": "column pole",
    r"\bfirst aid\b": "first-aid kit",
}
"""What words of steps and cautions ask for → how the load list calls it."""
NEVER_ASKED = re.compile(r"\b(rope|chair|brace|bungee|cable tie|spanner|wrench|hammer)", re.I)


@pytest.mark.parametrize("seed", range(JOBS))
def test_whatever_a_step_or_caution_asks_for_is_on_the_load_list(seed: int) -> None:
    texts = texts_of(seed)
    asking = texts["make_sheet"].split("How the hands do it")[0]
    asked = [name for word, name in ASKED.items() if re.search(word, asking, re.I)]
    assert len(asked) >= 8
    for name in asked:
        assert name in texts["load_list"], name
    assert NEVER_ASKED.search(asking) is None


def test_enough_numbers_were_compared() -> None:
    if sum(COMPARED.values()) == 0:
        pytest.skip("run the whole file: this counts what the other tests compared")
    assert sum(COMPARED.values()) >= FEWEST
