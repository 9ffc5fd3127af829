"""Several people at one job: nothing is lost, and each undoes what was theirs."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.pieces import SPECS
from airwright.desk.editing.merging import SamePlace, Step, carried_over
from airwright.job import read_job
from tests.desk.conftest import House
from tests.desk.test_edits import DEMO, comments, done, put


def beside(hers: str, *mine: dict[str, Any], own: bool = False) -> str:
    """A change made from the demo, in a job that somebody brought to `hers` meanwhile."""
    return carried_over(DEMO, done(DEMO, *mine), [Step(2, hers, "Bea", own)])


def test_changes_to_different_pieces_go_together() -> None:
    hers = done(DEMO, {"do": "drop", "piece": 0})
    both = beside(hers, put(["pieces", 2, "height"], "5 ft"), {"do": "mirror", "piece": 1})
    job = read_job(both, SPECS).job
    assert job is not None
    assert [(p.name, round(p.height, 2)) for p in job.pieces] == [  # type: ignore[attr-defined]
        ("Cloud column", 1.83),
        ("Pebble column", 1.52),
    ]
    assert comments(hers) == comments(both)


def test_two_fields_of_one_piece_go_together() -> None:
    hers = done(DEMO, put(["pieces", 0, "height"], "7 ft"))
    piece = tomllib.loads(beside(hers, put(["pieces", 0, "count"], 3)))["pieces"][0]
    assert (piece["height"], piece["count"]) == ("7 ft", 3)


def test_what_two_people_add_is_all_there_and_offered() -> None:
    hers = done(DEMO, {"do": "duplicate", "piece": 0})
    both = tomllib.loads(beside(hers, {"do": "duplicate", "piece": 0}))
    names = [piece["name"] for piece in both["pieces"]]
    assert len(set(names)) == len(names) == 5
    assert set(both["options"][0]["pieces"]) == {n for n in names if n.startswith("Swirl")}


def test_a_piece_renamed_by_one_is_changed_by_the_other() -> None:
    hers = done(DEMO, put(["pieces", 1, "name"], "Big cloud"))
    both = tomllib.loads(beside(hers, put(["pieces", 1, "height"], "5 ft")))
    assert (both["pieces"][1]["name"], both["pieces"][1]["height"]) == ("Big cloud", "5 ft")
    assert both["options"][1]["pieces"] == ["Big cloud"]


@pytest.mark.parametrize(
    ("hers", "mine"),
    [
        (put(["pieces", 0, "height"], "7 ft"), put(["pieces", 0, "height"], "8 ft")),
        ({"do": "drop", "piece": 1}, put(["pieces", 1, "count"], 3)),
        (put(["pieces", 1, "count"], 3), {"do": "drop", "piece": 1}),
        (put(["venue", "gust"], "3 m/s"), put(["venue", "gust"], "5 m/s")),
        (
            put(["pieces", 0, "shades"], ["teal"]),
            {"do": "swap", "old": "coral", "new": "teal"},
        ),
    ],
)
def test_changes_to_the_same_thing_are_asked_about(
    hers: dict[str, Any], mine: dict[str, Any]
) -> None:
    with pytest.raises(SamePlace):
        beside(done(DEMO, hers), mine)
    beside(done(DEMO, hers), put(["job", "note"], "beside it"))  # anything else goes through


def test_one_hand_may_change_the_same_field_twice() -> None:
    first = done(DEMO, put(["pieces", 0, "height"], "7 ft"))
    text = beside(first, put(["pieces", 0, "height"], "8 ft"), own=True)
    assert tomllib.loads(text)["pieces"][0]["height"] == "8 ft"


CHANGES = st.sampled_from(
    [
        {"do": "drop", "piece": 0},
        {"do": "drop", "piece": 1},
        {"do": "duplicate", "piece": 1},
        {"do": "mirror", "piece": 1},
        {"do": "add", "kind": "arch"},
        {"do": "reorder", "piece": 0, "to": 2},
        {"do": "swap", "old": "coral", "new": "teal"},
        put(["pieces", 0, "height"], "7 ft"),
        put(["pieces", 2, "name"], "Stones"),
        put(["venue", "gust"], "3 m/s"),
        {"do": "clear", "path": ["venue", "gust"]},
        {"do": "clear", "path": ["pieces", 1, "sleeve"]},
    ]
)


@settings(max_examples=60, deadline=None)
@given(hers=CHANGES, mine=CHANGES)
def test_nothing_of_two_changes_is_lost(hers: dict[str, Any], mine: dict[str, Any]) -> None:
    """Both are in the outcome, whichever came first; or neither order lets them together."""

    def together(first: dict[str, Any], second: dict[str, Any]) -> Any:
        try:
            text = carried_over(
                DEMO, done(DEMO, second), [Step(2, done(DEMO, first), "Bea", False)]
            )
        except SamePlace:
            return None
        read_job(text, SPECS)
        return tomllib.loads(text)

    one, other = together(hers, mine), together(mine, hers)
    assert (one is None) == (other is None)
    if one is None or mine == hers:
        return
    for key in ("job", "venue", "shades"):
        assert one.get(key) == other.get(key)
    assert sorted(p["name"] for p in one["pieces"]) == sorted(p["name"] for p in other["pieces"])


def test_two_visitors_at_one_job(house: House) -> None:
    job_id, one, two = house.job(), house.visitor(), house.visitor()
    address = f"/api/jobs/{job_id}/edits"
    first = one.send(address, {"version": 1, "changes": [put(["pieces", 0, "height"], "7 ft")]})
    assert first.status_code == 200
    later = two.send(address, {"version": 1, "changes": [put(["pieces", 0, "count"], 3)]})
    assert later.status_code == 200
    assert later.json()["merged"]
    mine = {"version": 1, "changes": [put(["pieces", 0, "height"], "5 ft")]}
    clash = two.send(address, mine)
    assert clash.status_code == 409
    [rival] = clash.json()["rivals"]
    assert (rival["what"], rival["theirs"], rival["mine"]) == (
        "Swirl column: height",
        "7 ft",
        "5 ft",
    )
    assert tomllib.loads(house.text_of(job_id))["pieces"][0]["height"] == "7 ft"
    kept = two.send(address, {**mine, "mine": clash.json()["others"]})
    assert kept.status_code == 200
    piece = tomllib.loads(house.text_of(job_id))["pieces"][0]
    assert (piece["height"], piece["count"]) == ("5 ft", 3)


def test_undo_takes_back_ones_own_change_only(guarded: House) -> None:
    house, job_id = guarded, guarded.job()
    ada, bo = house.entered("ada"), house.entered("dan")
    address = f"/api/jobs/{job_id}"
    ada.send(f"{address}/edits", {"version": 1, "changes": [put(["pieces", 0, "height"], "7 ft")]})
    bo.send(f"{address}/edits", {"version": 2, "changes": [{"do": "drop", "piece": 1}]})
    back = ada.send(f"{address}/undo", {"have": []}).json()
    assert (back["undo"], back["redo"]) == (None, "Swirl column: height")
    pieces = tomllib.loads(house.text_of(job_id))["pieces"]
    assert [(p["name"], p["height"]) for p in pieces] == [
        ("Swirl column", "6 ft"),
        ("Pebble column", "6 ft 4 in"),
    ]
    bo.send(f"{address}/undo", {"have": []})
    assert len(tomllib.loads(house.text_of(job_id))["pieces"]) == 3
    ada.send(f"{address}/redo", {"have": []})
    assert tomllib.loads(house.text_of(job_id))["pieces"][0]["height"] == "7 ft"
    bo.send(f"{address}/edits", {"version": 6, "changes": [put(["pieces", 0, "height"], "9 ft")]})
    refused = ada.send(f"{address}/undo", {"have": []})
    assert refused.status_code == 422
    assert "Dan changed Swirl column: height" in refused.json()["what"]


def test_undo_and_redo_hold_over_visits(house: House) -> None:
    job_id = house.job()
    visitor = house.visitor()
    address = f"/api/jobs/{job_id}"
    visitor.send(
        f"{address}/edits", {"version": 1, "changes": [put(["pieces", 0, "height"], "7 ft")]}
    )
    back = house.visitor().send(f"{address}/undo", {"have": []}).json()
    assert (back["undo"], back["redo"]) == (None, "Swirl column: height")
    assert house.text_of(job_id) == DEMO
    again = visitor.send(f"{address}/redo", {"have": []}).json()
    assert again["undo"] == "Swirl column: height"
    assert 'height  = "7 ft"' in house.text_of(job_id)
