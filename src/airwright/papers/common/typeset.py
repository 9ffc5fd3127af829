"""From a template and its data to a PDF. Texts travel as data and are never read as markup."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any, Final

from airwright.language import Language, current_language, say, say_all, speaking
from airwright.language.saying import gettext
from airwright.papers.common import fonts as bundled
from airwright.papers.common.document import Paper, glyph_findings
from airwright.papers.common.mark import PaperMark, mark_line
from airwright.papers.common.packing import packed
from airwright.papers.common.page import Page
from airwright.papers.common.words import fit_all

_BARE: Final = b"""#set page(width: auto, height: auto, margin: 0mm, fill: none)
#image("drawing.svg")"""


_SENTENCE: Final = re.compile(r'(?<![\w.])t\("((?:[^"\\]|\\.)*)"')


class TypesetError(RuntimeError):
    """A template that does not compile: a fault of ours, never of the job."""


def typeset(
    document: str,
    path: str,
    data: Mapping[str, Any],
    *,
    page: Page,
    title: str,
    fingerprint: str,
    pictures: Mapping[str, bytes] | None = None,
    mark: PaperMark | None = None,
    archive: bool = False,
    beside: Language | None = None,
) -> Paper:
    """Typeset one document.

    Args:
        document: the subpackage that holds `<document>.typ`.
        path: file name in the pack.
        data: what the template reads as `json("data.json")`; every text in it is made fit.
        page: paper.
        title: the PDF's title.
        fingerprint: of the model.
        pictures: file name → SVG, for `image("name")` in the template, or from `as_page`.
        mark: the job's number and day of issue, for the foot of each page; without it the
            fingerprint stands there.
        archive: whether the PDF is one for archives that may carry files (ISO 19005-3, PDF/A-3b).
        beside: a second language: the template finds the same data in it under "beside".

    Raises:
        TypesetError: the template does not compile.
    """
    import typst

    unprintable: dict[str, None] = {}
    second: dict[str, Any] = {}
    if beside is not None:
        with speaking(beside):
            words = template_words(document) | template_words("common", "house")
            second = {**fit_all(say_all(data), unprintable), "words": words}
    values = {
        **fit_all(say_all(data), unprintable),
        "title": fit_all(say(title), unprintable),
        "words": template_words(document) | template_words("common", "house"),
        "language": current_language().split("-")[0],
        "beside": second or None,
        "mark": fingerprint if mark is None else say(mark_line(mark)),
        "page": _page(page),
        "fonts": {"text": list(bundled.TEXT), "display": list(bundled.DISPLAY)},
        "day": None if mark is None else [mark.issued.year, mark.issued.month, mark.issued.day],
    }
    # Any: typst's type information leaves out that it takes several files as one mapping.
    sources: Any = {
        "main": template(document),
        "house.typ": template("common", "house"),
        "data.json": json.dumps(values, ensure_ascii=False).encode("utf-8"),
        **(pictures or {}),
    }
    try:
        compiler = typst.Compiler(sources, font_paths=bundled.fonts())
        # A fixed stamp: equal inputs give equal bytes.
        kind: Any = {"pdf_standards": ["a-3b"]} if archive else {}
        stamp = _stamp(mark.issued if mark else None)
        made = compiler.compile(format="pdf", timestamp=stamp, **kind)
    except typst.TypstError as problem:
        raise TypesetError(f"{path}: {problem.diagnostic or problem.message}") from problem
    assert isinstance(made, bytes)
    pdf = made if archive else packed(made)
    return Paper(path, pdf, fingerprint, glyph_findings(path, unprintable))


def as_page(svg: bytes) -> bytes:
    """A drawing as one page of PDF, for a document that shows it more than once.

    An SVG is written into a document anew at every place; a page is kept once and referred to.
    The typesetter takes only texts from memory, so the page's bytes come as a JSON list: a
    template shows it with `image(bytes(json("name")))`.
    """
    import typst

    sources: Any = {"main": _BARE, "drawing.svg": svg}
    compiler = typst.Compiler(sources, font_paths=bundled.fonts())
    made = compiler.compile(format="pdf", timestamp=0, pdf_tags=False)
    assert isinstance(made, bytes)
    return json.dumps(list(made), separators=(",", ":")).encode("ascii")


@cache
def template(package: str, name: str | None = None) -> bytes:
    """A template's text, read once."""
    file = files("airwright.papers").joinpath(package, f"{name or package}.typ")
    return file.read_bytes()


@cache
def template_sentences(package: str, name: str | None = None) -> tuple[str, ...]:
    """Sentences that a template says itself: `t("…")`."""
    found = _SENTENCE.findall(template(package, name).decode("utf-8"))
    return tuple(dict.fromkeys(found))


def template_words(package: str, name: str | None = None) -> dict[str, str]:
    """Those sentences → what they are in the language being spoken."""
    return {form: gettext(form) for form in template_sentences(package, name)}


def _page(page: Page) -> dict[str, float]:
    return {
        "width": page.width_mm,
        "height": page.height_mm,
        "margin": page.margin_mm,
        "top": page.top_mm,
        "bottom": page.bottom_mm,
    }


def _stamp(day: dt.date | None) -> int:
    if day is None:
        return 0
    return int(dt.datetime(day.year, day.month, day.day, tzinfo=dt.UTC).timestamp())
