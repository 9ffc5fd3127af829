"""What the desk keeps of unchanged pieces never shows: after any edits a job comes to what a
process that starts with nothing makes of the same text, to the last bit.

`SHELF_STEPS=100` walks on for longer.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import multiprocessing
import os
import random
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from airwright.desk.editing.answer import answer
from airwright.desk.editing.builder import Builder, Evaluation
from airwright.desk.editing.document import _applied, apply
from airwright.desk.editing.edits import Edit, EditError
from airwright.desk.editing.writing import resolved
from airwright.desk.seed import demo_text
from airwright.job.studio_reading import read_studio
from airwright.plan.export import as_json

STEPS = int(os.environ.get("SHELF_STEPS", "12"))

START = (
    demo_text()
    .replace('"[[options]]', "[[options]]")
    .replace("[shades]", '[shades]\ngold = { colour = "#c9a227", finish = "metallic" }')
    .replace(
        "[[options]]",
        """[[pieces]]
name = "Wall"   # "[[pieces]]" in a comment
kind = "wall"
width = "3 ft"
height = "3 ft"
cluster = "4 x 5in @ 4.5in"
shades = ["white"]
pattern = "picture"
legend = { "#" = "coral" }
note = \"\"\"
[[pieces]]
name = "not a piece"
\"\"\"
picture = [
  ".#.",
  "###",
]

[[pieces]]
name = "Bouquet"
kind = "bouquet"
height = "7 ft"
ribbon = "gold"
balloons = [ { balloon = "12in @ 11in", count = 3, shades = ["coral", "teal"] } ]

[[pieces]]
name = "Arch"
kind = "arch"
width = "6 ft"
height = "6 ft"
body = ["4 x 11in @ 9.5in"]
shades = ["coral", "sand"]

[[options]]""",
        1,
    )
)
"""The demo, with a wall, a bouquet and an arch, whose shades stand under keys of their own."""

COLOURS = ("#f0705a", "#123456", "#ffffff", "#777777", "#c9a227")
HEIGHTS = ("5 ft", "6 ft", "7 ft", "2.1 m", "tall", "")
WALLS = ("2 ft", "3 ft")


def _some_change(dice: random.Random) -> dict[str, Any]:
    def write(text: str, *path: str | int) -> dict[str, Any]:
        return {"do": "write", "path": list(path), "text": text}

    piece, pick = dice.randrange(6), dice.choice
    return pick(
        [
            write(pick(WALLS if piece == 3 else HEIGHTS), "pieces", piece, "height"),
            write(pick(("1", "2", "7")), "pieces", piece, "count"),
            write(f"Piece {dice.randrange(4)}", "pieces", piece, "name"),
            write(pick(("", "by the door")), "pieces", piece, "note"),
            write(pick(("indoor", "open air", "")), "pieces", piece, "setting"),
            write(pick(COLOURS), "shades", pick(("coral", "sand", "teal", "white", "lilac"))),
            {"do": "put", "path": ["pieces", piece, "spot"], "value": {"x": "1 m", "y": "2 m"}},
            {
                "do": "put",
                "path": ["shades", "gold"],
                "value": {"colour": pick(COLOURS), "finish": pick(("metallic", "pearl"))},
            },
            {"do": "put", "path": ["pieces", 4, "ribbon"], "value": pick(("gold", "teal"))},
            {"do": "put", "path": ["pieces", 3, "legend"], "value": {"#": pick(("gold", "teal"))}},
            write(pick(("0 m", "1500 m", "-100 m")), "venue", "altitude"),
            write(pick(("0 m/s", "8 m/s")), "venue", "gust"),
            write(pick(("indoor", "open air")), "venue", "setting"),
            write(pick(("shade", "sun")), "venue", "sun"),
            write(pick(("20 C", "38 C")), "venue", "peak_temperature"),
            write(pick(("2 km", "150 km")), "venue", "drive"),
            write(pick(("2027-05-22", "2027-02-01")), "job", "date"),
            write(pick(("10:00", "07:00")), "job", "guests"),
            write(pick(("Classic", "Statement", "")), "job", "chosen"),
            {"do": pick(("mirror", "duplicate", "drop")), "piece": piece},
            {"do": "reorder", "piece": piece, "to": dice.randrange(6)},
            {"do": "swap", "old": pick(("coral", "gold")), "new": pick(("teal", "white"))},
            {"do": "add", "kind": "column"},
        ]
    )


_STUDIO = 'format = "airwright-studio/1"\n'
STUDIOS = (
    "",
    _STUDIO + "[pricing]\nlabour_rate = 40\ncatalog_rate = 1.3\n",
    _STUDIO + "[crew]\nhands = 5\n[care]\nfactor_of_safety = 2.0\n",
    _STUDIO + '[studio]\nunits = "metric"\n[helium]\npurity = 0.9\nwaste = 0.3\n',
    _STUDIO + '[[weighed]]\nsize = "11in"\ncount = 10\nmass = "40 g"\n',
    _STUDIO
    + '[[measured]]\ncluster = "4 x 11in @ 9.5in"\nclusters = 10\nheight = "2 m"\n'
    + '[[shades]]\nname = "lilac"\ncolour = "#b9a0d0"\n',
)
State = tuple[str, str, str]
"""Job file, studio file, the day."""


def _states(seed: int) -> list[State]:
    """A job's way through random edits, the studio and the day changing now and then."""
    dice, text, studio, day = random.Random(seed), START, "", "2027-03-01"
    states = [(text, studio, day)]
    while len(states) < STEPS:
        if dice.random() < 0.2:
            studio = dice.choice(STUDIOS)
        if dice.random() < 0.05:
            day = dice.choice(("2027-03-01", "2027-06-01"))
        change = Edit.model_validate({"version": 1, "changes": [_some_change(dice)]}).changes
        try:
            text = apply(text, resolved(text, change))[0]
        except EditError:
            continue
        states.append((text, studio, day))
        if dice.random() < 0.2:
            text = states[dice.randrange(len(states))][0]  # undone, and on from there
    return states


def _all_of(evaluation: Evaluation) -> dict[str, Any]:
    """Everything a look says: to the browser, on paper, in lists."""
    said = {
        "browser": json.loads(answer(evaluation, (), price=True, cost=True).as_json()),
        "plan": as_json(evaluation.plan) if evaluation.plan else None,
        "summary": dataclasses.asdict(evaluation.summary()),
        "head": dataclasses.asdict(evaluation.head()),
    }
    as_text: dict[str, Any] = json.loads(json.dumps(said, default=str))
    return as_text


def _look_at(state: State) -> dict[str, Any]:
    text, studio, day = state
    return _all_of(Builder(lambda: dt.date.fromisoformat(day)).evaluate(text, studio))


def cold(states: list[State]) -> list[dict[str, Any]]:
    """What each state comes to in a process that did nothing else before."""
    import scipy.optimize
    import scipy.sparse.linalg
    import scipy.spatial  # noqa: F401 - only loaded here, so that not every child does it

    with multiprocessing.get_context("fork").Pool(1, maxtasksperchild=1) as pool:
        return pool.map(_look_at, states, chunksize=1)


def _cold_elsewhere(states: list[State], folder: Path) -> list[dict[str, Any]]:
    """As `cold`, forked off a fresh interpreter: nothing of this process comes along."""
    (folder / "states.json").write_text(json.dumps(states))
    run = "import json, sys; from tests.desk.test_incremental import cold\n"
    run += "print(json.dumps(cold([tuple(s) for s in json.load(open(sys.argv[1]))])))"
    done = subprocess.run(
        [sys.executable, "-c", run, str(folder / "states.json")],
        capture_output=True,
        text=True,
        check=False,
        cwd=Path(__file__).parents[2],
    )
    assert done.returncode == 0, done.stderr[-2000:]
    answers: list[dict[str, Any]] = json.loads(done.stdout)
    return answers


@pytest.mark.slow
@pytest.mark.timeout(600)
@pytest.mark.parametrize("seed", [1, 2])
def test_kept_pieces_never_show(seed: int, tmp_path: Path) -> None:
    states = _states(seed)
    day = [dt.date(2027, 3, 1)]
    builder = Builder(lambda: day[0])
    warm = []
    for text, studio, today in states:
        day[0] = dt.date.fromisoformat(today)
        warm.append(_all_of(builder.evaluate(text, studio)))
    for state, ours, theirs in zip(states, warm, _cold_elsewhere(states, tmp_path), strict=True):
        assert ours == theirs, state[0]
    pieces = sum(len(row["browser"]["pieces"]) for row in warm)
    assert sum(row["plan"] is not None for row in warm) > STEPS / 3  # most jobs were whole
    assert builder.built < pieces / 2  # and most pieces were taken from the shelf
    assert builder.planned < pieces / 2


def test_the_studios_of_these_tests_are_read() -> None:
    assert all(read_studio(text).studio is not None for text in STUDIOS if text)


def test_pieces_that_name_a_shade_in_their_own_way_follow_its_colour() -> None:
    builder = Builder(lambda: dt.date(2027, 3, 1))
    keys = {}
    for colour in ("#c9a227", "#000000"):
        evaluation = builder.evaluate(START.replace("#c9a227", colour), "")
        keys[colour] = {piece.spec.name: piece.key for piece in evaluation.pieces}
    changed = {name for name in keys["#000000"] if keys["#000000"][name] != keys["#c9a227"][name]}
    assert changed == {"Bouquet"}  # its ribbon


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_rewriting_one_section_writes_what_rewriting_the_file_writes(seed: int) -> None:
    dice, text, compared = random.Random(seed), START, 0
    for _ in range(60):
        sent = Edit.model_validate({"version": 1, "changes": [_some_change(dice)]}).changes
        try:
            changes = resolved(text, sent)
            whole = _applied(text, changes)
        except EditError as problem:
            with pytest.raises(EditError, match=f"^{re.escape(problem.what)}$"):
                apply(text, resolved(text, sent))
            continue
        assert apply(text, changes) == whole
        compared += 1
        text = whole[0] if dice.random() < 0.7 else START
    assert compared > 30
