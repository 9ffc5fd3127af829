"""The look book and the price menu as PDFs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Any, Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.parts import long_date
from airwright.papers.common.pictures import Picture
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.look_book.model import LookBook
from airwright.papers.look_book.words import INVENTED_WORDS, look_words, small_print
from airwright.units import System

BOOK_PATH: Final = "look-book.pdf"
MENU_PATH: Final = "price-menu.pdf"
ON_COVER: Final = 6
GAP_MM: Final = 4.0
COVER_WORDS_MM: Final = 82.0
"""Head, title and small print of the cover [mm]."""
INDEX_ROW_MM: Final = 7.2
INDEX_ON_COVER: Final = 12
"""Looks up to this many are listed on the cover, else on the page after it."""


def look_book(book: LookBook, pictures: Sequence[Picture], page: Page, system: System) -> Paper:
    """look-book.pdf: a cover, then a page a look."""
    high = page.body_height_mm - COVER_WORDS_MM
    if len(book.looks) <= INDEX_ON_COVER:
        high -= INDEX_ROW_MM * math.ceil(len(book.looks) / 2)
    rows = mosaic([p.aspect for p in pictures[:ON_COVER]], page.body_width_mm, high)
    return _typeset("book", BOOK_PATH, "Look book", book, pictures, (page, system), rows)


def price_menu(book: LookBook, pictures: Sequence[Picture], page: Page, system: System) -> Paper:
    """price-menu.pdf: all looks and their prices on one page."""
    return _typeset("menu", MENU_PATH, "Price menu", book, pictures, (page, system), [])


def mosaic(aspects: Sequence[float], wide: float, high: float) -> list[dict[str, Any]]:
    """Pictures in rows as wide as the page, each picture whole, all of them as large as can be.

    Args:
        aspects: width over height of each picture.
        wide, high: the area [mm].

    Returns:
        Rows of {"first", "count", "high"}; of all ways to break the order into rows, the one
        with the largest product of areas, so that no picture is large at the cost of another.
        A stack too tall is narrowed as a whole.
    """
    best: tuple[float, list[dict[str, Any]]] = (-math.inf, [])
    count = len(aspects)
    for breaks in range(2 ** max(count - 1, 0)):
        cuts = [0, *(k + 1 for k in range(count - 1) if breaks >> k & 1), count]
        spans = [(a, b - a) for a, b in pairwise(cuts) if b > a]
        heights = [(wide - GAP_MM * (n - 1)) / sum(aspects[a : a + n]) for a, n in spans]
        room = high - GAP_MM * (len(spans) - 1)
        squeeze = min(1.0, room / sum(heights)) if heights else 1.0
        area = sum(2 * n * math.log(squeeze * h) for (_, n), h in zip(spans, heights, strict=True))
        if area > best[0]:
            rows = [
                {"first": a, "count": n, "high": squeeze * h}
                for (a, n), h in zip(spans, heights, strict=True)
            ]
            best = (area, rows)
    return best[1]


def _typeset(
    kind: str,
    path: str,
    title: str,
    book: LookBook,
    pictures: Sequence[Picture],
    paper: tuple[Page, System],
    rows: list[dict[str, Any]],
) -> Paper:
    page, system = paper
    head = book.masthead
    data = {
        "kind": kind,
        "studio": head.studio,
        "address": head.address,
        "contact": head.contact,
        "short": " · ".join(shortened(part, 48) for part in (head.studio, head.contact) if part),
        "made": long_date(book.made),
        "palette": list(book.palette),
        "looks": [
            {**look_words(look, system), "picture": _picture(picture)}
            for look, picture in zip(book.looks, pictures, strict=True)
        ],
        "rows": rows,
        "apart": len(book.looks) > INDEX_ON_COVER,
        "gap": GAP_MM,
        "small": small_print(book),
        "invented": INVENTED_WORDS if book.invented else "",
        "author": head.studio,
    }
    return typeset(
        "look_book",
        path,
        data,
        page=page,
        title=f"{title}: {head.studio}",
        fingerprint=fingerprint(
            {"model": fingerprint(book), "pictures": [fingerprint(p) for p in pictures]}
        ),
        pictures={picture.file: picture.data for picture in pictures},
        mark=PaperMark("", book.made),
    )


def _picture(picture: Picture) -> dict[str, Any]:
    return {
        "file": picture.file,
        "alt": picture.alt,
        "photograph": picture.photograph,
        "aspect": picture.aspect,
    }
