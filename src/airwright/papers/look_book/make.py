"""All files of a look book: two PDFs, the page, its pictures and its letters."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Final

from airwright.job import Studio
from airwright.job.findings import Finding
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.names import file_stems
from airwright.papers.common.page import page_for
from airwright.papers.common.photographs import photograph, wrapped
from airwright.papers.common.pictures import Picture, Pictures
from airwright.papers.look_book.gather import Look
from airwright.papers.look_book.model import LookBook
from airwright.papers.look_book.render import look_book, price_menu
from airwright.papers.look_book.web import WebPicture, web_page

JPEG_QUALITY: Final = 88
GALLERY: Final = "gallery.zip"
FOLDER: Final = "pictures"
THUMB_PX: Final = 420
"""Longer side of a picture on the price menu: 30 mm at 350 dots an inch."""


def make_looks(
    book: LookBook,
    looks: Sequence[Look],
    studio: Studio,
    photos: Mapping[int, Path],
) -> tuple[Paper, ...]:
    """Every file of a look book, without writing any.

    Args:
        book: what it says.
        looks: the looks it was read off, in the same order.
        studio: for paper and units.
        photos: number of a look → its photograph; drawings stand in for those left out.
    """
    house = studio.studio
    stems = file_stems([look.name for look in looks], "look")
    shelf = Pictures(house.units)
    pictures: list[Picture] = []
    thumbs: list[Picture] = []
    web: list[WebPicture] = []
    files: list[Paper] = []
    findings: list[Finding] = []
    for at, (look, stem) in enumerate(zip(looks, stems, strict=True)):
        taken, problem = photograph(photos.get(at), f"look-{at}", look.name)
        findings += problem
        drawing = shelf.scene(look.usual.option)
        drawn = shelf.picture(drawing, f"look-{at}.svg", f"Drawing of {look.name}")
        pictures.append(taken or drawn)
        thumbs.append(drawn if taken is None else _thumb(taken, photos[at]))
        if taken is None:
            data, name = shelf.svg(drawing).encode(), f"{FOLDER}/{stem}.svg"
            size = (600, max(1, round(600 / drawn.aspect)))
        else:
            data, size = _jpeg(photos[at], None)
            name = f"{FOLDER}/{stem}.jpg"
        files.append(Paper(name, data, fingerprint({"picture": data})))
        alt = (taken or drawn).alt
        web.append(WebPicture(name, alt, size[0], size[1], taken is not None))
    page, system = page_for(house), house.units
    papers = [look_book(book, pictures, page, system), price_menu(book, thumbs, page, system)]
    papers[0] = Paper(
        papers[0].path,
        papers[0].data,
        papers[0].fingerprint,
        (*findings, *papers[0].findings),
    )
    page_files = (*papers, *web_page(book, web, system), *files)
    return (*page_files, gallery_file(page_files))


def gallery_file(papers: Sequence[Paper]) -> Paper:
    """Page, pictures, letters and PDFs as one file, to upload to any web space.

    Every entry bears the same date, so that equal pages give equal bytes.
    """
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for paper in papers:
            entry = zipfile.ZipInfo(paper.path, date_time=(1980, 1, 1, 0, 0, 0))
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, paper.data)
    data = held.getvalue()
    return Paper(GALLERY, data, fingerprint({"gallery": data}))


def _thumb(taken: Picture, path: Path) -> Picture:
    """The photograph, small enough for many on one page."""
    data, (wide, high) = _jpeg(path, THUMB_PX)
    return replace(taken, data=wrapped(data, "jpeg", wide, high))


def _jpeg(path: Path, longest: int | None) -> tuple[bytes, tuple[int, int]]:
    """A photograph as a light JPEG, its longer side at most so many pixels; and its size [px]."""
    from PIL import Image

    held = io.BytesIO()
    with Image.open(path) as image:
        plain = image.convert("RGB")
    if longest is not None:
        plain.thumbnail((longest, longest), Image.Resampling.LANCZOS)
    plain.save(held, "JPEG", quality=JPEG_QUALITY, optimize=True)
    return held.getvalue(), plain.size
