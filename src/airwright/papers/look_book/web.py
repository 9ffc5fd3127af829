"""The look book as a web page: one file of HTML with its pictures and letters beside it.

It opens from a folder as well as from a server, runs no script and asks no other machine for
anything.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final

from airwright.catalog import FONT_FOLDER
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.parts import long_date
from airwright.papers.look_book.model import LookBook
from airwright.papers.look_book.render import BOOK_PATH, MENU_PATH
from airwright.papers.look_book.words import INVENTED_WORDS, look_words, small_print
from airwright.units import System

if TYPE_CHECKING:
    from jinja2 import Template

PATH: Final = "index.html"
LETTERS: Final = (
    "Fraunces_300Light.ttf",
    "Fraunces_400Regular_Italic.ttf",
    "SourceSans3_400Regular.ttf",
    "SourceSans3_600SemiBold.ttf",
    "LICENSES.txt",
)
"""Fonts the page brings along; a script they lack falls back to the reader's own."""


@dataclass(frozen=True, slots=True)
class WebPicture:
    """A picture of the page: its path, what it shows, and its size [px]."""

    file: str
    alt: str
    width: int
    height: int
    photograph: bool


def web_page(book: LookBook, pictures: Sequence[WebPicture], system: System) -> tuple[Paper, ...]:
    """index.html and the fonts beside it."""
    looks = [
        {**look_words(look, system), "picture": asdict(picture), "anchor": f"look-{at}"}
        for at, (look, picture) in enumerate(zip(book.looks, pictures, strict=True), start=1)
    ]
    html = _template().render(
        head=book.masthead,
        made=long_date(book.made),
        palette=_beads(book.palette),
        looks=looks,
        small=small_print(book),
        invented=INVENTED_WORDS if book.invented else "",
        book=BOOK_PATH,
        menu=MENU_PATH,
        style=_text("look_book.css"),
    )
    data = html.encode()
    return (Paper(PATH, data, fingerprint({"page": data})), *_letters())


def _beads(palette: Sequence[str], count: int = 90) -> list[str]:
    """The palette repeated along a string of beads."""
    return [palette[at % len(palette)] for at in range(count)] if palette else []


def _letters() -> tuple[Paper, ...]:
    papers = []
    for name in LETTERS:
        data = (FONT_FOLDER / name).read_bytes()
        papers.append(Paper(f"fonts/{name}", data, fingerprint({"font": data})))
    return tuple(papers)


@cache
def _template() -> Template:
    from jinja2 import Environment, StrictUndefined

    environment: Any = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    template: Template = environment.from_string(_text("look_book.html"))
    return template


@cache
def _text(name: str) -> str:
    return files("airwright.papers.look_book").joinpath(name).read_text("utf-8")
