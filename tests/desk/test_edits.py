"""Changes to a job file: comments kept, values read back, two people beside each other."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from airwright.decor.pieces import SPECS
from airwright.desk.editing.document import apply
from airwright.desk.editing.edits import Edit, EditError
from airwright.desk.editing.writing import resolved
from airwright.desk.seed import demo_text
from airwright.job import read_job
from tests.desk.conftest import House

DEMO = demo_text()


def edit(*changes: dict[str, Any], version: int = 1) -> Edit:
    return Edit.model_validate({"version": version, "changes": list(changes)})


def done(text: str, *changes: dict[str, Any]) -> str:
    return apply(text, resolved(text, edit(*changes).changes))[0]


def comments(text: str) -> list[str]:
    return [line.split("#", 1)[1] for line in text.splitlines() if "   #" in line]


def put(path: list[str | int], value: object) -> dict[str, Any]:
    return {"do": "put", "path": path, "value": value}


def test_a_value_changes_and_nothing_else() -> None:
    text = done(DEMO, put(["pieces", 0, "height"], "7 ft"))
    before, after = DEMO.splitlines(), text.splitlines()
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert len(changed) == 1
    assert changed[0][1].startswith('height  = "7 ft"')
    assert "# floor to the top of the packed body" in changed[0][1]


@pytest.mark.parametrize(
    "change",
    [
        put(["pieces", 1, "topper", "lean"], "left"),
        put(["pieces", 0, "spot"], {"x": "1 m", "y": "2 m"}),
        put(["pieces", 0, "body", 1], "4 x 5in @ 4.5in"),
        put(["venue", "gust"], "3 m/s"),
        put(["shades", "lilac"], "#b9a0d0"),
        put(["job", "date"], "2027-06-01"),
        {"do": "duplicate", "piece": 1},
        {"do": "mirror", "piece": 0},
        {"do": "reorder", "piece": 0, "to": 2},
        {"do": "swap", "old": "coral", "new": "teal"},
        {"do": "paint", "piece": 0, "rows": [["coral", "coral", "white", "teal"]]},
        {"do": "add", "kind": "column"},
        {"do": "clear", "path": ["pieces", 0, "topper"]},
        {"do": "write", "path": ["pieces", 0, "count"], "text": " 3 "},
        {"do": "write", "path": ["pieces", 0, "height"], "text": "2.1 m"},
        {"do": "write", "path": ["pieces", 0, "shades"], "text": "coral\nsand\n\nteal"},
        {"do": "write", "path": ["pieces", 0, "topper", "ties"], "text": "2"},
    ],
    ids=lambda change: change["do"],
)
def test_every_change_leaves_a_job_that_reads(change: dict[str, Any]) -> None:
    text = done(DEMO, change)
    reading = read_job(text, SPECS)
    assert reading.job is not None, reading.findings
    lost = [c for c in comments(DEMO) if c not in comments(text)]
    assert lost == [] or change["do"] in ("reorder", "clear"), lost


def test_a_dropped_piece_leaves_the_options() -> None:
    job = read_job(done(DEMO, {"do": "drop", "piece": 0}), SPECS).job
    assert job is not None
    assert [piece.name for piece in job.pieces] == ["Cloud column", "Pebble column"]
    assert [option.name for option in job.options] == ["Statement", "Textured"]


def test_a_renamed_piece_keeps_its_options() -> None:
    job = read_job(done(DEMO, put(["pieces", 0, "name"], "Tower")), SPECS).job
    assert job is not None
    assert job.options[0].pieces == ["Tower"]


def test_counts_of_an_option_follow_its_pieces() -> None:
    text = DEMO.replace(
        'pieces = ["Swirl column"]', 'pieces = ["Swirl column"]\ncounts = { "Swirl column" = 4 }'
    )

    def options(*changes: dict[str, Any]) -> list[Any]:
        reading = read_job(done(text, *changes), SPECS)
        assert reading.job is not None, reading.findings
        return [(option.pieces, option.counts) for option in reading.job.options]

    assert options(put(["pieces", 0, "name"], "Tower"))[0] == (["Tower"], {"Tower": 4})
    assert options({"do": "drop", "piece": 0})[0] == (["Cloud column"], {})
    names, counts = options({"do": "duplicate", "piece": 0})[0]
    assert counts == {"Swirl column": 4, names[1]: 4}
    wrong = text.replace('{ "Swirl column" = 4 }', '{ "Cloud column" = 4 }')
    found = [f for f in read_job(wrong, SPECS).findings if f.severity == "error"]
    assert [(f.code, f.place) for f in found] == [("unknown-piece", "options[0].counts")]


def test_mirroring_twice_changes_nothing() -> None:
    once = done(DEMO, {"do": "mirror", "piece": 1})
    assert tomllib.loads(once)["pieces"][1]["topper"]["lean"] == "left"
    twice = done(
        once,
        {"do": "mirror", "piece": 1},
        {"do": "mirror", "piece": 0},
        {"do": "mirror", "piece": 0},
    )
    was, now = tomllib.loads(DEMO), tomllib.loads(twice)
    now["pieces"][1].pop("turn", None)
    assert now == was


def test_an_empty_field_takes_its_key_out() -> None:
    text = done(DEMO, {"do": "write", "path": ["venue", "drive"], "text": "  "})
    assert "drive" not in tomllib.loads(text)["venue"]


@pytest.mark.parametrize(
    "change",
    [
        put(["pieces", 9, "height"], "7 ft"),
        put(["pieces", "x", "height"], "7 ft"),
        put(["options", 3, "name"], "x"),
        put(["job"], None),
        put(["job", "budget"], 2**60),
        put(["job", "note"], "\ud800"),
        {"do": "drop", "piece": 7},
        {"do": "add", "kind": "dragon"},
        {"do": "add", "kind": "column", "design": "nothere"},
        {"do": "swap", "old": "nothere", "new": "teal"},
        {"do": "clear", "path": ["pieces", 0, "sleeve"]},
        {"do": "clear", "path": ["job", "title", "x"]},
        {"do": "reorder", "piece": 0, "to": 44},
        {"do": "write", "path": ["pieces", 44, "count"], "text": "3"},
        {"do": "write", "path": ["venue", "ceiling"], "text": ""},
    ],
)
def test_a_change_that_cannot_be_made_says_so(change: dict[str, Any]) -> None:
    with pytest.raises(EditError) as caught:
        done(DEMO, change)
    assert caught.value.what
    assert caught.value.mend


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**70), 2**70) | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=6,
)
PATHS = st.lists(
    st.sampled_from(
        [
            "pieces",
            "job",
            "venue",
            "shades",
            "options",
            "height",
            "body",
            "topper",
            "title",
            "",
            "a.b",
            "é",
        ]
    )
    | st.integers(-3, 4),
    min_size=1,
    max_size=4,
)


@settings(max_examples=150, deadline=None)
@given(path=PATHS, value=JSON)
def test_any_value_anywhere_is_written_or_refused(path: list[str | int], value: object) -> None:
    """Whatever is sent: the file stays TOML, or an EditError says why not."""
    try:
        checked = edit(put(path, value))
    except ValueError:
        return
    try:
        text, _ = apply(DEMO, checked.changes)
    except EditError:
        return
    tomllib.loads(text)
    read_job(text, SPECS)


def test_a_wrong_value_is_kept_and_said_where_it_stands(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    told = visitor.send(
        f"/api/jobs/{job_id}/edits",
        {
            "version": 1,
            "changes": [{"do": "write", "path": ["pieces", 0, "height"], "text": "tall"}],
        },
    ).json()
    wrong = [f for f in told["findings"] if f["severity"] == "error"]
    assert [f["place"] for f in wrong] == ["pieces[0].height"]
    assert told["totals"]["left_out"] == ["Swirl column"]  # the rest is counted and priced
    assert told["totals"]["balloons"] == sum(p["balloons"] * p["count"] for p in told["pieces"])
    assert [piece["name"] for piece in told["pieces"]] == ["Cloud column", "Pebble column"]
    page = visitor.page(f"/jobs/{job_id}?piece=0")
    assert page.select_one(".has-finding input[value=tall]")


def test_the_panel_works_without_script(house: House) -> None:
    job_id, visitor = house.job(), house.visitor()
    page = visitor.page(f"/jobs/{job_id}?piece=0")
    form = page.select_one("#fields")
    assert form is not None
    data = {tag["name"]: tag.get("value", "") for tag in form.find_all("input") if tag.get("name")}
    for tag in form.find_all("select", attrs={"name": True}):
        option = tag.find("option", selected=True)
        data[tag["name"]] = option.get("value", option.get_text()) if option else ""
    for tag in form.find_all("textarea"):
        data[tag["name"]] = tag.get_text()
    before = house.text_of(job_id)
    assert visitor.post(f"/jobs/{job_id}/panel", data).status_code == 303
    assert house.text_of(job_id) == before
    data['f:["pieces", 0, "height"]'] = "8 ft"
    assert visitor.post(f"/jobs/{job_id}/panel", data).status_code == 303
    assert tomllib.loads(house.text_of(job_id))["pieces"][0]["height"] == "8 ft"


def test_the_file_goes_in_and_out_without_loss(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/")
    odd = "# a comment\n" + DEMO.replace("10:00", "10:05") + "\n# the end\n"
    sent = visitor.post("/jobs/read", files={"file": ("job.toml", odd.encode())})
    assert sent.status_code == 303
    job = sent.headers["location"].split("?")[0]
    assert visitor.get(f"{job}/job.toml").content.decode() == odd


def test_many_people_at_one_job_lose_nothing(house: House) -> None:
    """Eight people, each changing a piece of their own, five times, all at once."""
    from concurrent.futures import ThreadPoolExecutor

    text = DEMO
    for _ in range(5):
        text = done(text, {"do": "duplicate", "piece": 0})
    job_id = house.job(text)

    def work(index: int) -> list[int]:
        visitor, version, statuses = house.visitor(), 1, []
        for turn in range(5):
            change = put(["pieces", index, "note"], f"{index}-{turn}")
            answer = visitor.send(
                f"/api/jobs/{job_id}/edits", {"version": version, "changes": [change]}
            )
            statuses.append(answer.status_code)
            version = answer.json().get("version", version)
        return statuses

    with ThreadPoolExecutor(8) as pool:
        outcomes = list(pool.map(work, range(8)))
    assert outcomes == [[200] * 5] * 8
    notes = [piece.get("note") for piece in tomllib.loads(house.text_of(job_id))["pieces"]]
    assert notes == [f"{index}-4" for index in range(8)]
    with house.desk.database.reading() as session:
        from airwright.store.jobs import Jobs

        assert Jobs(session).get(job_id).last_version == 41


def test_no_build_is_thrown_away_in_a_crowd(house: House) -> None:
    """Eight people at eight pieces at once: one build a change, and nobody else's is redone."""
    from concurrent.futures import ThreadPoolExecutor

    text = DEMO
    for _ in range(5):
        text = done(text, {"do": "duplicate", "piece": 0})
    job_id = house.job(text)
    before = house.desk.builder.built

    def work(index: int) -> int:
        change = put(["pieces", index, "height"], f"{1.8 + index / 100} m")
        sent = {"version": 1, "changes": [change]}
        return int(house.visitor().send(f"/api/jobs/{job_id}/edits", sent).status_code)

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(work, range(8))) == [200] * 8
    assert house.desk.builder.built - before == 8


def test_a_change_meets_another_machine_at_the_same_database(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever writes between our reading and our writing (another process) loses nothing."""
    from airwright.store.jobs import Jobs

    job_id, builder = house.job(), house.desk.builder
    plain, others = type(builder).evaluate, iter(range(5))

    def overtaken(self: object, text: str, studio_text: str) -> Any:
        evaluation = plain(builder, text, studio_text)
        turn = next(others, None)
        if turn is not None and turn < 3:  # three times somebody is faster, then the job is held
            with house.desk.database.writing() as session:
                row = Jobs(session).get(job_id)
                newer = done(row.text, put(["pieces", 1, "note"], f"theirs {turn}"))
                Jobs(session).change(job_id, row.version, newer, evaluation.head(), "theirs", "Bo")
        return evaluation

    monkeypatch.setattr(type(builder), "evaluate", overtaken)
    answer = house.visitor().send(
        f"/api/jobs/{job_id}/edits",
        {"version": 1, "changes": [put(["pieces", 0, "height"], "7 ft")]},
    )
    assert answer.status_code == 200
    assert answer.json()["merged"]
    pieces = tomllib.loads(house.text_of(job_id))["pieces"]
    assert (pieces[0]["height"], pieces[1]["note"]) == ("7 ft", "theirs 2")


def test_options_are_added_by_several_people_at_once(house: House) -> None:
    from concurrent.futures import ThreadPoolExecutor

    job_id = house.job()

    def work(index: int) -> int:
        form = {"name": f"Way {index}", "pieces": ["Swirl column"]}
        return int(house.visitor().post(f"/jobs/{job_id}/options", form).status_code)

    with ThreadPoolExecutor(6) as pool:
        assert list(pool.map(work, range(6))) == [303] * 6
    names = {option["name"] for option in tomllib.loads(house.text_of(job_id))["options"]}
    assert names >= {f"Way {index}" for index in range(6)}


def test_an_option_for_a_file_that_cannot_be_read_is_refused_in_words(house: House) -> None:
    job_id = house.job("[job\n")
    form = {"name": "Way", "pieces": ["Swirl column"]}
    answer = house.visitor().post(f"/jobs/{job_id}/options", form)
    assert answer.status_code == 422
    assert "Fix it under File" in answer.text


@pytest.mark.parametrize("path", [[-1], [0], ["pieces", -1, "height"], [], [True], [""]])
def test_a_path_that_names_nothing_is_refused(path: list[Any]) -> None:
    with pytest.raises(ValidationError):
        edit(put(path, "7 ft"))


def test_painting_a_wall_writes_its_picture_balloon_by_balloon() -> None:
    from airwright.catalog import default_catalog
    from airwright.decor.context import Context
    from airwright.decor.pieces.wall import grid_of, painted

    text = done(DEMO, {"do": "add", "kind": "wall"})
    job = read_job(text, SPECS).job
    assert job is not None
    at = len(job.pieces) - 1
    ctx = Context(default_catalog(), {})
    grid = grid_of(job.pieces[at], ctx)
    names = list(job.shades)[:3]
    rows = [[names[(x + 2 * z) % 3] for x in range(grid.wide)] for z in range(grid.tall)]
    again = read_job(done(text, {"do": "paint", "piece": at, "rows": rows}), SPECS).job
    assert again is not None
    assert painted(again.pieces[at], grid) == rows
