"""A photo of the client's room: kept with the venue, marked, and an order to photograph in it."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from PIL import Image

from airwright.desk.seed import demo_text
from airwright.store.tasks import Tasks
from airwright.store.venue_photos import VenuePhotos
from tests import rooms
from tests.desk.conftest import House, Visitor

MARKS = {
    "corners": json.dumps(rooms.corners()),
    "in_front": json.dumps([rooms.table()]),
    "width": "3 m",
    "depth": "2",
    "light": "lamps",
    "floor": "usual",
}


def sent(visitor: Visitor, job_id: str, content: bytes | None = None) -> Any:
    picture = ("pier_hall.jpg", rooms.photo() if content is None else content, "image/jpeg")
    return visitor.post(f"/jobs/{job_id}/room", files={"photo": picture})


@pytest.fixture(scope="module")
def address(house: House) -> str:
    """A photo of the demo job's venue, not marked yet."""
    answer = sent(house.visitor(), house.job())
    assert answer.status_code == 303, answer.text[:300]
    return str(answer.headers["location"])


def calibration(house: House, address: str) -> dict[str, Any] | None:
    with house.desk.database.reading() as session:
        return VenuePhotos(session).get(address.rsplit("/", 1)[-1], "Pier hall").calibration


def test_it_is_kept_upright_without_place_or_time(house: House, address: str) -> None:
    answer = house.visitor().get(f"{address}/picture.jpg")
    with Image.open(io.BytesIO(answer.content)) as kept:
        assert kept.size == (rooms.WIDE, rooms.TALL)
        assert dict(kept.getexif().get_ifd(0x8769)) == {41989: 27}
        assert not kept.getexif().get_ifd(0x8825)


def test_marks_are_kept_checked_and_shown_again(house: House, address: str) -> None:
    visitor = house.visitor()
    answer = visitor.post(address, MARKS | {"then": "keep"})
    assert answer.status_code == 303, answer.text[:400]
    page = visitor.page(address)
    assert json.loads(str(page.select_one("[name=corners]")["value"])) == rooms.corners()  # type: ignore[index]
    assert page.select_one("[name=depth]")["value"] == "2 m"  # type: ignore[index]
    assert "will stand there to about" in page.get_text()
    # The figure's head is where a camera of known place sees it.
    person = page.select_one(".room-person line")
    assert person is not None
    import numpy as np

    (x1, y1), (x2, y2) = rooms.project(np.array([[0, 0, 0], [0, 0, 1.75]]))
    shown = [float(str(person[key])) for key in ("x1", "y1", "x2", "y2")]
    assert shown == pytest.approx([x1, y1, x2, y2], abs=3)


def test_the_decor_is_put_where_the_cross_was_dragged(house: House, address: str) -> None:
    import numpy as np

    spot = rooms.project(np.array([[0.4, 0.5, 0.0]]))[0]
    form = MARKS | {"stand": json.dumps([float(v) for v in spot])}
    assert house.visitor().post(address, form).status_code == 303
    kept = calibration(house, address)
    assert kept is not None
    assert float(kept["right"].removesuffix(" m")) == pytest.approx(0.4, abs=0.02)
    assert float(kept["away"].removesuffix(" m")) == pytest.approx(0.5, abs=0.02)
    # Saved once more without touching the cross, it stays there.
    assert house.visitor().post(address, MARKS).status_code == 303
    assert calibration(house, address) == kept


def test_without_a_depth_it_is_read_off_the_photo(house: House, address: str) -> None:
    visitor = house.visitor()
    assert visitor.post(address, MARKS | {"depth": ""}).status_code == 303
    assert "depth was read off the photo" in visitor.page(address).get_text()


def test_another_job_at_the_venue_has_it_and_no_other_venue_has(house: House, address: str) -> None:
    photo = address.rsplit("/", 1)[-1]
    same = house.job(demo_text().replace('"Pier hall"', '"pier hall"'))
    other = house.job(demo_text().replace('"Pier hall"', '"Light tower"'))
    visitor = house.visitor()
    assert visitor.get(f"/jobs/{same}/room/{photo}").status_code == 200
    assert photo in str(visitor.page(f"/jobs/{same}/room"))
    assert visitor.get(f"/jobs/{other}/room/{photo}").status_code == 404
    assert visitor.get(f"/jobs/{other}/room/{photo}/picture.jpg").status_code == 404


def test_photographing_puts_an_order_with_the_marks(house: House, address: str) -> None:
    visitor, job_id = house.visitor(), address.split("/")[2]
    answer = visitor.post(address, MARKS | {"then": "take", "name": "Swirl column"})
    assert answer.headers["location"] == f"/jobs/{job_id}/papers"
    with house.desk.database.reading() as session:
        task = Tasks(session).of_job(job_id)[0]
        assert (task.kind, task.order["name"]) == ("room", "Swirl column")
        assert task.order["marks"]["corners"] == rooms.corners()
        assert VenuePhotos(session).content(task.order["photo"])[:2] == b"\xff\xd8"


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"width": ""}, "No length of the marked rectangle is known."),
        ({"corners": "[[0,0],[300,300],[600,600],[900,900]]"}, "one line"),
        ({"name": "Gone"}, "nothing of that name"),
        ({"width": "3 stone"}, "no unit"),
        ({"corners": "[[1"}, "could not be read"),
        ({"in_front": "[[[1,2],[3,4]]]"}, "in_front"),
        ({"facing": "askew"}, "facing"),
    ],
)
def test_wrong_marks_are_refused_in_words_and_keep_what_was_typed(
    house: House, address: str, change: dict[str, str], words: str
) -> None:
    form = MARKS | {"then": "take", "name": "Swirl column", "width": "3.25 m"} | change
    answer = house.visitor().post(address, form)
    assert answer.status_code == 422
    assert words in answer.text
    assert f'value="{form["width"]}"' in answer.text


@pytest.mark.parametrize(
    ("content", "words"),
    [(b"no picture", "no picture we can read"), (b"", "No picture was picked")],
)
def test_what_is_no_picture_is_refused(house: House, content: bytes, words: str) -> None:
    answer = sent(house.visitor(), house.job(), content)
    assert answer.status_code == 422
    assert words in answer.text


def test_a_job_without_a_venue_is_told_to_name_one(house: House) -> None:
    job_id = house.job(demo_text().replace('name     = "Pier hall"', 'name     = ""'))
    assert "Name the venue" in house.visitor().page(f"/jobs/{job_id}/room").get_text()
    assert sent(house.visitor(), job_id).status_code == 422


def test_a_photo_is_thrown_away(house: House) -> None:
    job_id = house.job(demo_text().replace('"Pier hall"', '"Rope loft"'))
    visitor = house.visitor()
    address = sent(visitor, job_id).headers["location"]
    assert visitor.post(f"{address}/remove").status_code == 303
    assert visitor.get(address).status_code == 404
