"""What a starting desk does before anybody asks: likely jobs evaluated, small pictures drawn."""

from __future__ import annotations

from contextlib import suppress

from airwright.desk.designs import starts
from airwright.desk.state import Desk
from airwright.desk.thumbnails import design_picture
from airwright.store import StoreError
from airwright.store.jobs import Jobs
from airwright.store.studio import Designs, StudioFile

LIKELY = 3
"""Jobs at the top of the book that are looked at before anybody asks."""


LIGHT = 3_000
"""Jobs with more balloons than this wait until somebody opens them."""


def warm_likely(desk: Desk) -> None:
    """Look at the jobs most likely to be opened first; a mishap is nobody's business yet."""
    with suppress(StoreError):
        with desk.database.reading() as session:
            jobs = Jobs(session)
            first = jobs.search(today=desk.settings.today(), limit=LIKELY)
            texts = [jobs.get(row.id).text for row in first if row.balloons <= LIGHT]
            studio_text = StudioFile(session).get()[0]
        for text in texts:
            desk.builder.evaluate(text, studio_text)


def warm_pictures(desk: Desk) -> None:
    """Draw the small pictures of designs that are not there yet."""
    with suppress(StoreError):
        with desk.database.reading() as session:
            texts = {row.id: row.text for row in Designs(session).all()}
            studio_text = StudioFile(session).get()[0]
        for key, text in ({start.key: start.text for start in starts()} | texts).items():
            design_picture(desk, key, text, studio_text)
