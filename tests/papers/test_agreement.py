"""No paper contradicts another: what is printed is read back and compared with plan.json.

Every length, weight, time, volume, wind speed, count and amount in the text of the papers of
random jobs must be one that plan.json holds, as the papers write such a value; and whatever a step
or a caution asks for stands on the load list. The rule is the issue's own, with no other source.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from collections.abc import Iterator
from decimal import Decimal
from functools import cache
from importlib import import_module
from typing import Any

import pytest

from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.studio import House
from airwright.language import speaking
from airwright.language.figures import said_hours
from airwright.papers.common.dangers import FROM_LIVE_WIRES
from airwright.papers.common.request import request_for
from airwright.papers.common.words import distance
from airwright.papers.safety_sheet import safety_sheet_of
from airwright.papers.sizing_card.render import across
from airwright.plan import export
from airwright.plan.planning import make_plan
from airwright.plan.stability import Stability
from airwright.plan.values import Plan
from airwright.plan.wording import Words
from airwright.units import INCH_M, LENGTH, MASS, VOLUME, show
from tests.papers import pdf_reading as pdf
from tests.papers.random_jobs import job_of_new_kinds, language_of, usual_job

TODAY = dt.date(2027, 3, 1)
PAPERS = ("make_sheet", "sizing_card", "load_list", "safety_sheet", "proposal")
SAND = "sand for table bases, kg"
USUAL, JOBS = 5, 11
"""Jobs of columns, garlands and bouquets in English, then as many of the other kinds in each
language."""
FEWEST = 90
"""Numbers compared at the least in each job, so that the reading cannot go blind."""


@cache
def plan_of(seed: int) -> Plan:
    text, system = usual_job(seed) if seed < USUAL else job_of_new_kinds(seed)
    found = read_job(text, SPECS)
    assert found.job is not None, found.findings
    house = House(units=system, language=spoken(seed))
    plan = make_plan(found.job, Studio(studio=house), today=TODAY)
    assert plan.studio.studio.units is system
    return plan


def spoken(seed: int) -> Any:
    return language_of(seed, USUAL)


@cache
def texts_of(seed: int) -> dict[str, str]:
    """The text of each paper, its numbers written plainly: "1140.5"."""
    request = request_for(plan_of(seed), TODAY)
    found = {}
    with speaking(spoken(seed)):
        for name in PAPERS:
            (paper,) = import_module(f"airwright.papers.{name}").make(request)
            text = re.sub(r"\s+", " ", pdf.whole_text(paper.data))
            found[name] = plain_numbers(text, spoken(seed))
    return found


def plain_numbers(text: str, language: str) -> str:
    """No sign between thousands, a point before decimals."""
    if language == "en-US":
        return re.sub(r"(?<=\d),(?=\d{3}(?!\d))", "", text)
    text = re.sub(r"(?<=\d)\.(?=\d{3}(?!\d))", "", text)
    return re.sub(r"(?<=\d),(?=\d)", ".", text)


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
        self.volumes = {
            show(value + off, VOLUME, self.system)
            for key, value in rows
            if "m3" in key
            for off in (0.0, 5e-4, -5e-4)  # plan.json holds litres
        }
        self.volumes |= {f"< {step}" for step in ("0.1 ft³", "0.01 m³")}
        self.forces = {self.words.force(v) for key, v in rows if key.endswith("_n")}
        self.speeds = {
            text
            for key, value in rows
            if key.endswith("_m_s")
            for text in (self.words.limit(value), self.words.speed(value))
        }
        self.times = self._times(rows, plan)
        self.money = {f"{amount:.2f}" for amount in self._money(plan)}

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
        found |= {show(1.70, LENGTH, self.system), "10 cm", "5 cm", "4 in"}
        return found | {str(FROM_LIVE_WIRES[self.system])}

    def _masses(self, plan: Plan, rows: list[tuple[str, float]], counts: set[int]) -> set[str]:
        values = [value for key, value in rows if key.endswith("_kg")]
        values += [row["total"] for row in self.data["needs"] if row["unit"] == "kg"]
        for piece in self.data["pieces"]:
            sand = [row["quantity"] for row in piece["hardware"] if row["item"] == SAND]
            values += [amount * many for amount in sand for many in (1, piece["count"])]
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
        return found | {"< 0.1 lb", "< 0.1 kg"}

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

    def _money(self, plan: Plan) -> Iterator[Decimal]:
        for option in plan.options:
            money = option.money
            yield from (money.price, money.tax, money.total, money.deposit)
            yield from (line.price for line in option.lines)
            yield from (one.price.unit_price for one in option.pieces if one.price is not None)
            yield from option.piece_prices


# ---- what is printed --------------------------------------------------------------------------

NUMBER = r"(?<![\w.,/@])(?:\d+(?:\.\d+)?)"
NOT_A_WORD = r"(?! all| a | the| each| order| its| \w+ed)"
FEET = rf"{NUMBER} ft \d+ in\b|{NUMBER} ft\b(?! ?[²³])|{NUMBER} in\b{NOT_A_WORD}"
METRES = rf"{NUMBER} (?:cm|mi|km)\b|{NUMBER} m\b(?!/)"
PATTERNS = {
    "length": rf"{FEET}|{METRES}",
    "mass": rf"(?:< )?{NUMBER} (?:lb|kg|oz|g)\b",
    "volume": rf"(?:< )?{NUMBER} (?:ft³|m³)",
    "force": rf"{NUMBER} (?:lbf|N)\b",
    "speed": rf"{NUMBER} (?:mph|m/s)",
    "time": rf"{NUMBER} h {NUMBER} min\b|{NUMBER} h\b|{NUMBER} min\b",
    "money": r"(?<=[$€])\d+\.\d\d",
}
ELSEWHERE = PATTERNS | {"length": METRES, "money": r"\d+\.\d\d(?= ?[$€])"}
"""Outside English a job is metric, "in" is a word of its own, and the sign of money follows."""


def printed(text: str, kind: str, language: str = "en-US") -> list[str]:
    return re.findall((PATTERNS if language == "en-US" else ELSEWHERE)[kind], text)


def held_of(seed: int) -> dict[str, set[str]]:
    held = Held(plan_of(seed))
    kinds = {
        "length": held.lengths,
        "mass": held.masses,
        "volume": held.volumes,
        "force": held.forces,
        "speed": held.speeds,
        "time": held.times,
        "money": held.money,
    }
    return {
        kind: {plain_numbers(value, "en-US") for value in values} for kind, values in kinds.items()
    }


@pytest.mark.parametrize("seed", range(JOBS))
def test_every_quantity_on_paper_is_one_of_the_plan(seed: int) -> None:
    held, strays, compared = held_of(seed), [], 0
    for paper, text in texts_of(seed).items():
        for kind, allowed in held.items():
            found = printed(text, kind, spoken(seed))
            compared += len(found)
            strays += [(paper, kind, value) for value in found if value not in allowed]
    assert strays == []
    assert compared >= FEWEST


@pytest.mark.parametrize("seed", range(JOBS))
def test_balloons_and_cuts_are_the_same_on_every_paper(seed: int) -> None:
    data, texts = json.loads(export.dumps(plan_of(seed))), texts_of(seed)
    for piece in data["pieces"]:
        many = sum(row["count"] for row in piece["balloons"] if row["role"] != "tie")
        copies = piece["count"] > 1
        told = {
            "en-US": f"{many} balloons{' each' if copies else ''}",
            "de": f"{'je ' if copies else ''}{many} Ballons",
            "es": f"{many} globos{' cada' if copies else ''}",
        }[spoken(seed)]
        assert told in texts["make_sheet"]
        total = sum(cut["cut_m"] * cut["count"] for cut in piece["cuts"])
        pieces_cut = sum(cut["count"] for cut in piece["cuts"])
        sold = sum(
            row["quantity"]
            for row in piece["hardware"]
            if row["item"] in {cut["item"] for cut in piece["cuts"]}
        )
        assert total == pytest.approx(sold, abs=0.0051 * max(1, pieces_cut))
        for step in piece["steps"]:
            if "cut_m" in step["measures"]:
                cut = round(step["measures"]["cut_m"], 2)
                assert cut in [row["cut_m"] for row in piece["cuts"]]
    assert request_for(plan_of(seed), TODAY).mark.number in texts["load_list"]


LISTED = re.compile(r"[Cc]lusters? (\d+)(?: to (\d+))? of the list")


@pytest.mark.parametrize("seed", range(JOBS))
def test_steps_take_every_cluster_of_the_list_once(seed: int) -> None:
    """Steps that name clusters by their number in the list leave none out and none twice."""
    for piece in plan_of(seed).pieces:
        texts = [str(step.text) for step in piece.assembly.steps]
        runs = [match for text in texts for match in LISTED.finditer(text)]
        if not runs:
            continue
        taken = [n for one in runs for n in range(int(one[1]), int(one[2] or one[1]) + 1)]
        assert taken == list(range(1, len(piece.assembly.clusters) + 1)), piece.name


ASKED = {
    r"\btape\b": "tape",
    r"\bknife|\bcut\b": "knife",
    r"\bwith a level\b": "spirit level",
    r"\babove the floor\b|\babove the table\b": "tape measure",
    r"\bfunnel\b": "funnel",
    r"\b[Ww]ire it\b": "wire",
    r"\brubber band\b": "rubber band",
    r"\bglue dots?\b": "glue dots",
    r"\b260s?\b": "260 model",
    r"\bladder\b": "step ladder",
    r"\bsandbags\b": "sandbags",
    r"\blb of water or sand|\bkg of water or sand": "water or sand",
    r"\bdry sand\b": "sand for table bases",
    r"\bhooks?\b": "garland hook",
    r"\bof line\b|\blines? of \d": "garland line",
    r"\bribbons?\b": "curling ribbon",
    r"\bhelium\b": "helium cylinder",
    r"\bfringe\b": "fringe strip",
    r"\bfoliage strip\b": "foliage strip",
    r"\b[Ss]crew the pole|\b[Ss]tand each pole": "column pole",
    r"\b[Ll]ay the ring\b": "hoop ring",
    r"\bupper corner to the ring\b": "sign board",
    r"\beach panel\b": "backdrop panel",
    r"\bdown between the necks\b": "table stick",
    r"\bthe net\b": "drop net",
    r"\beach frame\b": "letter frame",
    r"\bfirst aid\b": "first-aid kit",
}
"""What words of steps and cautions ask for → how the load list calls it."""
NEVER_ASKED = re.compile(r"\b(rope|chair|brace|bungee|cable tie|spanner|wrench|hammer)", re.I)


@pytest.mark.parametrize("seed", [n for n in range(JOBS) if language_of(n, USUAL) == "en-US"])
def test_whatever_a_step_or_caution_asks_for_is_on_the_load_list(seed: int) -> None:
    texts = texts_of(seed)
    asking = texts["make_sheet"].split("How the hands do it")[0]
    asking = asking.replace("metallic ribbon", "")  # a caution that forbids it
    asked = [name for word, name in ASKED.items() if re.search(word, asking)]
    assert len(asked) >= 7
    for name in asked:
        assert name in texts["load_list"], name
    assert NEVER_ASKED.search(asking) is None


@pytest.mark.parametrize("seed", range(JOBS))
def test_a_base_is_filled_only_where_a_filling_is_listed(seed: int) -> None:
    """A step may say "fill the base" without condition only where water or sand is on its list."""
    for piece in plan_of(seed).pieces:
        text = " ".join(str(step.text) for step in piece.assembly.steps)
        if re.search(r"(?<!If water or sand is listed for it, )fill the (base|foot|plate)\b", text):
            stands = piece.stability
            assert isinstance(stands, Stability), piece.name
            assert stands.ballast_kg > 0, piece.name
