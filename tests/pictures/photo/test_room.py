"""Decor in the client's own room: pose out of marks, care with the photo, true size."""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from airwright.pictures.photo import (
    PhotoError,
    photograph_in_room,
    read_venue,
    view_of_heights,
    view_of_rectangle,
)
from airwright.pictures.photo.pose import View, _level
from tests.pictures.photo import gallery
from tests.pictures.photo.test_photograph import QUICK

SIZE = (400, 300)


def known_view(pan: float = 0.2, pitch: float = 0.15, eye: float = 1.6, focal: float = 320) -> View:
    c, s = np.cos(pan), np.sin(pan)
    turn = np.array([[c, s, 0], [-s, c, 0], [0, 0, 1]])
    at = np.array([5 * np.sin(pan) * 0.8, -5.0, eye])
    return View(_level(pitch) @ turn, at, focal, SIZE, 0.0, True)


RECTANGLE = np.array([[-1, -0.8, 0], [1, -0.8, 0], [1, 0.8, 0], [-1, 0.8, 0.0]])


def marks(view: View) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in view.project(RECTANGLE)]


@pytest.mark.closed_form
@settings(max_examples=25, deadline=None)
@given(st.floats(-0.5, 0.5), st.floats(0.0, 0.4), st.floats(1.2, 2.6), st.floats(250, 500))
def test_a_known_camera_is_found_again(pan: float, pitch: float, eye: float, focal: float) -> None:
    truth = known_view(pan, pitch, eye, focal)
    found = view_of_rectangle(marks(truth), 2.0, 1.6, SIZE, focal_px=focal)
    assert np.allclose(found.at, truth.at, atol=2e-3)
    assert np.allclose(found.rotation, truth.rotation, atol=1e-3)
    points = np.array([[0, 0, 2.0], [0.5, 1.0, 1.0]])
    assert np.allclose(found.project(points), truth.project(points), atol=0.5)


@pytest.mark.closed_form
def test_the_lens_is_found_from_the_marks() -> None:
    truth = known_view(pan=0.5, pitch=0.3, focal=400)
    found = view_of_rectangle(marks(truth), 2.0, 1.6, SIZE)
    assert found.focal_px == pytest.approx(400, rel=0.01)
    assert not found.focal_known


@pytest.mark.closed_form
def test_two_heights_give_the_eye_and_the_scale() -> None:
    truth = known_view(pan=0.0, pitch=0.1, eye=1.7, focal=300)
    ups = []
    for x, y, height in ((-1.0, 0.5, 2.03), (1.3, 1.5, 1.7)):
        foot, head = truth.project(np.array([[x, y, 0], [x, y, height]]))
        ups.append((tuple(foot), tuple(head), height))
    found = view_of_heights(ups, SIZE, focal_px=300)  # type: ignore[arg-type]
    assert found.at[2] == pytest.approx(1.7, abs=0.01)
    third = np.array([[0.7, 0.3, 0.0], [0.7, 0.3, 1.0]])
    moved = third + np.array([1.0, -0.5, 0.0])  # its origin lies under the first thing
    assert np.allclose(found.project(moved), truth.project(third), atol=0.5)


def test_shaky_marks_say_how_far_off_they_are() -> None:
    truth = known_view()
    rng = np.random.default_rng(1)
    shaky = [
        (x + dx, y + dy)
        for (x, y), (dx, dy) in zip(marks(truth), rng.normal(0, 2, (4, 2)), strict=True)
    ]
    found = view_of_rectangle(shaky, 2.0, 1.6, SIZE, focal_px=320)
    exact = view_of_rectangle(marks(truth), 2.0, 1.6, SIZE, focal_px=320)
    here = np.zeros(3)
    assert found.off_cm(here) > exact.off_cm(here)
    assert found.off_cm(here) > 1.0
    # a mark is never clicked better than to a pixel, so nothing is said to fit perfectly
    assert exact.off_cm(here) >= 100 * 5 / 320 * 0.9


@pytest.mark.parametrize(
    "corners",
    [
        [(100, 200), (300, 200), (200, 200), (50, 200)],  # one line
        [(100, 200), (300, 100), (300, 200), (100, 100)],  # crossed
        [(100, 100), (300, 100), (300, 200), (100, 200)],  # round the wrong way
        [(100, 200), (100, 200), (300, 100), (100, 100)],  # one point twice
        [(100, 200), (300, 200), (float("nan"), 100), (100, 100)],
        [(100, 200), (300, 200)],
        [(1e7, 200), (300, 200), (300, 100), (100, 100)],
        [(60, 290), (340, 290), (390, 40), (10, 40)],  # wider far than near: seen from below
    ],
)
def test_points_that_make_no_rectangle(corners: list[tuple[float, float]]) -> None:
    with pytest.raises(PhotoError, match="rectangle") as caught:
        view_of_rectangle(corners, 2.0, 1.6, SIZE, focal_px=300)
    assert caught.value.code == "room.rectangle"
    assert "near left" in caught.value.mend


def test_sides_and_heights_out_of_reason() -> None:
    with pytest.raises(PhotoError):
        view_of_rectangle(marks(known_view()), -2.0, 1.6, SIZE)
    with pytest.raises(PhotoError, match="above its foot"):
        view_of_heights([((10, 10), (10, 90), 2.0), ((90, 90), (90, 10), 2.0)], SIZE)
    with pytest.raises(PhotoError, match="two of them"):
        view_of_heights([], SIZE)


def png(size: tuple[int, int] = SIZE, colour: tuple[int, int, int] = (170, 160, 150)) -> bytes:
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "PNG")
    return out.getvalue()


def bomb(width: int, height: int) -> bytes:
    """A small PNG whose head says it is huge."""
    import struct
    import zlib

    def chunk(kind: bytes, body: bytes) -> bytes:
        return (
            struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    data = zlib.compress(b"\0" * 1_000_000)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", data) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "room.unreadable"),
        (b"this is a letter, not a photo" * 50, "room.unreadable"),
        (png()[:300], "room.unreadable"),
        (bomb(50_000, 50_000), "room.too-large"),
        (bomb(11_500, 11_500), "room.too-large"),
        (bomb(9_000, 9_000), "room.unreadable"),
        (png((40, 30)), "room.too-small"),
    ],
    ids=["empty", "text", "cut off", "50 000 px", "too many px", "short data", "tiny"],
)
def test_a_photo_that_is_none(data: bytes, code: str) -> None:
    with pytest.raises(PhotoError) as caught:
        read_venue(data)
    assert caught.value.code == code


def test_a_missing_photo(tmp_path: Path) -> None:
    with pytest.raises(PhotoError) as caught:
        read_venue(tmp_path / "none.jpg")
    assert caught.value.code == "room.missing"


def test_the_camera_s_own_note_of_its_lens_and_its_turn_are_used() -> None:
    image = Image.new("RGB", (800, 600), (120, 120, 120))
    exif = Image.Exif()
    exif[0x0112] = 6  # turned on its side
    exif.get_ifd(0x8769)[41989] = 27
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    venue = read_venue(out.getvalue())
    assert venue.size == (600, 800)
    assert venue.focal_px == pytest.approx(27 / 36 * 800)


def test_a_big_photo_is_worked_on_smaller() -> None:
    venue = read_venue(png((3200, 2400)))
    assert venue.size == (1600, 1200)
    assert venue.scale == pytest.approx(0.5)


@pytest.mark.slow
def test_the_decor_stands_at_true_size_and_the_rest_of_the_room_stays() -> None:
    venue = read_venue(png())
    view = known_view(pan=0.0, pitch=0.1)
    assembly = gallery.one(stock=replace(gallery.ROUND, inflated_m=0.8, nominal_m=0.9))
    result = photograph_in_room(assembly, venue, view, quality=QUICK)
    changed = np.abs(result.pixels.astype(int) - venue.pixels).max(axis=-1) > 60
    rows = np.flatnonzero(changed.any(axis=1))
    ball = view.project(np.array([[0, 0, 0.2], [0, 0, 1.0]]))[:, 1]
    assert rows.min() == pytest.approx(ball.min(), abs=14)  # the crown stands a little higher
    assert rows.max() == pytest.approx(ball.max(), abs=22)  # the neck hangs a little lower
    assert np.array_equal(result.pixels[:60], venue.pixels[:60])  # wall above
    shadow = result.pixels[230:290].astype(int) - venue.pixels[230:290]
    assert shadow.min() < -6  # it throws a shadow
    assert result.off_cm > 0
    assert "cm" in result.note


def test_decor_behind_the_camera_is_refused() -> None:
    with pytest.raises(PhotoError) as caught:
        photograph_in_room(gallery.one(), read_venue(png()), known_view(), (0, -20), quality=QUICK)
    assert caught.value.code == "room.out-of-view"
