"""A shade of two balloons at the desk: added, renamed with its parts, and not taken apart."""

from __future__ import annotations

import datetime as dt

import tomlkit

from airwright.decor.pieces import SPECS
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Edit
from airwright.job import Studio, read_job
from airwright.plan.planning import evaluate

TEXT = """\
format = "airwright-job/1"
[job]
title = "x"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
coral = "#f0705a"
white = "#f7f5f0"
[[pieces]]
name = "Column"
kind = "column"
height = "6 ft"
body = ["4 x 11in @ 9.5in"]
shades = ["white"]
"""
PAIR = {"do": "put", "path": ["shades", "coral in white"],
        "value": {"inside": "coral", "outside": "white"}}  # fmt: skip


def edited(*changes: dict[str, object]) -> str:
    edit = Edit.model_validate({"version": 1, "changes": list(changes)})
    return apply(TEXT, edit.changes)[0]


def test_a_pair_is_added_and_its_parts_keep_their_names() -> None:
    text = edited(PAIR, {"do": "rename_shade", "old": "coral", "new": "salmon"})
    shades = tomlkit.parse(text).unwrap()["shades"]
    assert shades["coral in white"] == {"inside": "salmon", "outside": "white"}
    whole = evaluate(read_job(text, SPECS), Studio(), today=dt.date(2027, 3, 1))
    assert whole.plan is not None, whole.findings


def test_a_piece_swaps_its_shade_for_the_pair() -> None:
    text = edited(PAIR, {"do": "swap", "old": "white", "new": "coral in white"})
    assert tomlkit.parse(text).unwrap()["pieces"][0]["shades"] == ["coral in white"]


def test_a_kept_design_brings_what_its_shades_are_made_of() -> None:
    kept = """\
name = "Bloom"
kind = "flower"
shades = ["dawn"]
middle_shade = "gold"
[shades_used]
dawn = { inside = "rust", outside = "cream" }
rust = "#c65d3b"
cream = "#f4ead8"
gold = "#c9a24a"
"""
    edit = Edit.model_validate(
        {"version": 1, "changes": [{"do": "add", "kind": "flower", "design": "kept"}]}
    )
    text = apply(TEXT, edit.changes, lambda key: kept)[0]
    shades = tomlkit.parse(text).unwrap()["shades"]
    assert {"dawn", "rust", "cream", "gold"} <= set(shades)
    whole = evaluate(read_job(text, SPECS), Studio(), today=dt.date(2027, 3, 1))
    assert whole.plan is not None, whole.findings
