"""An option of an edition in 3D, for the client's own screen and room."""

from __future__ import annotations

from typing import Final, Literal

from airwright.desk.editing.result_cache import ResultCache
from airwright.desk.state import Desk
from airwright.papers.edition import read
from airwright.papers.photographs import option_scene
from airwright.pictures.export import ExchangeError, to_glb, to_usdz
from airwright.store import Missing
from airwright.store.editions import Editions
from airwright.store.jobs import Jobs
from airwright.store.offer_tables import EditionRow
from airwright.store.studio import StudioFile

Ending = Literal["glb", "usdz"]

KEPT_BYTES: Final = 60_000_000

_kept: ResultCache[bytes] = ResultCache(40, KEPT_BYTES, len)


def solid(desk: Desk, row: EditionRow, at: int, ending: Ending) -> bytes:
    """An option as a 3D file at true scale, as it was frozen with the edition.

    Editions of earlier versions hold none: theirs is made from the job's text as it was sent.

    Raises:
        Missing: there is no such option, or nothing of it can be built.
    """
    options = read(row.content).options
    if not 0 <= at < len(options):
        raise Missing("option")
    name = f"solid-{at + 1}.{ending}"
    with desk.database.reading() as session:
        editions = Editions(session)
        if name in editions.file_names(row.id):
            return editions.file(row.id, name).content
    key = (row.id, at, ending)
    found = _kept.get(key)
    if found is None:
        with desk.database.reading() as session:
            text = Jobs(session).version(row.job_id, row.job_version).text
            studio_text = StudioFile(session).get()[0]
        with desk.limits.building.one():
            found = _built(desk, text, studio_text, options[at].name, ending)
        _kept.put(key, found)
    return found


def _built(desk: Desk, text: str, studio_text: str, option: str, ending: Ending) -> bytes:
    plan = desk.builder.evaluate(text, studio_text).plan
    named = [found for found in plan.options if found.name == option] if plan else []
    if not named:
        raise Missing("picture")
    scene = option_scene(named[0])
    try:
        return to_glb(scene) if ending == "glb" else to_usdz(scene)
    except ExchangeError as problem:  # an Airwright without photographs writes no USDZ
        raise Missing("picture") from problem
