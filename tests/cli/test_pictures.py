"""Photographs on the command line: pictures, packs, the client's room.

Most tests put a quick camera in the place of the ray tracer, to look at what is done with its
pictures; those marked slow let it trace small ones.
"""

from __future__ import annotations

import io
import json
import os
import signal
import struct
import subprocess
import sys
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from airwright.cli.photo_bar import left_in_words
from airwright.papers import photographs
from airwright.pictures.photo import PhotoError
from tests.cli.quick import SMALL, QuickCamera, files_in, one_cloud_column, run

# ---- picture ----------------------------------------------------------------------


def test_each_option_and_each_piece_when_asked(camera: QuickCamera, job_file: Path) -> None:
    out = job_file.parent / "out"
    assert run("picture", job_file, "--out", out, *SMALL).exit_code == 0
    options = {"option-classic.png", "option-statement.png", "option-textured.png"}
    assert files_in(out) == options
    assert run("picture", job_file, "--out", out, "--pieces", *SMALL).exit_code == 0
    pieces = {"swirl-column.png", "cloud-column.png", "pebble-column.png"}
    assert files_in(out) == options | pieces
    with Image.open(out / "option-classic.png") as image:
        assert image.size == (64, 86)


def test_a_second_run_takes_nothing_anew_until_the_design_changes(
    camera: QuickCamera, job_file: Path
) -> None:
    out = job_file.parent / "out"
    run("picture", job_file, "--out", out, *SMALL)
    before = {name: (out / name).read_bytes() for name in files_in(out)}
    told = json.loads(run("picture", job_file, "--out", out, "--json", *SMALL).stdout)
    assert len(camera.taken) == 3
    assert all(entry["reused"] for entry in told["pictures"])
    assert {name: (out / name).read_bytes() for name in files_in(out)} == before
    job_file.write_text(job_file.read_text().replace('teal  = "#1f7a7a"', 'teal  = "#1f7a7b"'))
    run("picture", job_file, "--out", out, *SMALL)
    assert camera.taken[3:] == ["Classic", "Statement"]  # the pebble column holds no teal


def test_words_for_programs(camera: QuickCamera, job_file: Path) -> None:
    out = job_file.parent / "out"
    told = json.loads(run("picture", job_file, "--out", out, "--json", *SMALL).stdout)
    first = told["pictures"][0]
    assert (first["file"], first["name"], first["picture"]) == (
        "option-classic.png",
        "Classic",
        "photograph",
    )
    assert (first["place"], first["size"]) == ("bright hall", [64, 86])
    assert told["findings"] == []


def test_outdoors_a_lawn_indoors_a_hall(camera: QuickCamera, job_file: Path) -> None:
    job_file.write_text(job_file.read_text().replace('"indoor"   ', '"open air" '))
    out = job_file.parent / "out"
    told = json.loads(run("picture", job_file, "--out", out, "--json", *SMALL).stdout)
    assert {entry["place"] for entry in told["pictures"]} == {"lawn"}


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (["--quality", "superb"], "draft, proposal, print"),
        (["--place", "moon"], "bright hall"),
        (["--size", "big"], "900x1200"),
        (["--size", "50000x50000"], "cannot be made"),
        (["--wall", "beige"], "is no colour"),
        (["--sides", "3 m x 2 m"], "belong to --corners"),
        (["--corners", "1,1 2,2 3,3 4,4"], "belong to one photo"),
    ],
)
def test_wrong_wishes_end_before_any_work(
    camera: QuickCamera, job_file: Path, args: list[str], says: str
) -> None:
    out = job_file.parent / "out"
    done = run("picture", job_file, "--out", out, *args)
    assert done.exit_code == 2
    assert says in done.stderr
    assert not out.exists()


def test_an_unknown_finish_is_told_with_its_line(camera: QuickCamera, job_file: Path) -> None:
    glossy = 'teal  = { colour = "#1f7a7a", finish = "glossy" }'
    job_file.write_text(job_file.read_text().replace('teal  = "#1f7a7a"', glossy))
    done = run("picture", job_file, "--out", job_file.parent / "out", *SMALL)
    assert done.exit_code == 1
    assert "finish" in done.stderr
    assert "matte" in done.stderr
    assert camera.taken == []


def test_a_folder_that_is_a_file(camera: QuickCamera, job_file: Path) -> None:
    done = run("picture", job_file, "--out", job_file, *SMALL)
    assert done.exit_code == 2
    assert "cannot take pictures" in done.stderr


TROUBLES = {
    "photo-render": PhotoError("photo.render", "The renderer stopped.", "Try a smaller picture."),
    "photo-memory": MemoryError(),
}


@pytest.mark.parametrize("code", TROUBLES)
def test_what_cannot_be_photographed_is_drawn(
    camera: QuickCamera, job_file: Path, code: str
) -> None:
    camera.trouble = TROUBLES[code]
    out = job_file.parent / "out"
    done = run("picture", job_file, "--out", out, "--json", *SMALL)
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    assert [f["code"] for f in told["findings"]] == [code] * 3
    assert all(f["mend"] for f in told["findings"])
    assert files_in(out) == {f"option-{n}.svg" for n in ("classic", "statement", "textured")}
    assert (out / "option-classic.svg").read_text().startswith("<svg")


def test_a_missing_renderer_is_told_once(
    home: Path, job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "mitsuba", None)  # importing it fails
    done = run("picture", job_file, "--out", home / "out", "--json", *SMALL)
    assert done.exit_code == 1
    codes = [f["code"] for f in json.loads(done.stdout)["findings"]]
    assert codes == ["photo-renderer-missing"]
    assert len(files_in(home / "out")) == 3


def test_a_damaged_picture_in_the_cache_is_taken_anew(camera: QuickCamera, job_file: Path) -> None:
    out = job_file.parent / "out"
    run("picture", job_file, "--out", out, *SMALL)
    held = sorted((job_file.parent / "cache").rglob("*.png"))
    held[0].write_bytes(held[0].read_bytes()[:40])
    run("picture", job_file, "--out", out, *SMALL)
    assert len(camera.taken) == 4


def test_the_cache_lets_go_of_what_was_unused_longest(tmp_path: Path) -> None:
    paths = [tmp_path / f"{n}.png" for n in range(4)]
    for age, path in enumerate(paths):
        path.write_bytes(bytes(100))
        os.utime(path, (1000 - age, 1000 - age))
    assert photographs.trim(tmp_path, keep={paths[3]}, most=250) == 2
    assert [path.exists() for path in paths] == [True, False, False, True]


def test_no_cache_folder_is_no_trouble(
    camera: QuickCamera, job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    blocked = job_file.parent / "blocked"
    blocked.write_text("a file where the cache would be")
    monkeypatch.setenv("XDG_CACHE_HOME", str(blocked))
    assert run("picture", job_file, "--out", job_file.parent / "out", *SMALL).exit_code == 0


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(0.4, ""), (3, "about 5 s left"), (61, "about 60 s left"), (170, "about 3 min left")],
)
def test_time_left_is_no_finer_than_anyone_can_use(seconds: float, words: str) -> None:
    assert left_in_words(seconds) == words


# ---- traced for real ----------------------------------------------------------------


@pytest.mark.slow
def test_the_same_input_gives_the_same_picture(
    home: Path, job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job_file.write_text(one_cloud_column(job_file.read_text()))
    for name in ("first", "second"):
        monkeypatch.setenv("XDG_CACHE_HOME", str(home / f"cache-{name}"))
        assert run("picture", job_file, "--out", home / name, *SMALL).exit_code == 0
    first, second = (home / n / "option-all-pieces.png" for n in ("first", "second"))
    assert first.read_bytes() == second.read_bytes()
    with Image.open(first) as image:
        pixels = np.asarray(image.convert("RGB"), int)
    teal = (pixels[..., 1] - pixels[..., 0] > 40).mean()
    assert 0.02 < teal < 0.6  # the column is in it, and so is what is round it


@pytest.mark.slow
def test_a_turn_around_and_solids(
    home: Path, job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from airwright.cli import picture_commands

    monkeypatch.setitem(picture_commands.STRIP_PX, "draft", 64)
    job_file.write_text(one_cloud_column(job_file.read_text()))
    done = run("picture", job_file, "--out", home / "out", "--turn-around", *SMALL)
    assert done.exit_code == 0
    stem = "cloud-column"
    made = files_in(home / "out")
    assert {f"{stem}-turn-around.png", f"{stem}-turn-around.svg", f"{stem}.glb"} <= made
    assert f"{stem}.usdz" in made
    with Image.open(home / "out" / f"{stem}-turn-around.png") as image:
        assert image.size[1] == 64
        assert image.size[0] % 8 == 0
        views = np.split(np.asarray(image.convert("RGB"), int), 8, axis=1)
    assert all(np.abs(views[0] - view).max() > 30 for view in views[1:])  # eight sides, not one
    assert (home / "out" / f"{stem}.glb").read_bytes()[:4] == b"glTF"


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals differ")
def hears_ctrl_c() -> None:
    """A shell that starts the tests in the background makes its children deaf to Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


AT_WORK = """
import importlib, sys
from airwright.cli import main

photograph = importlib.import_module("airwright.pictures.photo.photograph")
traced = photograph.traced

def telling(*args, **named):
    print("at work", file=sys.stderr, flush=True)
    return traced(*args, **named)

photograph.traced = telling
main()
"""
"""The program, which says so when it begins to trace light."""


def test_an_interrupt_leaves_no_half_file(home: Path, job_file: Path) -> None:
    out = home / "out"
    args = [sys.executable, "-c", AT_WORK, "picture", str(job_file), "--out", str(out)]
    process = subprocess.Popen(
        [*args, "--quality", "print"],
        stderr=subprocess.PIPE,
        text=True,
        env=dict(os.environ),
        preexec_fn=hears_ctrl_c,
    )
    try:
        assert process.stderr is not None
        assert process.stderr.readline() == "at work\n"
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=120)
    finally:
        process.kill()
    assert process.returncode == 130
    assert "Stopped" in said
    assert files_in(out) == set()
    assert not list(home.rglob("*.png"))
    assert not list(home.rglob(".*"))


# ---- in the pack -----------------------------------------------------------------------


def test_the_pack_opens_with_photographs_taken_once(camera: QuickCamera, job_file: Path) -> None:
    out = job_file.parent / "pack"
    assert run("plan", job_file, "--out", out).exit_code == 0
    assert camera.taken == ["Classic", "Statement", "Textured"]
    with_photos = (out / "proposal.pdf").read_bytes()
    assert run("plan", job_file, "--out", out).exit_code == 0
    assert len(camera.taken) == 3
    assert run("plan", job_file, "--out", out, "--no-photos").exit_code == 0
    assert len(camera.taken) == 3
    assert (out / "proposal.pdf").read_bytes() != with_photos


def test_without_a_renderer_the_whole_pack_is_there_with_drawings(
    home: Path, job_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawn, out = home / "drawn", home / "pack"
    run("plan", job_file, "--out", drawn, "--no-photos")
    monkeypatch.setitem(sys.modules, "mitsuba", None)
    done = run("plan", job_file, "--out", out)
    assert done.exit_code == 0
    assert "renderer cannot be loaded" in done.stdout
    assert files_in(out) == files_in(drawn)
    found = json.loads((out / "plan.json").read_text())["findings"]
    assert [f["code"] for f in found if f["code"].startswith("photo")] == ["photo-renderer-missing"]


def test_a_pack_in_no_such_quality(camera: QuickCamera, job_file: Path) -> None:
    out = job_file.parent / "pack"
    done = run("plan", job_file, "--out", out, "--photo-quality", "superb")
    assert done.exit_code == 2
    assert "draft, proposal, print" in done.stderr
    assert not out.exists()


# ---- the client's own room ----------------------------------------------------------------

CORNERS = "125,232 281,248 283,210 165,202"


def room_photo(path: Path, size: tuple[int, int] = (400, 300)) -> Path:
    image = Image.new("RGB", size, (205, 198, 188))
    image.paste((150, 122, 95), (0, size[1] * 6 // 10, *size))
    image.save(path)
    return path


def huge_png() -> bytes:
    """A picture of 50,000 × 50,000 pixels in a few bytes."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 50_000, 50_000, 8, 2, 0, 0, 0)
    body = zlib.compress(bytes(1000))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


@pytest.fixture
def damaged(request: pytest.FixtureRequest, home: Path) -> Path:
    path = home / "hall.jpg"
    made = io.BytesIO()
    Image.new("RGB", (400, 300)).save(made, "JPEG")
    path.write_bytes(
        {
            "text": b"these are the minutes of a meeting",
            "empty": b"",
            "cut short": made.getvalue()[:300],
            "huge": huge_png(),
        }[request.param]
    )
    return path


@pytest.mark.parametrize("damaged", ["text", "empty", "cut short", "huge"], indirect=True)
def test_a_photo_that_is_no_photo(job_file: Path, damaged: Path) -> None:
    out = job_file.parent / "out"
    done = run(
        "picture", job_file, "--out", out, "--room", damaged, "--corners", CORNERS,
        "--sides", "2 m x 1.5 m", "--json",
    )  # fmt: skip
    assert done.exit_code == 1
    (found,) = json.loads(done.stdout)["findings"]
    assert found["code"] in ("room-unreadable", "room-too-large")
    assert found["mend"]


@pytest.mark.parametrize(
    ("corners", "sides", "code"),
    [
        ("1,1 2,2 3,3", "2 m x 1 m", "room-corners"),
        ("125,232 281,248 165,202 283,210", "2 m x 1 m", "room-rectangle"),  # crossed
        ("10,10 20,10 30,10 40,10", "2 m x 1 m", "room-rectangle"),
        (CORNERS, "2 m", "room-sides"),
        (CORNERS, "2 kg x 1 m", "unit"),
        (CORNERS, "900 m x 1 m", "out-of-bounds"),
        (CORNERS, None, "room-sides"),
    ],
)
def test_marks_that_make_no_rectangle(
    job_file: Path, corners: str, sides: str | None, code: str
) -> None:
    photo = room_photo(job_file.parent / "hall.png")
    wish = [] if sides is None else ["--sides", sides]
    done = run(
        "picture", job_file, "--out", job_file.parent / "out", "--room", photo, "--corners",
        corners, *wish, "--json",
    )  # fmt: skip
    assert done.exit_code == 1
    (found,) = json.loads(done.stdout)["findings"]
    assert found["code"] == code


def test_a_photo_without_marks_says_where_they_go(job_file: Path) -> None:
    photo = room_photo(job_file.parent / "hall.png")
    done = run("picture", job_file, "--out", job_file.parent / "out", "--room", photo)
    assert done.exit_code == 1
    assert "hall.marks.toml" in done.stderr
    marks = job_file.parent / "hall.marks.toml"
    marks.write_text('format = "airwright-room/1"\nwidht = "3 m"\n')
    done = run("picture", job_file, "--out", job_file.parent / "out", "--room", photo)
    assert done.exit_code == 1
    assert '"width"' in done.stderr


@pytest.mark.slow
def test_into_the_room_with_how_far_off(job_file: Path) -> None:
    photo = room_photo(job_file.parent / "hall.png")
    (job_file.parent / "hall.marks.toml").write_text(
        'format = "airwright-room/1"\n'
        "corners = [[125, 232], [281, 248], [283, 210], [165, 202]]\n"
        'width = "2 m"\ndepth = "1.5 m"\n'
    )
    job_file.write_text(one_cloud_column(job_file.read_text()))
    out = job_file.parent / "out"
    done = run(
        "picture", job_file, "--out", out, "--room", photo, "--quality", "draft", "--json"
    )  # fmt: skip
    assert done.exit_code == 0
    (entry,) = json.loads(done.stdout)["pictures"]
    assert entry["file"] == "option-all-pieces-in-hall.png"
    assert 0.0 < entry["off_cm"] < 10.0
    assert "cm" in entry["fit"]
    with Image.open(out / entry["file"]) as image, Image.open(photo) as before:
        assert image.size == before.size
        changed = (np.asarray(image, int) - np.asarray(before, int)).any(axis=-1)
    assert 0.01 < changed.mean() < 0.6  # the decor and its shadow, not the rest of the room
    assert not changed[:5].any()
