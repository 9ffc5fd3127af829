"""A kind says what it is in its one file: a kind nobody has heard of passes everywhere."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Annotated, Any, Literal

import numpy as np
import pytest
import tomlkit

from airwright.decor import pieces
from airwright.decor.assembly import Assembly, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import PieceKind, swirl_mirrored
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Edit
from airwright.job import Studio, read_job
from airwright.job.cluster import Cluster
from airwright.job.findings import Finding
from airwright.job.pieces import Coloured
from airwright.language import message
from airwright.papers import make_sheet
from airwright.papers.common.request import request_for
from airwright.params import Param
from airwright.plan.planning import evaluate, make_plan
from airwright.plan.resize import scaled, with_palette
from airwright.units import LENGTH

TODAY = dt.date(2027, 3, 1)


class BobbinSpec(Coloured):
    """Keys of a kind that exists in this test only: rings of four hung one above the other."""

    kind: Annotated[Literal["bobbin"], Param("A bobbin.")] = "bobbin"
    height: Annotated[float, Param("Top to bottom.", LENGTH, "1 ft", "20 ft")]
    body: Annotated[list[Cluster], Param("Its clusters.", example='["4 x 11in @ 9.5in"]')]
    glow: Annotated[str, Param("A shade by a key of its own.", shades=True)] = "coral"
    knots: Annotated[int, Param("Counted by hand.", low=1, high=999)] = 4


def build(spec: BobbinSpec, ctx: Context) -> Assembly:
    draft = Draft(spec.name, "bobbin")
    made = spec.body[0]
    names = list(spec.shades)
    for layer in range(round(spec.height / 0.2)):
        ways = [np.array([np.cos(a), np.sin(a), 0.0]) for a in np.pi / 2 * np.arange(made.count)]
        draft.cluster(
            str(made),
            np.array([0.13 * way + [0.0, 0.0, 2.5 + 0.2 * layer] for way in ways]),
            np.array(ways),
            [ctx.stock(balloon) for balloon in made.slots],
            [ctx.shades[names[(slot + layer) % len(names)]] for slot in range(made.count)],
            np.array([0.0, 0.0, 2.5 + 0.2 * layer]),
            Role.BODY,
            layer,
        )
    return draft.finish()


def check(spec: BobbinSpec, ctx: Context, place: str) -> list[Finding]:
    return []


def counted(values: Mapping[str, Any], factor: float) -> dict[str, Any]:
    return {"knots": round(values["knots"] * factor)}


BOBBIN = PieceKind(
    name="bobbin",
    summary=message("Rings hung one above the other."),
    spec=BobbinSpec,
    build=build,
    estimate=lambda spec, ctx: round(spec.height / 0.2) * spec.body[0].count,
    check=check,
    example='name = "Bobbin"\nkind = "bobbin"\nheight = "6 ft"\nbody = ["4 x 11in @ 9.5in"]\n'
    'shades = ["coral", "sand", "teal", "white"]\nglow = "teal"\n',
    grows=("height",),
    counted=counted,
    mirrored=swirl_mirrored,
    overhead=lambda spec: True,
)
TEXT = f"""format = "airwright-job/1"
[job]
title = "x"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
[[pieces]]
{BOBBIN.example}"""


@pytest.fixture(autouse=True)
def bobbin(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(pieces.KINDS, "bobbin", BOBBIN)
    monkeypatch.setitem(pieces.SPECS, "bobbin", BobbinSpec)


def changed(text: str, **change: Any) -> dict[str, Any]:
    edit = Edit.model_validate({"version": 1, "changes": [change]})
    written = apply(text, edit.changes)[0]
    return tomlkit.parse(written).unwrap()["pieces"][0]


def test_it_is_planned_and_hangs_overhead() -> None:
    whole = evaluate(read_job(TEXT, pieces.SPECS), Studio(), today=TODAY)
    assert whole.plan is not None, whole.findings
    assert sum(line.count for line in whole.plan.pieces[0].balloons) == 4 * 9
    assert "overhead" in {f.code for f in whole.findings}


def test_it_grows_by_its_lengths_and_what_is_counted() -> None:
    job = read_job(TEXT, pieces.SPECS).job
    assert job is not None
    grown = scaled(job, 2.0).pieces[0]
    assert isinstance(grown, BobbinSpec)
    assert grown.height == pytest.approx(2 * 1.8288)
    assert grown.knots == 8
    assert grown.body == job.pieces[0].body  # type: ignore[attr-defined]


def test_its_shades_are_exchanged_by_the_keys_that_name_them() -> None:
    job = read_job(TEXT, pieces.SPECS).job
    assert job is not None
    made = with_palette(job, {"navy": "#20304a"}).pieces[0]
    assert isinstance(made, BobbinSpec)
    assert set(made.shades) == {"navy"}
    assert made.glow == "navy"
    swapped = changed(TEXT, do="swap", old="teal", new="sand")
    assert swapped["glow"] == "sand"
    assert swapped["shades"] == ["coral", "sand", "sand", "white"]


def test_it_is_mirrored_and_painted() -> None:
    assert changed(TEXT, do="mirror", piece=0)["turn"] == -1
    painted = changed(TEXT, do="paint", piece=0, rows=[["coral", "sand", "teal", "white"]])
    assert painted["pattern"] == "chart"
    assert painted["chart"] == [["coral", "sand", "teal", "white"]]


def test_a_kind_without_a_turn_is_given_none_by_a_mirror() -> None:
    for name in ("garland", "wall", "cloud"):
        text = TEXT[: TEXT.index("[[pieces]]")] + "[[pieces]]\n" + pieces.KINDS[name].example
        assert "turn" not in changed(text, do="mirror", piece=0)


def test_it_has_a_make_sheet() -> None:
    job = read_job(TEXT, pieces.SPECS).job
    assert job is not None
    papers = tuple(make_sheet.make(request_for(make_plan(job), TODAY, {})))
    assert papers
    assert all(paper.data.startswith(b"%PDF") for paper in papers)


def test_a_hung_cloud_brings_the_overhead_caution_and_one_on_the_floor_none() -> None:
    example = pieces.KINDS["cloud"].example
    head = TEXT[: TEXT.index("[[pieces]]")]
    for on, expected in (("hooks", True), ("floor", False)):
        lines = [line for line in example.splitlines() if not line.startswith("on ")]
        text = "\n".join([head, "[[pieces]]", *lines, f'on = "{on}"'])
        found = evaluate(read_job(text, pieces.SPECS), Studio(), today=TODAY)
        assert found.plan is not None, found.findings
        assert ("overhead" in {f.code for f in found.findings}) is expected
