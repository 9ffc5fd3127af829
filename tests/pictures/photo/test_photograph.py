"""Photographs: they show what was asked, the same every time, in true shades."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from coloraide import Color
from PIL import Image

from airwright.decor.assembly import Assembly, HardwarePlaced, Shade, Strand
from airwright.pictures.photo import (
    PhotoCache,
    PhotoCancelledError,
    PhotoError,
    Quality,
    fingerprint,
    hangs,
    photograph,
    place_named,
    save_png,
)
from airwright.pictures.photo.colour import shade_linear, to_bytes
from airwright.pictures.photo.materials import balloon_material
from airwright.pictures.photo.photograph import card_light, exposure, staged, window_of
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.stage import wall_behind
from airwright.pictures.photo.surround import surround
from airwright.pictures.tables import HIGH_M, on_its_table
from tests.decor.pieces.helpers import made
from tests.pictures.mesh.test_solids import DRAFT
from tests.pictures.photo import gallery

QUICK = Quality("draft", 4, 1, 4, 2, DRAFT, "")
SMALL = (96, 128)


def lab_distance(pixel: np.ndarray, colour: str) -> float:
    return float(Color("srgb", [v / 255 for v in pixel]).delta_e(Color(colour), method="2000"))


@pytest.mark.closed_form
@pytest.mark.parametrize(
    "colour", ["#f0705a", "#e8d5b7", "#1f7a7a", "#f7f5f0", "#1d2f52", "#101010"]
)
def test_a_flat_matte_patch_shows_the_shade_asked_for(colour: str) -> None:
    # shades must be true: CIEDE2000 within 5 of the shade; CIEDE2000 itself is
    # held against its published pairs in tests/validation
    place = place_named("backdrop")
    stage, _ = staged(gallery.one(), place, (600, 800), 1.6, 0.0)
    around = surround(place, stage)
    light = card_light(stage, around, shade_linear(colour)) * exposure(place, stage, around)
    patch = to_bytes(np.broadcast_to(light, (16, 16, 3)).copy())
    assert lab_distance(patch.reshape(-1, 3).mean(axis=0), colour) < 5


@pytest.mark.closed_form
@pytest.mark.parametrize("finish", ["matte", "pearl"])
@pytest.mark.parametrize("colour", ["#f0705a", "#e8d5b7", "#1f7a7a", "#f7f5f0", "#c9b3d6"])
def test_flat_latex_shows_the_shade_asked_for(colour: str, finish: str) -> None:
    # the same bound for a balloon's own surface, gloss and glow included; nearly black shades
    # are left out, since any gloss lightens them
    place = place_named("backdrop")
    stage, _ = staged(gallery.one(), place, (600, 800), 1.6, 0.0)
    around = surround(place, stage)
    skin = balloon_material(Shade("asked", colour, finish))  # type: ignore[arg-type]
    light = card_light(stage, around, surface=skin) * exposure(place, stage, around)
    patch = to_bytes(np.broadcast_to(light, (16, 16, 3)).copy())
    assert lab_distance(patch.reshape(-1, 3).mean(axis=0), colour) < 5


def test_the_window_holds_the_decor_and_takes_nothing_from_the_rest() -> None:
    assembly = gallery.one()
    stage, _ = staged(assembly, place_named("backdrop"), (300, 200), 1.6, 0.0)
    small = window_of(stage.camera, assembly.centre)
    assert small is not None
    (x, y), (across, down) = small.at, small.size
    seen = stage.camera.project(assembly.centre)
    assert (seen > (x, y)).all()
    assert (seen < (x + across, y + down)).all()
    assert across * down < 300 * 200
    corners = np.array([[-50.0, 0, -50], [50, 0, 50]])
    assert window_of(stage.camera, corners) is None  # all of the picture: nothing to save
    # a picture made with a window is lit as one made without, inside it and outside
    plain = photograph(assembly, quality=QUICK, size=SMALL).pixels.astype(float)
    halved = photograph(assembly, quality=replace(QUICK, outside=0.5), size=SMALL)
    assert abs(plain.mean() - halved.pixels.mean()) < 2
    assert not np.array_equal(plain, halved.pixels)


def test_a_clear_skin_does_not_hide_from_the_guides_what_is_in_it() -> None:
    shades = gallery.SHADES
    parts = decor(gallery.row_of((gallery.ROUND,), shades, [(0, 4)], 0.3), DRAFT)
    outer, inner = (p for p in parts if p.name.startswith("kind"))
    assert (outer.guiding, inner.guiding) == (False, True)
    assert inner.mesh.bounds[1][2] < outer.mesh.bounds[1][2]


@pytest.mark.parametrize("place", ["bright hall", "evening hall", "lawn"])
def test_no_place_turns_a_shade_into_another(place: str) -> None:
    where = place_named(place)
    stage, _ = staged(gallery.one(), where, (600, 800), 1.6, 0.0)
    around = surround(where, stage)
    gain = exposure(where, stage, around)
    light = card_light(stage, around, shade_linear("#1f7a7a")) * gain
    pixel = to_bytes(np.broadcast_to(light, (8, 8, 3)).copy()).reshape(-1, 3).mean(axis=0)
    # warm lamps may tint, but teal stays nearer to teal than to green, navy or grey
    others = ["#3a8a3a", "#1d2f52", "#808080"]
    assert lab_distance(pixel, "#1f7a7a") < min(lab_distance(pixel, other) for other in others)


@pytest.mark.parametrize("place", ["bright hall", "evening hall", "lawn"])
@pytest.mark.parametrize(("finish", "bound"), [("matte", 5), ("pearl", 6), ("metallic", 8)])
def test_lit_balloons_keep_their_shade_everywhere(place: str, finish: str, bound: float) -> None:
    # a piece of skin that faces the camera, in lamplight and outdoors too; a mirror has a lit
    # side of the room to show
    where = place_named(place)
    stage, _ = staged(gallery.one(), where, (600, 800), 1.6, 0.0)
    around = surround(where, stage)
    gain = exposure(where, stage, around)
    for colour in ("#f0705a", "#e8d5b7", "#1f7a7a", "#f7f5f0", "#d4a545"):
        skin = balloon_material(Shade("asked", colour, finish))  # type: ignore[arg-type]
        light = card_light(stage, around, surface=skin, samples=80) * gain
        patch = to_bytes(np.broadcast_to(light, (16, 16, 3)).copy())
        assert lab_distance(patch.reshape(-1, 3).mean(axis=0), colour) < bound, colour


def test_a_balloon_in_the_picture_has_its_shade() -> None:
    photo = photograph(gallery.one(), quality=replace(QUICK, samples=16), size=SMALL)
    x, y = photo.camera.project(gallery.one().centre)[0].round().astype(int)
    body = photo.pixels[y - 6 : y + 7, x - 6 : x + 7].reshape(-1, 3).astype(float)
    assert lab_distance(np.median(body, axis=0), "#f0705a") < 12  # shading of a ball


def test_same_input_same_picture() -> None:
    first = photograph(gallery.finishes(), quality=QUICK, size=SMALL)
    again = photograph(gallery.finishes(), quality=QUICK, size=SMALL)
    assert np.array_equal(first.pixels, again.pixels)
    other = photograph(gallery.one(), quality=QUICK, size=SMALL)
    assert not np.array_equal(first.pixels, other.pixels)


@pytest.mark.parametrize(
    "place",
    ["backdrop", "bright hall", "evening hall", pytest.param("lawn", marks=pytest.mark.slow)],
)
def test_every_place_takes_everything(place: str) -> None:
    photo = photograph(
        gallery.everything(), place, QUICK, (128, 96), person=True, door=True, turn_rad=0.4
    )
    assert photo.pixels.shape == (96, 128, 3)
    assert photo.pixels.std() > 5
    assert photo.pixels.mean() > 20


def test_what_hangs_shows_its_ceiling_and_no_floor() -> None:
    hook = HardwarePlaced("hook", "anchor", 1, "each", ((0.0, 0.0, 3.2),), 0.02, 0.02)
    cord = Strand("cord", ((0, 0, 2.6), (0, 0, 1.5)), 0.004, gallery.CORAL, item="cord")
    high = replace(gallery.one().moved((0, 0, 2.3)), hardware=(hook,), strands=(cord,))
    assert hangs(high)
    stage, _ = staged(high, place_named("bright hall"), SMALL, 1.6, 0.0)
    assert stage.hung
    around = surround(place_named("bright hall"), stage)
    ceiling = np.array(around["ceiling"]["to_world"].matrix, dtype=float).reshape(4, 4)
    assert ceiling[2, 3] == pytest.approx(3.2)  # it is where the hook is
    ends = stage.camera.project(np.array([[0, 0, 3.2], [0, 0, 0.0]]))
    assert 0 <= ends[0, 1] < SMALL[1]
    assert ends[1, 1] > SMALL[1]
    low, _ = staged(gallery.one(), place_named("bright hall"), SMALL, 1.6, 0.0)
    assert not low.hung
    assert "canopy" in surround(place_named("lawn"), stage)


@pytest.mark.parametrize("place", ["bright hall", "backdrop", "lawn"])
def test_what_hangs_from_hooks_below_a_ceiling_has_a_wall_right_behind_it(place: str) -> None:
    """A garland on hooks that hung in the middle of a room would hang in the air."""
    hook = HardwarePlaced("hook", "anchor", 1, "each", ((0.0, 0.1, 1.2),), 0.02, 0.02)
    hung = replace(gallery.one().moved((0, 0, 0.7)), hardware=(hook,))
    stage, _ = staged(hung, place_named(place), SMALL, 1.6, 0.0)
    assert stage.on_wall
    free, _ = staged(gallery.one(), place_named(place), SMALL, 1.6, 0.0)
    assert not free.on_wall
    assert wall_behind(free) > wall_behind(stage) + 0.5
    around = surround(place_named(place), stage)
    if place == "bright hall":
        at = np.array(around["wall"]["to_world"].matrix, dtype=float).reshape(4, 4)[1, 3]
    else:
        at = float(around["screen"].mesh.vertices[:, 1].min())
        assert "screen" not in surround(place_named(place), free)
    assert at == pytest.approx(float(hung.bounds[1][1]), abs=0.03)


def test_decor_on_a_table_fills_the_picture() -> None:
    """The camera goes near what stands on the table: no floor, and the cloth only begins."""
    piece = made("topiary")
    stage, _ = staged(on_its_table(piece), place_named("bright hall"), SMALL, 1.6, 0.0)
    ends = stage.camera.project(np.array([[0.0, 0.0, HIGH_M], [0.0, 0.0, 0.0]]))
    assert 0 <= ends[0, 1] < SMALL[1]
    assert ends[1, 1] > SMALL[1]


def test_nothing_is_cut_from_any_side() -> None:
    for turn in (0.0, 0.7, np.pi / 2, 3.0):
        assembly = gallery.everything()
        stage, _ = staged(assembly, place_named("backdrop", person=True), SMALL, 1.6, turn)
        low, high = assembly.bounds
        corners = np.array(
            [
                [x, y, z]
                for x in (low[0], high[0])
                for y in (low[1], high[1])
                for z in (low[2], high[2])
            ]
        )
        seen = stage.camera.project(assembly.centre)
        assert (seen > 0).all()
        assert (seen < SMALL).all()
        assert len(corners) == 8


def test_the_client_s_own_wall_and_floor() -> None:
    high = gallery.one().moved((0, 0, 1.5))
    plain = photograph(high, "bright hall", QUICK, SMALL)
    own = photograph(high, "bright hall", QUICK, SMALL, wall="#20407a", floor="#802020")
    top, bottom = own.pixels[4:12].mean(axis=(0, 1)), own.pixels[-10:-4].mean(axis=(0, 1))
    assert top[2] > top[0] + 30  # blue wall
    assert bottom[0] > bottom[2] + 30  # red floor
    assert not np.array_equal(plain.pixels, own.pixels)


def test_the_camera_and_the_renderer_agree() -> None:
    # a bright balloon far off the middle lies where `Camera.project` says
    assembly = gallery.row_of((gallery.ROUND,), (gallery.CORAL,), [(0, 0), (0, 0)], 1.2)
    photo = photograph(assembly, quality=QUICK, size=(200, 120))
    red = photo.pixels[..., 0].astype(int) - photo.pixels[..., 2]
    found = np.argwhere(red > 60)
    left = found[found[:, 1] < 100].mean(axis=0)[::-1]
    expected = photo.camera.project(assembly.centre)[0]
    assert np.abs(left - expected).max() < 4


def test_progress_runs_to_the_end_and_cancel_leaves_nothing(tmp_path: Path) -> None:
    told: list[tuple[float, float]] = []
    photograph(gallery.one(), quality=QUICK, size=SMALL, progress=lambda s, t: told.append((s, t)))
    shares = [share for share, _ in told]
    assert shares == sorted(shares)
    assert shares[-1] == 1
    assert all(left >= 0 for _, left in told)
    cache = PhotoCache(tmp_path / "photos")
    asked = iter([False, True, True, True])
    with pytest.raises(PhotoCancelledError):
        cache.photo_for(gallery.one(), quality=QUICK, size=SMALL, cancel=lambda: next(asked))
    assert not list(tmp_path.rglob("*.png"))


def test_the_cache_makes_a_picture_once(tmp_path: Path) -> None:
    cache = PhotoCache(tmp_path / "photos")
    path = cache.photo_for(gallery.one(), quality=QUICK, size=SMALL)
    made = path.stat().st_mtime_ns
    renamed = replace(gallery.one(), name="another name")
    assert cache.photo_for(renamed, quality=QUICK, size=SMALL) == path
    assert path.stat().st_mtime_ns == made
    path.write_bytes(path.read_bytes()[:200])  # a damaged file is made anew
    cache.photo_for(gallery.one(), quality=QUICK, size=SMALL)
    assert Image.open(path).size == SMALL
    assert [p.name for p in path.parent.iterdir()] == [path.name]


def test_the_fingerprint_is_of_what_shows() -> None:
    base = gallery.one()
    key = fingerprint(base)
    assert fingerprint(replace(base, steps=(), name="x")) == key
    moved = base.moved((0.001, 0, 0))
    assert fingerprint(moved) != key
    recoloured = replace(base, shades=(Shade("coral", "#f0705b"),))
    renamed = replace(base, shades=(Shade("brick", "#f0705a"),))
    assert fingerprint(recoloured) != key
    assert fingerprint(renamed) == key
    assert fingerprint(base, "lawn") != key
    assert fingerprint(base, quality="draft") != key
    assert fingerprint(base, size=(601, 800)) != key
    assert fingerprint(base, person=True) != key


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"place": "moon"}, "photo.place"),
        ({"quality": "superb"}, "photo.quality"),
        ({"size": (50_000, 50_000)}, "photo.size"),
        ({"size": (0, 10)}, "photo.size"),
        ({"wall": "teal-ish"}, "photo.colour"),
    ],
)
def test_wrong_wishes_are_refused_with_a_cure(change: dict[str, object], code: str) -> None:
    wish: dict[str, object] = {"place": "bright hall", "quality": QUICK, "size": SMALL} | change
    with pytest.raises(PhotoError) as caught:
        photograph(gallery.one(), **wish)  # type: ignore[arg-type]
    assert caught.value.code == code
    assert caught.value.mend


def bad_assemblies() -> list[tuple[Assembly, str]]:
    base = gallery.one()
    nowhere = replace(base, centre=np.full((1, 3), np.nan))
    empty = gallery.row_of((), (), [], 1.0)
    finish = gallery.one(Shade("odd", "#112233", "velvet"))  # type: ignore[arg-type]
    inner = gallery.one(Shade("over", "#ffffff", "clear", "unlisted"))
    outline = gallery.one(stock=replace(gallery.STAR, outline="anchor"))
    return [
        (nowhere, "photo.assembly"),
        (empty, "photo.empty"),
        (finish, "photo.finish"),
        (inner, "photo.inner-shade"),
        (outline, "photo.outline"),
    ]


@pytest.mark.parametrize(("assembly", "code"), bad_assemblies(), ids=lambda v: str(v)[:24])
def test_wrong_pieces_are_refused_with_a_cure(assembly: Assembly, code: str) -> None:
    with pytest.raises(PhotoError) as caught:
        photograph(assembly, quality=QUICK, size=SMALL)
    assert caught.value.code == code


def test_a_missing_renderer_is_one_clear_error(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "mitsuba", None)
    with pytest.raises(PhotoError, match="drawings") as caught:
        photograph(gallery.one(), quality=QUICK, size=SMALL)
    assert caught.value.code == "photo.renderer-missing"


def test_no_memory_is_one_clear_error(monkeypatch: pytest.MonkeyPatch) -> None:
    import mitsuba

    def out_of_memory(*_: object, **__: object) -> None:
        raise MemoryError

    monkeypatch.setattr(mitsuba, "render", out_of_memory)
    with pytest.raises(PhotoError) as caught:
        photograph(gallery.one(), quality=QUICK, size=SMALL)
    assert caught.value.code == "photo.memory"


def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    photo = photograph(gallery.one(), quality=QUICK, size=SMALL)

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Image.Image, "save", full)
    with pytest.raises(PhotoError, match="No space"):
        save_png(photo, tmp_path / "a.png")
    assert list(tmp_path.iterdir()) == []
