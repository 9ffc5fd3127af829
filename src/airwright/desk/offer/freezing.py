"""Making an edition: pictures, prices and terms of this moment, kept as they are."""

from __future__ import annotations

import datetime as dt
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from airwright.decor.assembly import Assembly
from airwright.desk.agreements import SOLID_MEDIA
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.papers.edition import Drawn, Edition, edition_of, planned_of
from airwright.papers.photographs import option_scene
from airwright.plan.values import Plan
from airwright.store.editions import FrozenFile

OFFER = "offer.pdf"
LOGO = "logo.png"
SVG = "image/svg+xml"


@dataclass(frozen=True, slots=True)
class Freeze:
    """An edition ready to be kept."""

    edition: Edition
    content: bytes
    files: Mapping[str, FrozenFile]
    planned: dict[str, Any]


def freeze(
    evaluation: Evaluation,
    number: int,
    today: dt.date,
    photos: Mapping[str, bytes],
    logo: bytes | None,
) -> Freeze:
    """An edition of what the job comes to now.

    Args:
        evaluation: the job, planned.
        number: of the edition.
        today: the day.
        photos: an option's name → its photograph (PNG).
        logo: of the studio, PNG.

    Raises:
        EditError: the job has errors, so there is nothing to offer.
    """
    plan = evaluation.plan
    if plan is None or not plan.options:
        raise EditError(
            message("This job has errors; it cannot be offered yet."),
            message("Fix them under Design."),
        )
    drawn, files = _pictures(evaluation, plan, photos)
    if logo is not None:
        files[LOGO] = FrozenFile(LOGO, "image/png", logo)
    digests = {name: file.sha256 for name, file in files.items()}
    edition = edition_of(plan, number, today, drawn=drawn, files=digests)
    files[OFFER] = FrozenFile(OFFER, "application/pdf", _pdf(plan, today, photos))
    return Freeze(edition, edition.content(), files, planned_of(plan))


def current(evaluation: Evaluation, number: int, today: dt.date) -> Edition | None:
    """What an edition would say now, without its pictures; None while the job has errors."""
    if evaluation.plan is None:
        return None
    return edition_of(evaluation.plan, number, today)


def _pictures(
    evaluation: Evaluation, plan: Plan, photos: Mapping[str, bytes]
) -> tuple[dict[str, Drawn], dict[str, FrozenFile]]:
    from airwright.pictures.drawing import Options, best_look, draw, to_svg

    drawn: dict[str, Drawn] = {}
    files: dict[str, FrozenFile] = {}
    for at, option in enumerate(plan.options, 1):
        scene = option_scene(option)
        picture = draw(
            scene, "front", options=Options(person=True, system=plan.studio.studio.units)
        )
        scale = FrozenFile(f"scale-{at}.svg", SVG, to_svg(picture, prefix=f"s{at}-").encode())
        photo = photos.get(option.name)
        if photo is not None:
            look = FrozenFile(f"look-{at}.png", "image/png", photo)
        else:
            look = FrozenFile(
                f"look-{at}.svg",
                SVG,
                to_svg(draw(scene, best_look(scene)), prefix=f"l{at}-").encode(),
            )
        files |= {file.name: file for file in (look, scale, *_solids(scene, at))}
        drawn[option.name] = Drawn(look.name, scale.name, picture.width_m)
    return drawn, files


def _solids(scene: Assembly, at: int) -> tuple[FrozenFile, ...]:
    """The option in 3D for browsers and for telephones, at true scale."""
    from airwright.pictures.export import ExchangeError, to_glb, to_usdz

    glb = FrozenFile(f"solid-{at}.glb", SOLID_MEDIA["glb"], to_glb(scene))
    try:
        usdz = FrozenFile(f"solid-{at}.usdz", SOLID_MEDIA["usdz"], to_usdz(scene))
    except ExchangeError:  # an Airwright without photographs writes none; the GLB does for most
        return (glb,)
    return glb, usdz


def _pdf(plan: Plan, today: dt.date, photos: Mapping[str, bytes]) -> bytes:
    from airwright.language import speaking
    from airwright.papers.common.request import request_for
    from airwright.papers.proposal import make

    with tempfile.TemporaryDirectory(prefix="airwright-offer-") as folder:
        paths = {}
        for at, (name, content) in enumerate(photos.items()):
            paths[name] = Path(folder) / f"{at}.png"
            paths[name].write_bytes(content)
        request = request_for(plan, today, paths)
        with speaking(request.client_language):
            return make(request)[0].data
