"""Invoices as files: what stands on them, and what machines find inside."""

from __future__ import annotations

import io
from decimal import Decimal

import pikepdf
import pytest
from facturx import get_facturx_xml_from_pdf
from lxml import etree

from airwright.papers.invoice import (
    NotElectronic,
    electronic,
    file_name,
    read,
    render_pdf,
    render_ubl,
    why_not,
)
from tests.papers.invoices import invoices, studio
from tests.papers.pdf_reading import page_count, run_together, whole_text

ALL = invoices()
FX = "{urn:factur-x:pdfa:CrossIndustryDocument:invoice:1p0#}"
RAM = "{urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100}"


@pytest.mark.parametrize("kind", ALL)
def test_it_reads_back_from_its_bytes(kind: str) -> None:
    assert read(ALL[kind].content()) == ALL[kind]
    assert read(ALL[kind].content()).content() == ALL[kind].content()


def test_the_page_says_what_is_to_pay_and_how() -> None:
    text = run_together(whole_text(render_pdf(ALL["final"]).data))
    for words in (
        "InvoiceINV-2027-0003", "SaltmarshFerries", "Pier1", "Swirlcolumn", "184.50", "369.00",
        "VAT19%on€384.25", "€73.01", "VAT7%on€9.90", "€0.69", "€467.85",
        "AskedbeforewithINV-2027-0001", "€267.85", "DE71110220330123456789", "March17,2027",
        "VATnumberDE123456789", "Edition2of3March2027",
    ):  # fmt: skip
        assert words in text, words


def test_a_credit_note_asks_for_nothing() -> None:
    text = run_together(whole_text(render_pdf(ALL["credit"]).data))
    assert "CreditnoteCN-2027-0001" in text
    assert "ItcorrectsINV-2027-0001" in text
    assert "Take-downwasnotneeded." in text
    assert "Credited€467.85" in text
    assert "Pleasepay" not in text
    assert "IBAN" not in text


@pytest.mark.parametrize("kind", ALL)
def test_the_pdf_is_an_archive_with_its_data_inside(kind: str) -> None:
    """ISO 19005-3: identification, output intent, fonts inside, the file told of in the root."""
    data = render_pdf(ALL[kind]).data
    name, xml = get_facturx_xml_from_pdf(data, check_xsd=True, check_schematron=False)
    assert name == "factur-x.xml"
    assert xml == electronic(ALL[kind], "factur-x")
    with pikepdf.open(io.BytesIO(data)) as document:
        meta = document.open_metadata()
        assert (meta["pdfaid:part"], meta["pdfaid:conformance"]) == ("3", "B")
        assert meta[FX + "ConformanceLevel"] == "EN 16931"
        assert document.Root.OutputIntents[0].S == "/GTS_PDFA1"
        assert "/DestOutputProfile" in document.Root.OutputIntents[0]
        assert document.Root.AF[0].AFRelationship == "/Alternative"
        assert "/Encrypt" not in document.trailer
        for font in fonts(document):
            described = font.DescendantFonts[0].FontDescriptor
            assert any(key in described for key in ("/FontFile2", "/FontFile3"))


def fonts(document: pikepdf.Pdf) -> list[pikepdf.Object]:
    found = [font for page in document.pages for font in page.Resources.Font.values()]
    assert found
    return found


def test_amounts_inside_are_those_on_the_page() -> None:
    root = etree.fromstring(electronic(ALL["final"], "factur-x"))
    sums = root.find(f".//{RAM}SpecifiedTradeSettlementHeaderMonetarySummation")
    assert sums is not None
    found = {child.tag.removeprefix(RAM): child.text for child in sums}
    assert found == {
        "LineTotalAmount": "414.15", "AllowanceTotalAmount": "20.00",
        "TaxBasisTotalAmount": "394.15",
        "TaxTotalAmount": "73.70", "GrandTotalAmount": "467.85", "TotalPrepaidAmount": "200.00",
        "DuePayableAmount": "267.85",
    }  # fmt: skip


def test_ubl_stands_beside_it() -> None:
    paper = render_ubl(ALL["credit"])
    assert paper.path == "CN-2027-0001.xml"
    assert etree.fromstring(paper.data).tag.endswith("}CreditNote")


def test_outside_the_vat_area_it_is_a_plain_invoice_in_the_studios_words() -> None:
    american = ALL["final"].model_copy(
        update={
            "seller": ALL["final"].seller.model_copy(update={"country": "US", "vat_number": ""}),
            "footer": "Sales tax permit 12-345.",
        }
    )
    assert "not in the European VAT area" in why_not(american)
    with pytest.raises(NotElectronic):
        electronic(american, "factur-x")
    data = render_pdf(american).data
    with pikepdf.open(io.BytesIO(data)) as document:
        assert "/AF" not in document.Root
    assert "Salestaxpermit12-345." in run_together(whole_text(data))


@pytest.mark.parametrize(
    ("update", "words"),
    [({"vat_number": "", "tax_number": ""}, "VAT or tax number"), ({"country": ""}, "VAT area")],
)
def test_what_is_missing_for_machines_is_said(update: dict[str, str], words: str) -> None:
    seller = ALL["final"].seller.model_copy(update=update)
    assert words in why_not(ALL["final"].model_copy(update={"seller": seller}))


STRESS = "漢字 العربية <b>*_#$@\\ \"'&amp; " + "Wort" * 60


@pytest.mark.parametrize("lines", [1, 60])
def test_endless_names_and_many_lines_stay_on_the_page(lines: int) -> None:
    one = ALL["final"].lines[0].model_copy(update={"what": STRESS})
    invoice = ALL["final"].model_copy(
        update={
            "lines": (one,) * lines,
            "title": STRESS,
            "buyer": ALL["final"].buyer.model_copy(update={"name": STRESS, "street": STRESS}),
        }
    )
    data = render_pdf(invoice).data
    assert 1 <= page_count(data) <= 1 + lines
    assert "WortWortWort" in run_together(whole_text(data))


def test_a_file_name_is_fit_for_any_disk() -> None:
    odd = ALL["final"].model_copy(update={"number": "INV/2027 7"})
    assert file_name(odd, "pdf") == "INV-2027-7.pdf"


def test_languages_and_currencies_change_the_page_and_no_amount() -> None:
    german = ALL["final"].model_copy(update={"language": "de", "currency": "CHF"})
    text = run_together(whole_text(render_pdf(german).data))
    assert "467,85CHF" in text
    assert ALL["final"].sums.gross == Decimal("467.85")


def test_the_business_may_differ_from_the_studios_name() -> None:
    assert studio('name = "Quay Decor Ltd"\n').business.name == "Quay Decor Ltd"
