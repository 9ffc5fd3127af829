"""What was agreed, as one PDF for both sides; made once, then kept. Names of an edition's files."""

from __future__ import annotations

import datetime as dt
from typing import Final

from sqlalchemy.orm import Session

from airwright.language import message
from airwright.papers.acceptance import Agreement, render
from airwright.papers.edition import read
from airwright.store import StoreError
from airwright.store.editions import Editions, FrozenFile
from airwright.store.offer_tables import EditionRow

ACCEPTED: Final = "accepted.pdf"
SOLID_MEDIA: Final = {"glb": "model/gltf-binary", "usdz": "model/vnd.usdz+zip"}
"""Files of an edition that show an option in 3D, by their ending."""


def agreement(session: Session, row: EditionRow) -> FrozenFile:
    """The agreement's PDF; made once from what was kept, and kept itself."""
    editions = Editions(session)
    if ACCEPTED in editions.file_names(row.id):
        found = editions.file(row.id, ACCEPTED)
        return FrozenFile(found.name, found.media, found.content)
    yes = editions.acceptance(row.id)
    edition = read(row.content)
    option = edition.option(yes.option) if yes is not None else None
    if yes is None or option is None:
        raise StoreError(
            message("This offer was not accepted yet."), message("Accept it on its page first.")
        )
    names = editions.file_names(row.id)
    offer = editions.file(row.id, "offer.pdf").content if "offer.pdf" in names else b""
    agreed = Agreement(edition, row.fingerprint, option, yes.name, yes.note, _utc(yes.at))
    made = FrozenFile(ACCEPTED, "application/pdf", render(agreed, offer).data)
    editions.add_file(row.id, made)
    return made


def _utc(moment: dt.datetime) -> dt.datetime:
    return moment.astimezone(dt.UTC)
