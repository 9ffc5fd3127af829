"""Ceilings: loose balloons by area, strands and swags by their length, what holds them."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from scipy.spatial import cKDTree

from airwright.decor.assembly import Role
from airwright.decor.parts.ceiling_strands import LINK_PITCH
from airwright.decor.pieces import KINDS, SPECS
from airwright.job import Studio, read_job
from airwright.plan.planning import evaluate
from airwright.plan.values import Plan
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    findings_of,
    made,
    shades,
    spec_of,
)

FOOT, INCH = 0.3048, 0.0254
LINK = 5.5 * INCH
STRANDS = {"form": "strands", "balloon": None, "height": "10 ft"}
SWAGS = {"form": "swags", "balloon": None, "height": "10 ft"}
CASES = {
    "scattered": {},
    "grid": {"pattern": "grid"},
    "dense": {"every": "11.5 in"},
    "bunches of three": {"bunch": 3},
    "bunches of seven": {"bunch": 7, "pattern": "grid"},
    "foil": {"balloon": "18in foil round", "every": "2 ft"},
    "one": {"width": "2 ft", "length": "2 ft", "every": "2 ft"},
    "strands": STRANDS,
    "one strand": {**STRANDS, "columns": 1, "rows": 1},
    "round on a line": {**STRANDS, "balloon": "11in @ 10in"},
    "swags": SWAGS,
    "many swags": {**SWAGS, "swags": 14},
    "one swag": {**SWAGS, "swags": 1, "swags_lead": "side to side"},
    "side to side": {**SWAGS, "swags_lead": "side to side", "sag": "2 ft"},
}


@pytest.mark.parametrize("name", CASES)
def test_every_ceiling_is_sound_and_counted_beforehand(name: str) -> None:
    changes = CASES[name]
    piece = made("ceiling", **changes)
    assert_sound(piece)
    assert KINDS["ceiling"].estimate(spec_of("ceiling", **changes), CTX) == len(piece)


@pytest.mark.closed_form
@pytest.mark.parametrize(("every", "count"), [("12 in", 140), ("18 in", 62), ("24 in", 35)])
def test_loose_ones_are_the_area_over_their_square(every: str, count: int) -> None:
    """14 ft by 10 ft is 140 square feet; one balloon a square foot is 140."""
    assert len(made("ceiling", every=every)) == count


@pytest.mark.parametrize("seed", [0, 1, 2, 3, 4])
@pytest.mark.parametrize("changes", [{}, {"bunch": 3}, {"every": "11.5 in"}])
def test_loose_ones_touch_the_ceiling_and_not_each_other(
    seed: int, changes: dict[str, object]
) -> None:
    piece = made("ceiling", seed=seed, **changes)
    assert piece.centre[:, 2] + piece.radius == pytest.approx(10 * FOOT)
    near = cKDTree(piece.centre).query(piece.centre, k=2)[0][:, 1]
    assert near.min() > 0.97 * 2 * piece.radius[0]
    assert np.abs(piece.centre[:, 0]).max() < 7 * FOOT
    assert np.abs(piece.centre[:, 1]).max() < 5 * FOOT
    assert set(piece.role) == {Role.FLOATER}


def test_bunches_float_together() -> None:
    piece = made("ceiling", bunch=3, every="24 in", width="18 ft")
    near = cKDTree(piece.centre).query(piece.centre, k=3)[0][:, 1:]
    assert near.max() == pytest.approx(10 * INCH, rel=0.03)


def test_ribbons_end_where_they_are_asked_to() -> None:
    piece = made("ceiling", ribbons_to="6 ft 6 in")
    assert {round(s.path[-1][2], 4) for s in piece.strands} == {round(6.5 * FOOT, 4)}
    assert len(piece.strands) == len(piece)
    assert piece.steps[0].measures[0][1] == pytest.approx(piece.strands[0].cut_m)


@pytest.mark.closed_form
def test_a_strand_holds_its_length_over_the_pitch() -> None:
    """One strand of 0.80 m: 0.80 / (1.02 · 0.1397) = 5.6, so 5 whole ones; fifteen strands 75."""
    assert int(0.80 / (LINK_PITCH * LINK)) == 5
    piece = made("ceiling", **STRANDS, drop="0.8 m", columns=5, rows=3)
    assert len(piece) == 75
    assert len([p for p in piece.hardware if p.use == "anchor"]) == 15
    assert (piece.centre[:, 2] - piece.radius).min() > 10 * FOOT - 0.8 - 0.02


@pytest.mark.closed_form
def test_swags_hold_their_catenary_over_the_pitch() -> None:
    """Shallow catenary, sag f over span w: length w (1 + 8/3 (f/w)²), to the fourth order."""
    wide, sag = 14 * FOOT, 0.4
    long = wide * (1 + 8 / 3 * (sag / wide) ** 2)
    one = made("ceiling", **SWAGS, swags=1, swags_lead="side to side", sag="0.4 m")
    assert len(one) == int(long / (LINK_PITCH * LINK))
    lowest = one.centre[:, 2].min()
    assert lowest == pytest.approx(10 * FOOT - sag, abs=0.01)
    four = made("ceiling", **SWAGS, swags=4, swags_lead="side to side", sag="0.4 m")
    assert len(four) == 4 * len(one)


def test_swags_from_the_middle_reach_the_edges_all_round() -> None:
    piece = made("ceiling", **SWAGS, swags=8)
    ends = np.array([p.path[0] for p in piece.hardware])[1:]
    assert len(ends) == 8  # in the middle all of them share one point
    on_edge = np.isclose(np.abs(ends[:, 0]), 7 * FOOT) | np.isclose(np.abs(ends[:, 1]), 5 * FOOT)
    assert on_edge.all()
    turn = np.sort(np.arctan2(ends[:, 1], ends[:, 0]))
    assert np.diff(turn) == pytest.approx(np.full(7, np.pi / 4))
    assert "that point carries half" in piece.steps[-1].text


def test_shades_are_taken_in_turn_or_by_shares() -> None:
    turn = made("ceiling", **STRANDS, shades=["teal", "white"])
    assert [turn.shades[s].name for s in turn.shade[:4]] == ["teal", "white", "teal", "white"]
    mixed = made("ceiling", **STRANDS, shades={"teal": 4, "white": 1})
    assert shades(mixed) == {"teal": 60, "white": 15}
    loose = made("ceiling", every="12 in", shades={"teal": 4, "white": 1})
    assert shades(loose) == {"teal": 112, "white": 28}


def planned(**changes: object) -> tuple[Plan, set[str]]:
    lines = {"name": "Sky", "kind": "ceiling", "width": "14 ft", "length": "10 ft",
             "height": "10 ft", "shades": ["white"], **changes}  # fmt: skip
    text = "\n".join(
        f"{key} = {value if isinstance(value, int | list) else repr(value)}"
        for key, value in lines.items()
    )
    head = 'format = "airwright-job/1"\n[job]\ntitle = "x"\ndate = 2027-05-22\n'
    head += 'guests = "10:00"\nstrike = "18:00"\n[shades]\nwhite = "#f7f5f0"\n[[pieces]]\n'
    whole = evaluate(read_job(head + text, SPECS), Studio(), today=dt.date(2027, 3, 1))
    assert whole.plan is not None, whole.findings
    return whole.plan, {f.code for f in whole.findings}


def test_the_ceiling_holds_loose_ones_in_place_of_weights() -> None:
    plan, codes = planned(form="loose")
    (piece,) = plan.pieces
    assert piece.weighting is None
    assert piece.stability is None
    assert not [line for line in piece.hardware if line.use == "weight"]
    (floats,) = piece.floats
    assert floats.floats
    assert 8 < floats.usual_h < 30  # hours afloat of an untreated 11 in
    assert "helium" in codes
    assert "overhead" not in codes
    assert "ladder" not in codes


def test_strands_and_swags_hang_overhead_and_say_what_a_point_holds() -> None:
    for form in ("strands", "swags"):
        plan, codes = planned(form=form)
        held = plan.pieces[0].stability
        assert held is not None
        assert held.how == "hangs"
        assert held.anchor_n > 0
        assert {"overhead", "ladder"} <= codes


def test_each_swag_bears_its_own_share() -> None:
    """The pull in one line does not grow with the number of lines beside it."""
    pulls = []
    for swags in (1, 4):
        plan, _ = planned(form="swags", swags=swags, swags_lead="side to side")
        held = plan.pieces[0].stability
        assert held is not None
        assert held.how == "hangs"
        pulls.append(held.tension_n)
    assert pulls[1] == pytest.approx(pulls[0], rel=0.35)  # a draught finds four in a row as one


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"balloon": "5in"}, {"does-not-float"}),
        ({"balloon": "260"}, {"does-not-float"}),
        ({"balloon": "11in @ 6in"}, {"does-not-float"}),
        ({"every": "9 in"}, {"ceiling-full"}),
        ({"every": "11.5 in", "bunch": 3}, {"ceiling-full"}),
        ({"width": "2 ft", "bunch": 7}, {"ceiling-full"}),
        ({"setting": "open air"}, {"no-ceiling"}),
        ({**SWAGS, "balloon": "24in @ 22in", "width": "5 ft", "swags": 1}, {"too-short"}),
        ({**SWAGS, "swags_lead": "side to side", "swags": 60}, {"swags-too-close"}),
        ({**SWAGS, "swags": 60, "width": "6 ft", "length": "5 ft"}, {"swags-too-close"}),
        ({"shades": {"white": 0}}, {"missing"}),
        ({"shades": ["moss"]}, {"unknown-shade"}),
        ({"ribbon": "moss"}, {"unknown-shade"}),
        ({**STRANDS, "balloon": "18in foil round"}, {"cannot-be-linked"}),
        ({**STRANDS, "columns": 200}, {"strands-too-close"}),
        ({**STRANDS, "drop": "12 ft"}, {"below-floor"}),
        ({**SWAGS, "width": "3 ft", "length": "3 ft", "sag": "4 ft"}, {"sag-too-deep"}),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("ceiling", **changes) == codes


def test_too_many_names_the_square_that_fits() -> None:
    (found,) = findings_of("ceiling", every="9 in")
    assert found.place == "pieces[0].every"
    assert "10.2 in" in found.mend  # 5 in radius: sqrt(pi / 0.75) of it


def test_what_hangs_at_head_height_is_a_caution() -> None:
    found = findings_of("ceiling", **STRANDS, drop="5 ft")
    assert [f.code for f in found] == ["in-the-way"]
    assert "ribbons-low" in {f.code for f in findings_of("ceiling", ribbons_to="1 ft")}
