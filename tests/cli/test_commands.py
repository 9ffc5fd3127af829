"""The command line as its users meet it: output, exit codes, messages."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from airwright.job.examples import example_text


def run(
    *args: str, stdin: str | None = None, cwd: Path | None = None
) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "airwright", *args],
        input=stdin,
        capture_output=True,
        text=True,
        cwd=cwd,
        timeout=120,
        check=False,
    )


@pytest.fixture
def job_file(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(example_text("ferry-terminal"))
    return path


def test_new_writes_a_job_that_checks(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    assert run("new", str(path)).returncode == 0
    done = run("check", str(path))
    assert done.returncode == 0
    assert "3 pieces can be built" in done.stdout


def test_new_never_overwrites(job_file: Path) -> None:
    before = job_file.read_text()
    done = run("new", str(job_file))
    assert done.returncode == 2
    assert "already there" in done.stderr
    assert job_file.read_text() == before


def test_check_tells_place_and_cure(job_file: Path) -> None:
    job_file.write_text(job_file.read_text().replace('"6 ft"', '"6 kg"', 1))
    done = run("check", str(job_file))
    assert done.returncode == 1
    assert "job.toml:31:1" in done.stderr
    assert "is a mass, not a length" in done.stderr
    assert "Traceback" not in done.stderr


def test_check_in_json(job_file: Path) -> None:
    job_file.write_text(job_file.read_text().replace("height  =", "hight =", 1))
    done = run("check", str(job_file), "--json")
    assert done.returncode == 1
    found = json.loads(done.stdout)["findings"]
    assert {f["code"] for f in found} >= {"missing", "unknown-key"}
    assert done.stderr == ""


def test_price_in_json(job_file: Path) -> None:
    done = run("price", str(job_file), "--json")
    assert done.returncode == 0
    assert [option["name"] for option in json.loads(done.stdout)["options"]] == [
        "Classic",
        "Statement",
        "Textured",
    ]


def test_price_shows_options_side_by_side(job_file: Path) -> None:
    done = run("price", str(job_file))
    assert done.returncode == 0
    for word in ("Classic", "Statement", "Textured", "Cost", "Price"):
        assert word in done.stdout


def test_a_job_from_standard_input() -> None:
    assert run("check", "-", stdin=example_text("ferry-terminal")).returncode == 0


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("check", "missing.toml"), "There is no file missing.toml"),
        (("check", "nowhere/job.toml"), "There is no folder nowhere either"),
        (("new", "nowhere/job.toml"), "There is no folder nowhere"),
        (("check", "-", "--studio", "missing.toml"), "leave --studio out"),
        (("check", "."), "is a folder"),
        (("plan", "missing.toml", "--out", "x"), "There is no file"),
        (("chek",), "No such command"),
        (("price",), "Missing argument"),
    ],
)
def test_wrong_usage_ends_with_two(tmp_path: Path, args: tuple[str, ...], says: str) -> None:
    done = run(*args, cwd=tmp_path)
    assert done.returncode == 2
    assert says in done.stderr
    assert "Traceback" not in done.stderr


def test_studio_file_beside_the_job_is_used(job_file: Path) -> None:
    studio = job_file.parent / "studio.toml"
    studio.write_text('format = "airwright-studio/1"\n[pricing]\nmargin = 0.0\n')
    cheap = json.loads(run("price", str(job_file), "--json").stdout)
    studio.unlink()
    usual = json.loads(run("price", str(job_file), "--json").stdout)
    assert float(cheap["money"]["price"]) < float(usual["money"]["price"])


def test_wrong_studio_file_is_told(job_file: Path) -> None:
    (job_file.parent / "studio.toml").write_text(
        'format = "airwright-studio/1"\n[pricing]\nmargn = 0.4\n'
    )
    done = run("check", str(job_file))
    assert done.returncode == 1
    assert 'Did you mean "margin"?' in done.stderr


def test_the_closing_list_names_the_papers_for_a_relative_folder(tmp_path: Path) -> None:
    from airwright.cli.show import files_in_short

    written = [tmp_path / "proposal.pdf", tmp_path / "pictures" / "a.svg"]
    for out in (tmp_path, Path(os.path.relpath(tmp_path))):
        lines = [line.plain.strip() for line in files_in_short(written, out)]
        assert "proposal.pdf" in lines
        assert lines[-1].startswith("pictures/")
