"""airwright invoice: the same documents without a desk, and what a hand types wrong."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from facturx import get_facturx_xml_from_pdf

from tests.cli.quick import run
from tests.papers.pdf_reading import run_together, whole_text

STUDIO = """format = "airwright-studio/1"
[studio]
name = "Saltmarsh Balloons"
[business]
country = "IE"
vat_number = "IE1234567T"
[pricing]
tax = 0.23
tax_name = "VAT"
"""


@pytest.fixture
def studio(home: Path) -> Path:
    path = home / "mine.toml"
    path.write_text(STUDIO)
    return path


def test_a_final_invoice_with_its_data_and_ubl(job_file: Path, studio: Path, home: Path) -> None:
    out = home / "out"
    more = ("--option", "Classic", "--earlier", "INV-2027-0001=100@2027-03-03", "--json")
    done = run("invoice", job_file, "--studio", studio, "--number", "INV-2027-0002", *more,
               "--out", out)  # fmt: skip
    assert done.exit_code == 0, done.output
    told = json.loads(done.stdout)
    assert told["electronic"]
    assert float(told["due"]) == pytest.approx(float(told["gross"]) - 100)
    pdf = (out / "INV-2027-0002.pdf").read_bytes()
    assert "Askedbefore" in run_together(whole_text(pdf))
    name, _ = get_facturx_xml_from_pdf(pdf, check_xsd=True, check_schematron=False)
    assert name == "factur-x.xml"
    assert (out / "INV-2027-0002.xml").exists()


def test_a_studio_outside_the_vat_area_gets_a_plain_one(job_file: Path, home: Path) -> None:
    done = run("invoice", job_file, "--number", "1", "--option", "Classic", "--kind", "deposit",
               "--out", home)  # fmt: skip
    assert done.exit_code == 0, done.output
    assert "plain invoice" in done.stdout
    assert not (home / "1.xml").exists()


@pytest.mark.parametrize(
    ("more", "words"),
    [
        (("--option", "Dragon"), 'no option "Dragon"'),
        ((), "not said which option"),
        (("--option", "Classic", "--kind", "gift"), "no kind of invoice"),
        (("--option", "Classic", "--kind", "deposit", "--amount", "-5"), "below zero"),
        (("--option", "Classic", "--kind", "instalment", "--amount", "99999"), "agreed"),
        (("--option", "Classic", "--earlier", "nonsense"), "names no invoice"),
        (("--option", "Classic", "--due", "soon"), "no date"),
    ],
)
def test_wrong_words_are_said_with_a_cure(
    job_file: Path, home: Path, more: tuple[str, ...], words: str
) -> None:
    done = run("invoice", job_file, "--number", "INV-1", "--out", home / "x", *more)
    assert done.exit_code == 2, done.output
    assert words in " ".join(done.output.split())
    assert not (home / "x").exists()


def test_an_issued_invoice_is_not_written_over(job_file: Path, home: Path) -> None:
    words = ("invoice", job_file, "--number", "INV-1", "--out", home)
    assert run(*words, "--option", "Classic").exit_code == 0
    again = run(*words, "--option", "Statement")
    assert again.exit_code == 2
    assert "never changed" in " ".join(again.output.split())
