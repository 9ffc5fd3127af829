"""Resizing designs and making look books on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airwright.job.examples import example_text
from tests.cli.quick import QuickCamera, files_in, run


def test_a_resized_file_keeps_its_comments(job_file: Path) -> None:
    out = job_file.parent / "tall.toml"
    done = run("resize", job_file, "--out", out, "--height", "7 ft", "--palette", "navy=#20304a")
    assert done.exit_code == 0
    text = out.read_text()
    assert "# floor to the top of the packed body" in text
    assert text.count('"7 ft"') == 3
    assert "navy" in text
    assert "coral" not in text
    assert run("check", out).exit_code == 0
    again = run("resize", job_file, "--out", out, "--times", "2")
    assert again.exit_code == 2
    assert out.read_text() == text


@pytest.mark.parametrize(
    ("args", "says"),
    [
        ([], "Nothing is to change"),
        (["--times", "2", "--budget", "400"], "one of them at a time"),
        (["--budget", "cheap"], "is no amount"),
        (["--budget", "5"], "smallest tried costs"),
        (["--height", "7 kg"], "is a mass"),
        (["--height", "60 ft"], "13 ft at the most"),
        (["--palette", "blue"], "is no shade"),
        (["--palette", "blue=#0000ff shiny"], "matte, pearl"),
        (["--option", "Nobody"], "Classic, Statement, Textured"),
        (["--times", "nan"], "cannot be made"),
    ],
)
def test_what_cannot_be_resized(job_file: Path, args: list[str], says: str) -> None:
    out = job_file.parent / "new.toml"
    done = run("resize", job_file, "--out", out, *args)
    assert done.exit_code == 2
    assert says in done.stderr
    assert not out.exists()


@pytest.fixture
def designs(home: Path) -> Path:
    """Two good designs, and files that are none."""
    folder = home / "designs"
    folder.mkdir()
    for name in ("harbour-lights", "regatta-wall"):
        (folder / f"{name}.toml").write_text(example_text(f"designs/{name}"))
    return folder


def test_bad_files_are_told_and_the_rest_is_made(camera: QuickCamera, designs: Path) -> None:
    (designs / "broken.toml").write_text("format = [")
    (designs / "photo.toml").write_bytes(b"\x89PNG\0\0")
    (designs / "unknown.toml").write_text(
        example_text("designs/regatta-wall").replace('"wall"', '"carousel"')
    )
    (designs / "hall.marks.toml").write_text('format = "airwright-room/1"')
    (designs / "notes.txt").write_text("not a design")
    out = designs.parent / "book"
    done = run("looks", designs, "--out", out, "--json")
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    errors = {f["file"] for f in told["findings"] if f["severity"] == "error"}
    assert errors == {"broken.toml", "photo.toml", "unknown.toml"}
    assert [look["name"] for look in told["looks"]] == ["Harbour lights", "Regatta wall"]
    assert {"index.html", "look-book.pdf", "price-menu.pdf"} <= files_in(out)
    assert "pictures/regatta-wall.jpg" in files_in(out)


def test_looks_with_drawings_and_in_one_palette(camera: QuickCamera, designs: Path) -> None:
    out = designs.parent / "book"
    shades = "plum=#6d4a6b, milk=#f7f5f0"
    done = run("looks", designs, "--out", out, "--no-photos", "--palette", shades)
    assert done.exit_code == 0
    assert camera.taken == []
    page = (out / "index.html").read_text()
    assert "plum" in page
    assert "navy" not in page
    assert "pictures/harbour-lights.svg" in page


def test_a_job_pack_is_not_replaced_by_a_look_book(camera: QuickCamera, designs: Path) -> None:
    pack = designs.parent / "pack"
    run("plan", designs / "regatta-wall.toml", "--out", pack, "--no-photos")
    before = files_in(pack)
    done = run("looks", designs, "--out", pack, "--no-photos")
    assert done.exit_code == 2
    assert "job pack" in done.stderr
    assert files_in(pack) == before


def test_a_folder_without_designs(home: Path) -> None:
    empty = home / "empty"
    empty.mkdir()
    done = run("looks", empty, "--out", home / "book")
    assert done.exit_code == 2
    assert "holds no designs" in done.stderr
    done = run("looks", home / "nowhere", "--out", home / "book")
    assert done.exit_code == 2
    assert "cannot be read" in done.stderr
