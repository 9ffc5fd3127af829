"""The calculators as their users meet them: answers, JSON, refusals with cure and exit 2."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from airwright.cli.app import app
from airwright.job.examples import example_text

RUNNER = CliRunner()
TALL = ("--height", "7 ft", "--width", "22 in", "--mass", "6 kg", "--base", "16 in")

QUESTIONS = [
    ("size", "11in @ 9.5in"),
    ("size", "24in @ 22in", "--sun", "--peak", "33 C", "--colour", "#202020", "--altitude", "1 mi"),
    ("lift", "11in @ 10.5in", "--count", "40"),
    ("lift", "18in foil round"),
    ("wind", *TALL),
    ("wind", *TALL, "--gust", "8 m/s"),
    ("wind", *TALL, "--gust", "8 m/s", "--ballast", "10 kg"),
    ("cylinder",),
    ("cylinder", "--reads", "1200 psi gauge", "--for", "11in @ 10in", "--count", "900"),
    ("string", "11in @ 10.5in", "--span", "6 m", "--length", "9 m", "--count", "30"),
    ("string", "11in", "--span", "20 ft", "--length", "30 ft", "--count", "30", "--breeze", "3 kn"),
    ("room", "40 m3", "--gas", "9 m3"),
    ("room", "9 m3", "--cylinder", "50 L", "--reads", "120 bar gauge"),
    ("fill", "9in @ 8in", "--into", "2 m3", "--narrowest", "1 m"),
    ("fill", "9in", "--count", "500"),
    ("fresh", "sun", "--warmth", "30 C", "--hours", "6 h"),
    ("fresh", "indoors"),
]  # fmt: skip

REFUSED = [
    (("size", "11in @ 14in"), "bursts before it gets that large", "larger balloon"),
    (("size", "11in @ 1in"), "still slack", "inflate larger"),
    (("size", "13in"), 'no balloon "13in"', "Known sizes"),
    (("size", "eleven @"), "is no balloon", "Write it like"),
    (("size", "18in foil round"), "is no round latex balloon", "11in @ 9.5in"),
    (("size", "11in", "--peak", "-300 C"), "-300 °C", "No such temperature"),
    (("size", "11in", "--peak", "95 C"), "80 °C", "check the unit"),
    (("size", "11in", "--peak", "95"), "--peak: ", "19 C"),
    (("size", "11in", "--altitude", "20 km"), "Altitude is", "height above sea level"),
    (("size", "11in", "--weighs", "0 g"), "Mass of one balloon", "Weigh ten"),
    (("size", "11in", "--weighs", "28 kg"), "Mass of one balloon", "Weigh ten"),
    (("size", "11in", "--flat", "3.9 ft"), "Flat width", "check the units"),
    (("size", "11in", "--margin", "nan"), "Margin is nan", "0.05"),
    (("size", "11in", "--colour", "red"), '"red" is no colour', "#1f7a7a"),
    (("size", "11in", "--finish", "shiny"), '"shiny" is no finish', "matte"),
    (("size", "24in", "--sun", "--peak", "75 C", "--colour", "#000000"), "80 °C", "shade"),
    (("size", "11in", "--units", "cubits"), "is no choice", "feet or metric"),
    (("lift", "11in", "--purity", "95"), "Helium purity is 95", "0.95"),
    (("lift", "11in", "--ribbon", "2"), "has no unit", "6 ft"),
    (("lift", "11in", "--tail", "20 kg"), "Tail is", "5 kg"),
    (("wind", "--height", "7 ft"), "--width, --mass, --base missing", "airwright wind --height"),
    (("wind", *TALL[:-1], "0 in"), "Base is", "20 m"),
    (("wind", *TALL, "--gust", "400 mph"), "Wind speed is", "check the unit"),
    (("wind", *TALL, "--factor", "0.5"), "Factor of safety", "1.5 is usual"),
    (("wind", *TALL, "--ballast=-3 kg"), "Ballast is", "From zero"),
    (("wind", "nowhere.toml"), "There is no file", "airwright new"),
    (("cylinder", "--waste", "5"), "5 is no share", "0.05"),
    (("size", "28cm @ 24cm"), 'no balloon "28cm"', 'Did you mean "11in"?'),
    (("wind", *TALL, "--gust", "8,5 m/s"), "comma in its number", "with a point"),
    (("cylinder", "--reads", "200 bar"), "gauge or absolute", '"200 bar gauge"'),
    (("cylinder", "--reads", "600 bar gauge"), "Cylinder pressure is 600 bar", "psi"),
    (("cylinder", "--reads", "220 bar gauge", "--stamped", "200 bar gauge"), "stamped for",
     "ask the gas supplier"),
    (("cylinder", "--stamped", "201 bar absolute"), "mix gauge and absolute", "gauge"),
    (("cylinder", "--water", "50 m3"), "Cylinder water volume", "shoulder"),
    (("cylinder", "--count", "20"), "--count of what?", "--for"),
    (("cylinder", "--reads", "1 bar gauge", "--for", "11in", "--count", "5"), "Usable gas",
     "empty"),
    (("string", "11in", "--span", "9 m", "--length", "6 m", "--count", "9"), "Length of the line",
     "longer than the straight way"),
    (("string", "5in", "--span", "6 m", "--length", "9 m", "--count", "9"), "Net lift", "float"),
    (("room", "9 m3"), "How much helium", "--cylinder"),
    (("room", "0 m3", "--gas", "1 m3"), "Room volume is", "check the unit"),
    (("room", "9 kg", "--gas", "1 m3"), "is a mass, not a volume", "30 m3"),
    (("fill", "9in"), "Fill what", "--into"),
    (("fill", "24in", "--into", "1 m3", "--narrowest", "50 cm"), "too narrow", "too large"),
    (("fresh", "cellar"), '"cellar" is no place', "indoors"),
    (("fresh", "sun", "--hours=-3 h"), "Hours is -3 h", "month"),
]  # fmt: skip


def ask(*words: str) -> Result:
    return RUNNER.invoke(app, list(words))


@pytest.mark.parametrize("question", QUESTIONS, ids=" ".join)
def test_questions_are_answered(question: tuple[str, ...]) -> None:
    done = ask(*question)
    assert done.exit_code == 0, done.output
    assert len(done.stdout.splitlines()) > 4
    assert not [line for line in done.stdout.splitlines() if line.endswith(" ")]
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "nan" not in done.stdout
    assert done.stderr == ""


@pytest.mark.parametrize("question", QUESTIONS, ids=" ".join)
def test_json_holds_finite_plain_values(question: tuple[str, ...]) -> None:
    done = ask(*question, "--json")
    assert done.exit_code == 0, done.output

    def refuse(word: str) -> None:
        raise AssertionError(word)

    value = json.loads(done.stdout, parse_constant=refuse)
    assert value["doubts"]
    assert any(isinstance(part, float) for part in (value.get("found") or value).values())


@pytest.mark.parametrize(("question", "what", "mend"), REFUSED, ids=lambda x: " ".join(x)[:60])
def test_wrong_questions_are_refused_with_their_cure(
    question: tuple[str, ...], what: str, mend: str
) -> None:
    done = ask(*question)
    assert done.exit_code == 2
    assert what in done.stderr
    assert mend in done.stderr
    assert done.stdout == ""
    assert "Traceback" not in done.stderr


@pytest.mark.published
def test_a_cylinder_holds_what_the_reference_table_says() -> None:
    # 50 L at 200 bar absolute and 15 °C: 9.001 m³ = 317.9 ft³ (reference equation, CoolProp).
    value = json.loads(ask("cylinder", "--reads", "200 bar absolute", "--json").stdout)
    assert value["contents_m3"] == pytest.approx(9.0013, rel=5e-4)
    assert value["contents_ft3"] == pytest.approx(317.9, rel=5e-4)
    assert value["ideal_m3"] / value["contents_m3"] - 1 == pytest.approx(0.096, abs=2e-3)


@pytest.mark.closed_form
def test_a_string_hangs_upward_as_a_catenary_does() -> None:
    value = json.loads(
        ask("string", "11in", "--span", "6 m", "--length", "9 m", "--count", "30", "--json").stdout
    )
    # For a catenary of length s and sag f over a level span: tension at the end - least tension
    # = w f, and end tension^2 = H^2 + (w s/2)^2.
    w, s, f, h = (value[k] for k in ("lift_n_m", "length_m", "height_m", "horizontal_n"))
    assert value["tension_n"] - h == pytest.approx(w * f, rel=1e-4)
    assert value["tension_n"] ** 2 == pytest.approx(h**2 + (w * s / 2) ** 2, rel=1e-4)


@pytest.mark.closed_form
def test_oxygen_falls_by_the_share_of_the_gas() -> None:
    value = json.loads(ask("room", "40 m3", "--gas", "10 m3", "--json").stdout)
    assert value["worst_oxygen"] == pytest.approx(0.209 * 0.75)
    assert not value["enough"]


def test_a_scale_of_ones_own_changes_lift_by_just_that() -> None:
    plain, heavy = (
        json.loads(ask("lift", "11in @ 10in", *words, "--json").stdout)
        for words in ((), ("--weighs", "3.8 g"))
    )
    assert heavy["net_lift_kg"] - plain["net_lift_kg"] == pytest.approx(-0.001, abs=2e-5)


def test_the_studio_beside_speaks_for_itself(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "studio.toml").write_text(
        'format = "airwright-studio/1"\n[studio]\nunits = "metric"\n'
        '[[weighed]]\nsize = "11in"\ncount = 10\nmass = "29 g"\n'
    )
    monkeypatch.chdir(tmp_path)
    done = ask("lift", "11in @ 25 cm")
    assert done.stdout.startswith("11in filled to 25 cm (9.8 in)")
    assert "balloon 2.9 g" in done.stdout


def test_wind_of_a_job_tells_every_standing_piece(tmp_path: Path) -> None:
    path = tmp_path / "job.toml"
    path.write_text(example_text("ferry-terminal"))
    done = ask("wind", str(path))
    assert done.exit_code == 0, done.output
    for name in ("2 × Swirl column", "Cloud column", "Pebble column"):
        assert name in done.stdout
    value = json.loads(ask("wind", str(path), "--json").stdout)
    assert [piece["stability"]["how"] for piece in value["pieces"]] == ["stands"] * 3
    assert ask("wind", str(path), "--gust", "5 m/s").exit_code == 2
    path.write_text("format = 3")
    assert ask("wind", str(path)).exit_code == 1


def test_help_stays_light() -> None:
    code = (
        "import sys\nfrom airwright.cli.app import app\n"
        "heavy = {'numpy', 'scipy', 'fluids', 'rich.table', 'pydantic'} & set(sys.modules)\n"
        "sys.exit(', '.join(heavy) or 0)"
    )
    environment = {**os.environ, "PYTHONPATH": "src"}
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, env=environment
    )
    assert done.returncode == 0, done.stderr
