"""Printing and reading programs take our PDFs without a word."""

from __future__ import annotations

import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest

from airwright.job.examples import example_text
from airwright.papers.common.document import Paper
from airwright.papers.pack import documents_for
from tests.papers.plans import TODAY
from tests.plan.samples import plan

POPPLER = shutil.which("pdftoppm")
EXAMPLES = ("ferry-terminal", "harbour-festival")


@cache
def papers(example: str) -> tuple[Paper, ...]:
    made = documents_for(plan(example_text(example)), today=TODAY)
    return tuple(paper for paper in made if paper.path.endswith(".pdf"))


@pytest.mark.other_program
@pytest.mark.skipif(POPPLER is None, reason="poppler's pdftoppm is not installed")
@pytest.mark.parametrize("example", EXAMPLES)
def test_poppler_prints_every_page_without_a_complaint(example: str, tmp_path: Path) -> None:
    """It skips what is filled in a frame of very small units, and says so page by page."""
    assert POPPLER is not None
    for paper in papers(example):
        source, said = tmp_path / paper.path, tmp_path / f"{paper.path}.txt"
        source.write_bytes(paper.data)
        with said.open("wb") as heard:
            draw = [POPPLER, "-r", "36", "-png", str(source), str(tmp_path / "page")]
            tell = [str(Path(POPPLER).with_name("pdfinfo")), str(source)]
            subprocess.run(draw, stderr=heard, check=True, timeout=240)
            subprocess.run(tell, stdout=subprocess.DEVNULL, stderr=heard, check=True, timeout=60)
        assert said.read_bytes()[:400] == b"", paper.path


@pytest.mark.other_program
@pytest.mark.parametrize("example", EXAMPLES)
def test_a_browser_s_reader_shows_the_pictures(example: str) -> None:
    """PDFium, with which Chromium shows PDFs, finds colour on every page with a picture."""
    pdfium = pytest.importorskip("pypdfium2")
    numpy = pytest.importorskip("numpy")
    (proposal,) = (paper for paper in papers(example) if paper.path == "proposal.pdf")
    with pdfium.PdfDocument(proposal.data) as book:
        page = book[0].render(scale=0.6).to_numpy().astype(float)
    vivid = numpy.ptp(page[:, :, :3], axis=2) > 60
    assert vivid.mean() > 0.004  # a page without its pictures has next to none


def test_a_drawing_on_several_pages_is_kept_once() -> None:
    for example, most in (("ferry-terminal", 0.8e6), ("harbour-festival", 2.0e6)):
        (proposal,) = (p for p in papers(example) if p.path == "proposal.pdf")
        assert len(proposal.data) < most
