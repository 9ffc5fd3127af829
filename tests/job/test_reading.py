"""A wrong job file: all findings at once, with line, column, sentence and cure."""

import datetime as dt
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.pieces import SPECS
from airwright.job import Studio, read_job
from airwright.job.examples import NAMES, example_text
from airwright.job.reading import LARGEST_FILE
from airwright.plan.planning import evaluate

GOOD = example_text("ferry-terminal")
TODAY = dt.date(2027, 3, 1)


def findings(text: str | bytes) -> dict[str, object]:
    """All findings by code; a repeated code keeps the first."""
    found: dict[str, object] = {}
    for finding in evaluate(read_job(text, SPECS), Studio(), today=TODAY).findings:
        found.setdefault(finding.code, finding)
    return found


@pytest.mark.parametrize("name", NAMES)
def test_examples_have_no_errors(name: str) -> None:
    reading = read_job(example_text(name), SPECS)
    assert reading.job is not None
    assert not [f for f in evaluate(reading, Studio()).findings if f.severity == "error"]


@pytest.mark.parametrize(
    ("old", "new", "code", "place", "says"),
    [
        ('kind    = "column"', 'kind = "colum"', "unknown-kind", "pieces[0].kind", "column"),
        ("height  =", "hight =", "unknown-key", "pieces[0].hight", 'Did you mean "height"?'),
        ("height  =", "hight =", "missing", "pieces[0].height", "height"),
        ('"6 ft"', '"6"', "unit", "pieces[0].height", "no unit"),
        ('"6 ft"', '"6 kg"', "unit", "pieces[0].height", "mass"),
        ('"6 ft"', '"-6 ft"', "out-of-bounds", "pieces[0].height", "too small"),
        ('"6 ft"', '"0 ft"', "out-of-bounds", "pieces[0].height", "too small"),
        ('"6 ft"', '"nan ft"', "unit", "pieces[0].height", "cannot be read"),
        ('"6 ft"', "nan", "unit", "pieces[0].height", "no unit"),
        ('"6 ft"', "6.0", "unit", "pieces[0].height", "no unit"),
        ('"6 ft"', '"1 km"', "out-of-bounds", "pieces[0].height", "too large"),
        ("count   = 2", "count = 1000000", "out-of-bounds", "pieces[0].count", "too large"),
        ("count   = 2", "count = true", "yes-or-no", "pieces[0].count", "true"),
        ("4 x 11in @ 9.5in", "4 x 11in @ 13in", "over-inflated", "pieces[0].body[0]", "bursts"),
        ("4 x 11in @ 9.5in", "4 x 11in @ 3in", "under-inflated", "pieces[0].body[0]", "bag"),
        ("4 x 11in @ 9.5in", "4 x 10in @ 9.5in", "unknown-size", "pieces[0].body[0]", "10in"),
        ("4 x 11in @ 9.5in", "4 times 11in", "notation", "pieces[0].body[0]", "4 x 11in"),
        ("4 x 11in @ 9.5in", "0 x 11in", "notation", "pieces[0].body[0]", "no balloons"),
        ("4 x 11in @ 9.5in", "99 x 11in", "notation", "pieces[0].body[0]", "99 balloons"),
        ("4 x 11in @ 9.5in", "1 x 11in", "cannot-be-tied", "pieces[0].body[0]", "does not hold"),
        ("4 x 11in @ 9.5in", "4 x 260", "cannot-be-tied", "pieces[0].body[0]", "260"),
        ('shade = "coral", tie', 'shade = "corral", tie', "unknown-shade",
         "pieces[0].topper.shade", 'Did you mean "coral"?'),
        ('coral = "#f0705a"', 'coral = "f0705a"', "unknown-shade", "shades.coral", "color"),
        ('coral = "#f0705a"', 'coral = "#f0705"', "colour", "shades.coral", "color"),
        ('"Cloud column"\nkind', '"Swirl column"\nkind', "duplicate-name",
         "pieces[0].name", "2 pieces"),
        ('["Pebble column"]', '["Peble column"]', "unknown-piece", "options[2].pieces[0]",
         'Did you mean "Pebble column"?'),
        ('["Pebble column"]', "[]", "too-short", "options[2].pieces", "empty"),
        ("2027-05-22", "2020-05-22", "past-date", "job.date", "past"),
        ("2027-05-22", '"soon"', "date-from-datetime-parsing", "job.date", "no date"),
        ('"10:00"', '"25:00"', "string-pattern-mismatch", "job.guests", "time of day"),
        ('access   = "06:30"', 'access = "11:00"', "access-after-guests", "venue.access", "10:00"),
        ('strike   = "18:00"', 'strike   = "09:00"', "strike-before-guests", "job.strike", "09:00"),
        ('"USD"', '"dollars"', "currency", "job.currency", "USD"),
        ('"indoor"  ', '"indoors"', "unknown-choice", "venue.setting", 'Did you mean "indoor"?'),
        ('"airwright-job/1"', '"airwright-job/9"', "format", "format", "airwright-job/1"),
        ('face    = "5in"', 'face = "9in"', "unknown-face", "pieces[2].face", "9in"),
    ],
)  # fmt: skip
def test_each_mistake_is_found(old: str, new: str, code: str, place: str, says: str) -> None:
    assert old in GOOD
    found = findings(GOOD.replace(old, new, 1))
    assert code in found, found.keys()
    finding = found[code]
    assert finding.place == place
    assert says in f"{finding.what} {finding.mend}"
    assert finding.mend
    assert finding.line is not None
    line = GOOD.replace(old, new, 1).splitlines()[finding.line - 1]
    assert (
        code == "missing"
        or place.split(".")[-1].split("[")[0].rstrip("0123456789[]") in line
        or line.startswith("[")
    )


def test_all_mistakes_come_at_once() -> None:
    wrong = (
        GOOD.replace("height  =", "hight =", 1)
        .replace("4 x 5in @ 4.5in", "4 x 5in @ 45in")
        .replace('["Pebble column"]', '["Peble column"]')
        .replace('"10:00"', '"ten"')
    )
    assert {"missing", "unknown-key", "string-pattern-mismatch"} <= findings(wrong).keys()
    wrong = wrong.replace('"ten"', '"10:00"')
    codes = findings(wrong).keys()
    assert {"missing", "unknown-key", "unknown-piece", "over-inflated"} <= codes


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b"  \n\n ", "empty-file"),
        (b"\x00\x01\x02PNG", "not-text"),
        ("title = 'Käse'".encode("latin-1"), "encoding"),
        (b"x" * (LARGEST_FILE + 1), "file-too-large"),
        (b"[job\ntitle=", "syntax"),
        (b"a = 1\na = 2\n", "syntax"),
        (b"[" * 100_000, "syntax"),
    ],
)
def test_files_that_are_no_job(data: bytes, code: str) -> None:
    reading = read_job(data, SPECS)
    assert reading.job is None
    assert [f.code for f in reading.findings] == [code]
    assert reading.findings[0].mend


def test_a_million_balloons_are_refused_before_anything_is_built() -> None:
    column = (
        '[[pieces]]\nname = "Tower {at}"\nkind = "column"\ncount = 500\nheight = "12 ft"\n'
        'body = ["6 x 5in @ 4in"]\nshades = ["coral"]\n'
    )
    found = findings(GOOD + "\n" + "".join(column.format(at=at) for at in range(5)))
    assert "too-many-balloons" not in findings(GOOD)
    assert "too-many-balloons" in found
    assert "balloons" in found["too-many-balloons"].what


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_damaged_files_give_findings_never_a_traceback(data: st.DataObject) -> None:
    lines = GOOD.splitlines()
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(lines) - 1))
        action = data.draw(st.sampled_from(["drop", "cut", "double", "noise"]))
        if action == "drop":
            lines.pop(at)
        elif action == "cut":
            lines[at] = lines[at][: data.draw(st.integers(0, len(lines[at])))]
        elif action == "double":
            lines.insert(at, lines[at])
        else:
            lines[at] += data.draw(st.text(max_size=8))
    reading = read_job("\n".join(lines), SPECS)
    assert reading.job is not None or any(f.severity == "error" for f in reading.findings)
    assert all(f.what and f.mend for f in reading.findings)


@pytest.mark.parametrize(
    ("access", "guests", "strike", "wrong"),
    [
        ("14:00", "18:00", "01:00", False),  # a party past midnight
        ("14:00", "18:00", "10:00", False),  # taken down the next morning
        ("14:00", "18:00", "17:00", True),
        ("14:00", "18:00", "18:00", True),
    ],
)
def test_a_take_down_before_access_is_one_of_the_next_day(
    access: str, guests: str, strike: str, wrong: bool
) -> None:
    text = GOOD
    for key, clock in (("access", access), ("guests", guests), ("strike", strike)):
        text, times = re.subn(rf'(?m)^({key}\s*=) "[\d:]+"', rf'\1 "{clock}"', text)
        assert times == 1
    assert ("strike-before-guests" in findings(text)) == wrong
