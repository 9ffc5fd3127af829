"""Packed PDFs say and show what they said before."""

from __future__ import annotations

import io
from typing import Any

import pytest

from airwright.papers.common.packing import packed
from airwright.papers.common.typeset import as_page

SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<radialGradient id="a"><stop offset="0" stop-color="#fff"/><stop offset="1" stop-color="#c33"/>
</radialGradient>%s</svg>"""


def pdf_of(circles: int) -> bytes:
    import typst

    body = b"".join(
        b'<circle cx="%d" cy="%d" r="4" fill="url(#a)"/>' % (5 + k % 11 * 5, 5 + k // 11 * 5)
        for k in range(circles)
    )
    main = b'#set page(width: 80mm, height: 70mm, margin: 5mm)\nBalloons\n#image("a.svg", alt: "a")'
    # Any: typst's type information leaves out that it takes several files as one mapping.
    sources: Any = {"main": main, "a.svg": SVG % body}
    made = typst.Compiler(sources).compile(format="pdf", timestamp=0)
    assert isinstance(made, bytes)
    return made


@pytest.mark.other_program
@pytest.mark.parametrize("circles", [0, 3, 77])
def test_two_readers_see_the_same(circles: int) -> None:
    pypdf, pdfium = pytest.importorskip("pypdf"), pytest.importorskip("pypdfium2")
    before = pdf_of(circles)
    after = packed(before)
    books = [pypdf.PdfReader(io.BytesIO(data), strict=True) for data in (before, after)]
    assert books[0].pages[0].extract_text() == books[1].pages[0].extract_text() == "Balloons"
    assert books[1].trailer["/Root"]["/MarkInfo"]["/Marked"]
    looks = [pdfium.PdfDocument(data)[0].render(scale=2).to_numpy() for data in (before, after)]
    assert (looks[0] == looks[1]).all()
    if circles == 77:
        assert len(after) < 0.7 * len(before)


def test_equal_documents_give_equal_bytes() -> None:
    assert packed(pdf_of(3)) == packed(pdf_of(3))
    assert as_page(SVG % b"").startswith(b"[37,80,68,70")
