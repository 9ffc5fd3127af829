"""Sums of published invoices, recomputed to the cent.

Source: the example files of EN 16931 (github ConnectingEurope/eInvoicing-EN16931 at b6c9e06,
ubl/examples and cii/examples), totals as printed in them. The published validator tolerates a
difference below 1.00 in BR-CO-17; these tests tolerate none. The examples' own lines break
quantity times price (6 x 18.33 stands as -109.98 there), so line arithmetic is not tested on them.
"""

from decimal import Decimal

import pytest

from airwright.money.lines import LineKind, line, sum_of
from airwright.money.tax import Tax, TaxCategory, tax_on
from airwright.money.totals import Adjustment, Totals, broken_rules, totals
from tests.validation.reading import rows

SOURCE = "EN 16931 example files (eInvoicing-EN16931 at b6c9e06)"
UBL = rows("en16931_ubl_totals.csv")
CII = rows("en16931_cii_totals.csv")


def groups_in(row: dict[str, str]) -> list[tuple[Tax, Decimal, Decimal]]:
    """Tax, base and tax amount of "S:25%:1460.50:365.13; E:0%:-25.00:0.00"."""
    found = []
    for part in row["vat_groups(cat:rate:base:tax)"].split(";"):
        category, rate, base, amount = part.strip().split(":")
        tax = Tax(Decimal(rate.rstrip("%")) / 100, TaxCategory(category))
        found.append((tax, Decimal(base), Decimal(amount)))
    return found


def recomputed(row: dict[str, str]) -> Totals:
    """One line a tax group; the document's allowance and charge stand in the first group."""
    off, added = Decimal(row["BT107_allowances"]), Decimal(row["BT108_charges"])
    groups = groups_in(row)
    lines = []
    for at, (tax, base, _) in enumerate(groups):
        own = base + off - added if at == 0 else base
        lines.append(line(LineKind.OTHER, "group", own, row["currency"], tax=tax))
    first = groups[0][0]
    adjustments = [Adjustment("allowance", -off, first), Adjustment("charge", added, first)]
    sums = totals(row["currency"], lines, adjustments, prepaid=Decimal(row["BT113_prepaid"]))
    assert broken_rules(sums, lines) == ()
    return sums


@pytest.mark.published
@pytest.mark.parametrize("row", UBL, ids=lambda row: row["file"])
def test_sums_of_the_ubl_examples(compare, row: dict[str, str]) -> None:
    sums = recomputed(row)
    for name, ours in (
        ("BT106_line_total", sums.lines),
        ("BT109_without_vat", sums.net),
        ("BT110_vat", sums.tax),
        ("BT112_with_vat", sums.gross),
        ("BT115_due", sums.due),
    ):
        compare(ours, Decimal(row[name]), source=SOURCE, what=f"{row['file']}: {name}")


@pytest.mark.published
@pytest.mark.parametrize("row", UBL, ids=lambda row: row["file"])
def test_tax_of_each_group_half_up_on_its_total(compare, row: dict[str, str]) -> None:
    for tax, base, amount in groups_in(row):
        compare(
            tax_on(base, tax, row["currency"]),
            amount,
            source=SOURCE,
            what=f"{row['file']}: {tax.percent:f} % of {base}",
        )


@pytest.mark.published
def test_half_even_would_miss_a_published_cent(compare) -> None:
    """1460.50 at 25 % is exactly 365.125: printed 365.13; half-even would say 365.12."""
    compare(
        tax_on(Decimal("1460.50"), Tax(Decimal("0.25")), "NOK"),
        Decimal("365.13"),
        source=SOURCE,
        what="25 % of 1460.50, a tie",
    )


@pytest.mark.published
@pytest.mark.parametrize("row", CII, ids=lambda row: row["file"])
def test_sums_of_the_cii_examples(compare, row: dict[str, str]) -> None:
    number = {key: Decimal(value or "0") for key, value in row.items() if key not in ("file",)}
    tax = Tax(category=TaxCategory.OUTSIDE)
    basis = line(LineKind.OTHER, "all", number["line_total"], "EUR", tax=tax)
    vat = Adjustment("tax as printed", number["tax_total"])
    extra = [Adjustment("-", -number["allowances"], tax), Adjustment("+", number["charges"], tax)]
    sums = totals("EUR", [basis], extra)
    compare(sums.net, number["tax_basis"], source=SOURCE, what=f"{row['file']}: without tax")
    whole = totals("EUR", [basis], [*extra, vat], prepaid=number["prepaid"])
    compare(whole.net, number["grand_total"], source=SOURCE, what=f"{row['file']}: with tax")
    compare(whole.due, number["due"], source=SOURCE, what=f"{row['file']}: due")


@pytest.mark.published
def test_lines_that_cancel_leave_nothing(compare) -> None:
    texts = ("720.81", "0.01", "-720.81", "-0.01")
    ours = sum_of(line(LineKind.OTHER, "x", Decimal(text), "EUR") for text in texts)
    compare(ours, Decimal("0.00"), source=SOURCE, what="720.81 + 0.01 - 720.81 - 0.01")
