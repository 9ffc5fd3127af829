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
    Light,
    PhotoError,
    Room,
    photograph_in_room,
    read_venue,
    sun_of_shadow,
    view_of_heights,
    view_of_rectangle,
)
from airwright.pictures.photo.pose import _level
from airwright.pictures.photo.room_view import cut_findings, in_view, seen_findings
from airwright.pictures.photo.view import View
from tests.pictures.photo import gallery
from tests.pictures.photo.test_photograph import QUICK
from tests.pictures.samples import swirl_column

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
    # what phones usually have weighs against marks that a hand set
    assert found.focal_px == pytest.approx(400, rel=0.08)
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


@pytest.mark.parametrize(
    ("corners", "why"),
    [
        ([(100, 200), (300, 202), (200, 201), (50, 200)], "one line"),
        ([(100, 200), (300, 100), (300, 200), (100, 100)], "cross"),
        ([(100, 100), (300, 100), (300, 200), (100, 200)], "wrong way"),
        ([(100, 200), (100, 201), (101, 200), (100, 200)], "same point"),
    ],
)
def test_it_is_said_why_points_make_no_rectangle(
    corners: list[tuple[float, float]], why: str
) -> None:
    with pytest.raises(PhotoError, match=why):
        view_of_rectangle(corners, 2.0, 1.6, SIZE, focal_px=300)


def test_a_camera_straight_down_is_refused() -> None:
    down = np.array([[1.0, 0, 0], [0, -1.0, 0], [0, 0, -1.0]])
    tilt = _level(np.radians(83))
    assert np.allclose(_level(np.pi / 2), down)
    view = View(tilt, np.array([0.0, -0.4, 3.0]), 320, SIZE, 0.0, True)
    with pytest.raises(PhotoError) as caught:
        view_of_rectangle(marks(view), 2.0, 1.6, SIZE, focal_px=320)
    assert caught.value.code == "room.straight-down"


def test_a_noted_lens_that_the_marks_contradict_is_not_believed() -> None:
    truth = known_view(pan=0.5, pitch=0.3, focal=380)
    lied = view_of_rectangle(marks(truth), 2.0, 1.6, SIZE, focal_px=1900)
    assert not lied.focal_known
    assert lied.focal_px == pytest.approx(380, rel=0.08)
    true = view_of_rectangle(marks(truth), 2.0, 1.6, SIZE, focal_px=380)
    assert true.focal_known


def test_a_mark_above_the_horizon_is_no_floor() -> None:
    view = known_view()
    at = view.project(np.array([[0.4, 0.6, 0.0]]))[0]
    assert view.on_floor((at[0], at[1])) == pytest.approx([0.4, 0.6], abs=1e-6)
    with pytest.raises(PhotoError, match="horizon"):
        view.on_floor((200.0, 5.0))


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
    room = Room(venue, view)
    result = photograph_in_room(assembly, room, quality=QUICK)
    changed = np.abs(result.pixels.astype(int) - venue.pixels).max(axis=-1) > 60
    rows = np.flatnonzero(changed.any(axis=1))
    ball = view.project(np.array([[0, 0, 0.2], [0, 0, 1.0]]))[:, 1]
    assert rows.min() == pytest.approx(ball.min(), abs=14)  # the crown stands a little higher
    assert rows.max() == pytest.approx(ball.max(), abs=22)  # the neck hangs a little lower
    assert np.array_equal(result.pixels[:60], venue.pixels[:60])  # wall above
    shadow = result.pixels[230:290].astype(int) - venue.pixels[230:290]
    assert shadow.min() < -6  # it throws a shadow
    assert "cm" in result.note
    # what stands in front stays before it, and the bare floor is not traced again
    x, y = view.project(np.array([[0, 0, 0.6]]))[0]
    board = np.array([[x - 20, y - 60], [x + 5, y - 60], [x + 5, y + 60], [x - 20, y + 60]])
    held = dict(room._bare)
    behind = Room(venue, view, in_front=(board,), _bare=room._bare)
    hidden = photograph_in_room(assembly, behind, quality=QUICK)
    assert dict(room._bare) == held
    inner = np.s_[int(y - 50) : int(y + 50), int(x - 15) : int(x)]
    assert np.array_equal(hidden.pixels[inner], venue.pixels[inner])
    assert not np.array_equal(result.pixels[inner], venue.pixels[inner])


@pytest.mark.slow
def test_the_sun_throws_its_shadow_to_the_other_side() -> None:
    venue = read_venue(png())
    view = known_view(pan=0.0, pitch=0.2)
    assembly = gallery.one(stock=replace(gallery.ROUND, inflated_m=0.6, nominal_m=0.7))
    darker = {}
    for side in ("left", "right"):
        room = Room(venue, view, Light(side, floor="dull"))
        taken = photograph_in_room(assembly, room, quality=QUICK).pixels.astype(int)
        change = (venue.pixels.astype(int) - taken).sum(axis=-1)
        foot = int(view.project(np.zeros((1, 3)))[0, 0])
        floor = change[200:]
        darker[side] = float(
            floor[:, foot + 20 :].clip(0).sum() - floor[:, : foot - 20].clip(0).sum()
        )
    assert darker["left"] > 0 > darker["right"]


@pytest.mark.closed_form
def test_a_marked_shadow_gives_the_sun() -> None:
    # a post of 2 m throws a shadow of 2 m to the east: the sun stands in the west at 45°
    x, y, z = sun_of_shadow(np.zeros(2), np.array([2.0, 0.0]), 2.0)
    assert (x, y, z) == pytest.approx((-np.sqrt(0.5), 0.0, np.sqrt(0.5)))


def test_decor_behind_the_camera_is_refused() -> None:
    with pytest.raises(PhotoError) as caught:
        in_view(gallery.one().moved((0, -20, 0)), known_view())
    assert caught.value.code == "room.out-of-view"
    assert "behind the camera" in caught.value.what


@pytest.mark.parametrize(("at", "cure"), [((-6, 0), "to the right"), ((6, 0), "to the left")])
def test_decor_outside_the_photo_says_which_way_to_move_it(at: tuple[int, int], cure: str) -> None:
    with pytest.raises(PhotoError) as caught:
        in_view(gallery.one().moved((*at, 0)), known_view(pan=0.0))
    assert cure in caught.value.mend


def test_a_photo_that_cuts_decor_off_says_what_is_seen() -> None:
    tall = swirl_column()
    view = known_view(pan=0.0, pitch=0.0)
    near = tall.moved((0, -3.2, 0))
    found = {f.code: f for f in seen_findings(near, view, 0.0)}
    said = found["room-cut-off"]
    seen = float(said.what.split("Only ")[1].split(" m")[0])
    # from 1.8 m away a lens of 320 px sees 150 px up and down: 0.84 m each way from 1.6 m
    reach = 1.8 * 150 / 320
    assert seen == pytest.approx(min(near.height_m, 1.6 + reach) - (1.6 - reach), abs=0.1)
    assert "Step back" in said.mend
    assert "room-hidden" in {f.code for f in seen_findings(near, view, 0.9)}
    assert seen_findings(tall.moved((0, 2, 0)), view, 0.0) == []
    aside = {f.code: f for f in seen_findings(tall.moved((-4.25, 2, 0)), view, 0.0)}
    assert "to the right" in aside["room-cut-aside"].mend


def test_a_cmyk_photo_is_read_and_a_hundred_megapixels_too() -> None:
    out = io.BytesIO()
    Image.new("CMYK", (400, 300), (0, 255, 255, 0)).save(out, "JPEG", quality=95)
    r, g, b = read_venue(out.getvalue()).pixels[100, 100]
    assert (r > 180, g < 90, b < 90) == (True, True, True)  # magenta and yellow make red
    assert read_venue(png((11_600, 8_700))).size == (1600, 1200)
    with pytest.raises(PhotoError, match="too large"):
        read_venue(png((13_000, 9_600)))


def taken(size: tuple[int, int], noted: tuple[int, int] | None) -> bytes:
    """A JPEG of a size whose camera noted another."""
    image = Image.new("RGB", size, (120, 120, 120))
    exif = Image.Exif()
    if noted is not None:
        exif.get_ifd(0x8769)[40962], exif.get_ifd(0x8769)[40963] = noted
    out = io.BytesIO()
    image.save(out, "JPEG", exif=exif)
    return out.getvalue()


@pytest.mark.parametrize(
    ("size", "noted", "cut"),
    [
        ((800, 600), (4032, 3024), False),  # smaller, but whole
        ((600, 800), (4032, 3024), False),  # held upright
        ((700, 600), (4032, 3024), True),
        ((800, 600), (4000, 2250), True),  # 16 : 9 cut to 4 : 3, a camera's shape too
        ((800, 600), None, False),
        ((900, 416), None, False),  # 19.5 : 9
        ((700, 600), None, None),
        ((800, 600), (0, 0), False),
    ],
)
def test_a_photo_that_was_cut_is_told(
    size: tuple[int, int], noted: tuple[int, int] | None, cut: bool | None
) -> None:
    venue = read_venue(taken(size, noted))
    assert venue.cut is cut
    found = cut_findings(venue)
    assert [f.severity for f in found] == {False: [], True: ["caution"], None: ["hint"]}[cut]
    assert all(f.code == "room-cut" and "uncut" in str(f.mend) for f in found)
