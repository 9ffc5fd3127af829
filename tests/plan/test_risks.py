"""Findings of physics: each risk once a job, in words that carry their cure."""

import itertools

import pytest

from airwright.job import Severity, Studio
from airwright.job.studio import House
from airwright.plan.planning import make_plan
from airwright.plan.stability import Stability
from airwright.plan.strength import Hanging
from airwright.plan.wording import Words, listed
from airwright.units import System
from tests.plan.samples import column, job, plan

OURS = {
    "ballast", "cannot-hold", "take-in", "no-gust", "anchors", "over-tight", "foil-warm",
    "tight-if-sunny", "helium-size", "no-lift", "sinks-early", "weights-light", "helium-short",
    "low-oxygen", "tired-latex", "not-reckoned",
}  # fmt: skip


def many(count: int, text: str) -> str:
    head, body = text.split("[[pieces]]")
    pieces = [body.replace('"Column"', f'"Column {at}"') for at in range(count)]
    return head + "".join(f"[[pieces]]{piece}" for piece in pieces)


def test_a_small_indoor_job_gets_one_finding_of_physics() -> None:
    found = [f for f in plan(many(8, column())).findings if f.code in OURS]
    assert [f.code for f in found] == ["ballast"]
    assert "4 more" in found[0].what or "5 more" in found[0].what


def test_an_outdoor_job_without_a_gust_says_what_is_reckoned_with() -> None:
    made = plan(column().replace('"indoor" ', '"open air"'))
    (found,) = [f for f in made.findings if f.code == "no-gust"]
    assert found.place == "venue.gust"
    assert "24 mph is assumed outdoors" in found.what


def needed(text: str) -> list[float]:
    """What each piece needs to be held: ballast, load of a fixing point, weight [kg or N]."""
    held = []
    for piece in plan(text).pieces:
        if isinstance(piece.stability, Stability):
            held.append(piece.stability.ballast_needed_kg)
        elif isinstance(piece.stability, Hanging):
            held.append(piece.stability.anchor_n)
        elif piece.weighting is not None:
            held.append(piece.weighting.needed_kg)
    return held


@pytest.mark.parametrize("setting", ["sheltered", "open air"])
def test_a_stronger_gust_never_needs_less_and_a_written_one_never_more_than_none(
    setting: str,
) -> None:
    """Below the gust that is assumed where none is written, each written one needs less."""
    arch = '[[pieces]]\nname = "Arch"\nkind = "arch"\nwidth = "8 ft"\nheight = "7 ft"\n'
    swag = '[[pieces]]\nname = "Swag"\nkind = "garland"\npath = "swag"\nwidth = "6 ft"\n'
    text = (
        column().replace('"indoor" ', f'"{setting}"')
        + f'{arch}body = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
        + f'{swag}height = "7 ft"\nshades = ["coral"]\n'
        + '[[pieces]]\nname = "Bouquet"\nkind = "bouquet"\nheight = "8 ft"\n'
        + '[[pieces.balloons]]\nballoon = "11in @ 10in"\ncount = 3\nshades = ["coral"]\n'
    )
    lines = [row for row in text.splitlines() if not row.startswith("gust ")]
    at = lines.index("[venue]") + 1
    unwritten = needed("\n".join(lines))
    assert len(unwritten) == 4
    rows = [
        needed("\n".join([*lines[:at], f'gust = "{gust} m/s"', *lines[at:]]))
        for gust in (0.5, 2, 5, 8, 10.7, 14, 20)
    ]
    for weaker, stronger in itertools.pairwise(rows):
        assert all(a <= b + 1e-9 for a, b in zip(weaker, stronger, strict=True))
    for row in rows[:5]:
        assert all(a <= b + 1e-9 for a, b in zip(row, unwritten, strict=True))


def test_outdoor_risks_name_piece_cure_and_standard() -> None:
    text = many(3, column()).replace('"indoor" ', '"open air"').replace('"0 m/s"', '"12 m/s"')
    found = {f.code: f for f in plan(text).findings}
    assert {"ballast", "cannot-hold", "take-in"} <= set(found)
    for code in ("ballast", "cannot-hold", "take-in"):
        assert "Column 0" in found[code].what
        assert found[code].mend.endswith("licensed people decide.")
        assert found[code].standard
        assert found[code].severity is Severity.CAUTION


def test_alike_limits_are_told_together() -> None:
    text = many(3, column()).replace('"indoor" ', '"open air"').replace('"0 m/s"', '"12 m/s"')
    (take_in,) = [f for f in plan(text).findings if f.code == "take-in"]
    assert take_in.what.count("gusts above") == 1


def test_findings_follow_the_scope() -> None:
    text = column(body='["4 x 11in @ 10.5in"]') + (
        '\n[[pieces]]\nname = "Fine"\nkind = "column"\nheight = "6 ft"\n'
        'body = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
        '[[options]]\nname = "One"\npieces = ["Fine"]\n'
        '[[options]]\nname = "Two"\npieces = ["Column"]\n'
    )
    chosen = text.replace("[job]\n", '[job]\nchosen = "One"\n')
    assert "over-tight" in {f.code for f in plan(text).findings}
    assert "over-tight" not in {f.code for f in plan(chosen).findings}


@pytest.mark.parametrize("setting", ["indoor", "sheltered", "open air"])
def test_no_physics_ever_stops_a_plan(setting: str) -> None:
    one = job()
    hard = one.venue.model_copy(
        update={
            "setting": setting, "sun": "sun", "peak_temperature": 60.0, "altitude": 4500.0,
            "workshop_temperature": -10.0, "gust": 40.0, "drive": 2e6,
        }
    )  # fmt: skip
    made = make_plan(one.model_copy(update={"venue": hard}))
    assert made.physics is not None
    assert all(f.severity is not Severity.ERROR for f in made.findings)
    bursts = [f for f in made.findings if f.code == "over-tight"]
    assert bursts


def test_limits_are_rounded_down_in_both_units() -> None:
    assert Words(System.FEET).limit(5.56) == "12 mph"
    assert Words(System.METRIC).limit(5.999) == "5 m/s"
    assert Words(System.FEET, beside=True).limit(5.56) == "12 mph (5 m/s)"


def test_long_lists_are_cut() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
    assert listed([*"abcdefg"]) == "a, b, c and 4 more"


def test_bases_filled_alike_are_told_together() -> None:
    (found,) = [f for f in plan(many(2, column())).findings if f.code == "ballast"]
    assert '"Column 0" and "Column 1"' in found.what
    assert found.what.count(" lb in ") == 1


def test_outdoors_each_risk_is_told_by_one_finding() -> None:
    text = column().replace('"indoor" ', '"open air"').replace('"0 m/s"', '"12 m/s"')
    codes = [f.code for f in plan(text).findings]
    assert len(codes) == len(set(codes))
    assert "weather" not in codes


def test_the_studio_reads_its_own_units() -> None:
    made = make_plan(job(), Studio(studio=House(units=System.METRIC)))
    (ladder,) = [f for f in made.findings if f.code == "ladder"]
    assert " m." in ladder.what
    assert "ft" not in ladder.what
