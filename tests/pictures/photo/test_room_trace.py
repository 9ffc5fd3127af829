"""Parts of a client's room are traced as finely as they show, at the same places."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.pictures.photo.guides import cover_of
from airwright.pictures.photo.render import renderer
from airwright.pictures.photo.room import Room
from airwright.pictures.photo.room_trace import FEATHER_PX, Film, _pasted
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.venue import read_venue
from tests.pictures.mesh.test_solids import DRAFT
from tests.pictures.photo import gallery
from tests.pictures.photo.test_room import known_view, png

BOX = (131, 57, 306, 289)


@pytest.mark.closed_form
@pytest.mark.parametrize("step", [1, 2, 3, 4])
def test_a_coarse_film_spreads_to_where_it_was_taken(step: int) -> None:
    """A picture whose values are its own places comes back as the photo's places."""
    film = Film.of(known_view(), BOX, step)
    x = (film.first[0] + np.arange(film.size[0]) + 0.5) * step - film.pad[0]
    y = (film.first[1] + np.arange(film.size[1]) + 0.5) * step - film.pad[1]
    ramp = np.stack([*np.meshgrid(x, y), np.zeros(film.size[::-1])], axis=-1)
    spread = film.spread(ramp, BOX)
    inner = spread[step:-step, step:-step] if step > 1 else spread
    across = np.arange(BOX[0], BOX[2]) + 0.5
    down = np.arange(BOX[1], BOX[3]) + 0.5
    cut = slice(step, -step) if step > 1 else slice(None)
    assert inner[0, :, 0] == pytest.approx(across[cut], abs=1e-3)
    assert inner[:, 0, 1] == pytest.approx(down[cut], abs=1e-3)


@pytest.mark.parametrize("step", [2, 4])
def test_a_coarse_film_sees_the_same_things_at_the_same_places(step: int) -> None:
    view, parts = known_view(), decor(gallery.one().moved((0.2, 0.3, 0.4)), DRAFT)
    mi = renderer()
    first = mi.load_dict({"type": "path", "max_depth": 1})

    def seen(fine: int) -> np.ndarray:
        film = Film.of(view, BOX, fine)
        scene = cover_of({"type": "scene", "sensor": film.sensor}, parts, view.at.tolist())
        image = np.array(mi.render(scene, integrator=first, spp=64, seed=1), dtype=float)
        return film.spread(image[..., :3], BOX)[..., 0]

    sharp, soft = seen(1), seen(step)
    assert soft.sum() == pytest.approx(sharp.sum(), rel=0.02)
    y, x = np.mgrid[0 : sharp.shape[0], 0 : sharp.shape[1]]
    for along in (x, y):
        middle = [(image * along).sum() / image.sum() for image in (sharp, soft)]
        assert middle[0] == pytest.approx(middle[1], abs=0.15)


def test_a_part_is_set_in_without_a_seam_and_whole_at_the_picture_s_edge() -> None:
    box, inner = (0, 0, 100, 80), (30, 20, 70, 80)  # it ends where the picture ends below
    whole = _pasted(np.zeros((80, 100, 3)), np.ones((60, 40, 3)), box, inner)[..., 0]
    assert np.abs(np.diff(whole, axis=1)).max() <= 1.01 / FEATHER_PX
    assert (whole[79, 30 + FEATHER_PX : 70 - FEATHER_PX] == 1.0).all()
    assert (whole[20 + FEATHER_PX : 80, 30 + FEATHER_PX : 70 - FEATHER_PX] == 1.0).all()
    assert (whole[:20] == 0.0).all()


def test_what_the_photo_says_of_its_light_is_worked_out_once() -> None:
    room = Room(read_venue(png()), known_view())
    assert room.read() is room.read()
