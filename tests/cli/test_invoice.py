"""airwright invoice: the same documents without a desk, and what a hand types wrong."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest
from facturx import get_facturx_xml_from_pdf

from airwright.cli.common import today
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


def test_a_book_gives_numbers_without_gaps(job_file: Path, studio: Path, home: Path) -> None:
    """Deposit, final, credit in part: the final takes off what the book knows was asked."""
    words = ("invoice", job_file, "--studio", studio, "--book", home / "numbers.db", "--json",
             "--out", home / "out")  # fmt: skip

    def told(*more: str) -> dict[str, str]:
        done = run(*words, *more)
        assert done.exit_code == 0, done.output
        answer: dict[str, str] = json.loads(done.stdout)
        return answer

    year = today().year
    deposit = told("--option", "Classic", "--kind", "deposit", "--amount", "100")
    assert deposit["number"] == f"INV-{year}-0001"
    again = told("--option", "Classic", "--kind", "deposit", "--amount", "100")
    assert (again["number"], again["issued_before"]) == (deposit["number"], True)
    failed = run(*words, "--option", "Classic", "--kind", "instalment", "--amount", "99999")
    assert failed.exit_code == 2  # and takes no number with it
    final = told("--option", "Classic")
    assert final["number"] == f"INV-{year}-0002"
    assert (Decimal(final["prepaid"]), Decimal(final["due"])) == (
        Decimal(100),
        Decimal(final["gross"]) - 100,
    )
    credit = ("--kind", "credit", "--of", final["number"], "--reason", "One topper burst")
    note = told(*credit, "--amount", "30")
    assert note["number"] == f"CN-{year}-0001"
    text = run_together(whole_text((home / "out" / f"CN-{year}-0001.pdf").read_bytes()))
    assert f"Itcorrects{final['number']}" in text
    too_much = run(*words, *credit, "--amount", final["due"])
    assert too_much.exit_code == 2
    assert "not credited yet" in " ".join(too_much.output.split())


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ((), "where the number comes from"),
        (("--number", "1", "--book", "numbers.db"), "where the number comes from"),
        (("--book", "numbers.db", "--kind", "credit"), "needs the book"),
        (
            ("--book", "numbers.db", "--kind", "credit", "--of", "X", "--reason", "y"),
            "It has: none",
        ),
        (("--book", "job.toml"), "does not open"),
    ],
)
def test_a_book_that_cannot_be_used_is_said(
    job_file: Path, home: Path, monkeypatch: pytest.MonkeyPatch, more: tuple[str, ...], words: str
) -> None:
    monkeypatch.chdir(home)
    (home / "job.toml").write_bytes(job_file.read_bytes())
    done = run("invoice", job_file, "--option", "Classic", "--out", home / "x", *more)
    assert done.exit_code == 2, done.output
    assert words in " ".join(done.output.split())
    assert not (home / "x").exists()
