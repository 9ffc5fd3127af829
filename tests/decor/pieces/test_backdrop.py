"""Backdrops: panels as drawn, a garland on their common outline, and what cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.parts.tapered import OFF_WALL, mean_size
from airwright.decor.pieces import KINDS
from airwright.decor.pieces.backdrop import Panel, edge_of, outline_of, way_of
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    findings_of,
    made,
    sizes,
    spec_of,
)

ROUND = {"form": "round", "width": "72 in", "bottom": "6 in", "shade": "sand"}
PLAIN = {"width": "48 in", "height": "80 in", "shade": "sand"}
CASES = {
    "two arches": {},
    "one round": {"panels": [ROUND], "start": 0.05},
    "all round": {"panels": [ROUND], "end": 1.0, "heavy": "middle"},
    "rectangle": {"panels": [PLAIN]},
    "over all": {"panels": [PLAIN], "end": 1.0},
    "from the right": {"panels": [PLAIN], "start": 0.5, "end": 1.0, "heavy": "end"},
    "middle": {"start": 0.3, "end": 0.7, "heavy": "middle"},
    "three": {
        "panels": [
            {**PLAIN, "form": "arch"},
            {**PLAIN, "height": "66 in", "width": "36 in", "x": "30 in"},
            {**PLAIN, "height": "54 in", "width": "36 in", "x": "-30 in"},
        ],
        "end": 0.7,
    },
    "dense": {"density": 1.3},
    "no foot": {"along_floor": "0 ft"},
}


@pytest.mark.parametrize("name", CASES)
def test_every_backdrop_settles(name: str) -> None:
    changes = CASES[name]
    piece = made("backdrop", **changes)
    assert_sound(piece)
    assert KINDS["backdrop"].estimate(spec_of("backdrop", **changes), CTX) == len(piece)


def test_balloons_stay_in_front_of_the_panels() -> None:
    piece = made("backdrop")
    face = OFF_WALL * mean_size(spec_of("backdrop"), CTX)
    boards = [p for p in piece.hardware if p.use == "board"]
    assert [round(p.path[0][1] - face, 6) for p in boards] == [0.0, 0.12]
    deep = (piece.centre[:, 1] + piece.radius - face) / piece.radius
    assert deep.max() < 0.3


def area(outline: np.ndarray) -> float:
    x, z = outline[:, 0], outline[:, 1]
    return float((x[:-1] * z[1:] - x[1:] * z[:-1]).sum() / 2)


@pytest.mark.closed_form
def test_areas_of_the_three_forms() -> None:
    """w h; w h - (1 - pi/4) w²/2 under a half circle; pi d²/4. Anticlockwise: positive."""

    def panel(form: str) -> Panel:
        return Panel(form=form, width=1.2, height=2.0, shade="sand")  # type: ignore[arg-type]

    assert area(outline_of(panel("rectangle"))) == pytest.approx(2.4)
    arch = 1.2 * 1.4 + np.pi * 0.36 / 2
    assert area(outline_of(panel("arch"))) == pytest.approx(arch, rel=2e-3)
    assert area(outline_of(panel("round"))) == pytest.approx(np.pi * 0.36, rel=2e-3)


@pytest.mark.closed_form
def test_the_edge_leads_from_foot_to_foot_over_the_top() -> None:
    """Rectangle w by h: 2 h + w. Round: pi d. Arch: 2 (h - w/2) + pi w/2."""
    from shapely import Polygon

    def long(form: str) -> float:
        panel = Panel(form=form, width=1.2, height=2.0, shade="sand")  # type: ignore[arg-type]
        edge = edge_of(Polygon(outline_of(panel)))
        assert edge[0, 0] <= edge[-1, 0] + 1e-9  # begins at the left foot
        return float(np.linalg.norm(np.diff(edge, axis=0), axis=1).sum())

    assert long("rectangle") == pytest.approx(5.2)
    assert long("round") == pytest.approx(np.pi * 1.2, rel=2e-3)
    assert long("arch") == pytest.approx(2.8 + np.pi * 0.6, rel=2e-3)


def test_the_way_begins_left_and_climbs() -> None:
    way = way_of(spec_of("backdrop", along_floor="0 ft"), CTX).line
    begin, top = way.position(np.array([0.0, way.length_m / 2]))
    assert begin[0] < -0.7
    assert begin[2] < 0.4 < top[2]  # from the floor up


def test_a_round_panel_is_dressed_up_its_left_side_first() -> None:
    way = way_of(spec_of("backdrop", panels=[ROUND], start=0.0, end=0.25, along_floor="0 ft"), CTX)
    assert way.line.position(np.array([way.line.length_m]))[0, 0] < -0.7


def test_the_mix_keeps_its_shares() -> None:
    piece = made("backdrop", end=1.0)
    for size, share in (("17in", 3), ("11in", 12), ("5in", 18)):
        assert sizes(piece)[size] == pytest.approx(len(piece) * share / 33, abs=1.5)


def test_every_panel_has_two_feet_and_its_print() -> None:
    piece = made("backdrop")
    assert [p.use for p in piece.hardware].count("base") == 4
    assert [p.text for p in piece.hardware if p.use == "board"] == ["", "Ahoy"]
    assert dict(piece.supplies)["garland hook"] >= 10


@pytest.mark.parametrize("name", ["two arches", "one round", "rectangle"])
def test_the_list_cuts_as_much_line_as_the_step_says(name: str) -> None:
    piece = made("backdrop", **CASES[name])
    (line,) = (strand for strand in piece.strands if strand.item == "garland line")
    (said,) = (
        dict(step.measures)["cut_m"] for step in piece.steps if "cut_m" in dict(step.measures)
    )
    assert line.length_m + line.knots_m == pytest.approx(said)


def test_the_panel_is_the_smallest_that_is_large_enough() -> None:
    small, large = (
        made("backdrop", panels=[{"width": w, "height": h, "shade": "sand"}])
        for w, h in (("30 in", "54 in"), ("90 in", "90 in"))
    )
    names = [[p.item for p in piece.hardware if p.use == "board"] for piece in (small, large)]
    assert names == [["backdrop panel, small"], ["backdrop panel, large"]]


def test_twice_mirrored_is_itself_and_once_takes_the_same() -> None:
    mirrored = KINDS["backdrop"].mirrored
    table = {"panels": [{**PLAIN, "x": "9 in"}], "start": 0.0, "end": 0.6, "heavy": "start"}
    once = mirrored(table)
    assert once == {
        "panels": [{**PLAIN, "x": "-9 in"}], "start": 0.4, "end": 1.0, "heavy": "end",
    }  # fmt: skip
    assert mirrored(once) == table
    assert sizes(made("backdrop", **once)) == sizes(made("backdrop", **table))


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"start": 0.6, "end": 0.5}, {"ends-first"}),
        ({"start": 0.5, "end": 0.52}, {"too-short"}),
        ({"panels": [PLAIN, {**PLAIN, "x": "9 ft"}]}, {"panels-apart"}),
        ({"panels": [{**PLAIN, "width": "20 in"}]}, {"panel-too-small"}),
        ({"panels": [{**PLAIN, "form": "arch", "height": "20 in"}]}, {"panel-too-low"}),
        ({"panels": [{**PLAIN, "shade": "moss"}]}, {"unknown-shade"}),
        ({"shades": ["moss"]}, {"unknown-shade"}),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("backdrop", **changes) == codes


def test_a_panel_in_the_air_is_a_caution_at_its_key() -> None:
    found = findings_of("backdrop", panels=[{**PLAIN, "bottom": "10 in"}])
    assert [(f.code, f.place) for f in found] == [("feet-show", "pieces[0].panels[0].bottom")]


def test_panels_stand_on_stays_that_a_step_sets_up() -> None:
    piece = made("backdrop")
    stays = [at for at, part in enumerate(piece.hardware) if part.item == "panel stay"]
    boards = [part for part in piece.hardware if part.use == "board"]
    assert len(stays) == 2 * len(boards)
    assert not any(part.item == "hoop ring" for part in piece.hardware)
    first = piece.steps[0]
    assert set(stays) <= set(first.hardware)
    assert "stay" in str(first.text)
