"""A desk without the photographs says so, and does everything else."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import numpy as np
import pytest

from airwright.pictures.photo import PhotoError
from airwright.pictures.photo.pose import view_of_rectangle
from airwright.pictures.photo.render import renderer
from airwright.store.editions import Editions
from tests.desk.conftest import House

EXTRA = ("mitsuba", "mitsuba_oidn", "cv2", "pxr", "drjit")


@pytest.fixture
def bare(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if `airwright[photos]` was not installed."""
    for name in [*EXTRA, *(n for n in sys.modules if n.startswith("pxr."))]:
        monkeypatch.setitem(sys.modules, name, None)


@pytest.mark.usefixtures("bare")
def test_a_photograph_is_refused_with_its_cure() -> None:
    with pytest.raises(PhotoError) as caught:
        renderer()
    assert "airwright[photos]" in caught.value.mend
    corners = np.array([[100.0, 500.0], [700.0, 500.0], [600.0, 400.0], [200.0, 400.0]])
    with pytest.raises(PhotoError, match="cannot be worked on"):
        view_of_rectangle(corners, 4.0, 3.0, (800, 600))


@pytest.mark.usefixtures("bare")
def test_the_desk_sends_offers_and_says_what_it_lacks(tmp_path: Path) -> None:
    house = House(f"sqlite:///{tmp_path / 'desk.db'}")
    visitor, job_id = house.visitor(), house.job()
    page = visitor.page(f"/jobs/{job_id}/papers").get_text()
    assert "has no photographs yet" in page
    assert "Take photograph" not in page
    sent = visitor.post(f"/jobs/{job_id}/editions", {"after": "0", "days": "14"})
    link = re.search(r"http://[^\"]*(/c/[\w-]+)", sent.text)
    assert link is not None
    with house.desk.database.reading() as session:
        edition = Editions(session).latest(job_id)
        assert edition is not None
        names = Editions(session).file_names(edition.id)
    assert [name for name in names if name.endswith(".glb")]
    assert not [name for name in names if name.endswith(".usdz")]
    client = house.visitor()
    assert client.get(f"{link[1]}/decor/0.glb").status_code == 200
    assert client.get(f"{link[1]}/decor/0.usdz").status_code == 404
    house.desk.database.close()


def test_with_them_photographs_are_offered(house: House) -> None:
    assert "Take photograph" in house.visitor().page(f"/jobs/{house.job()}/papers").get_text()
