"""Invented invoices for tests: one of each kind, of a studio by the Saltmarsh ferry."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from airwright.job.business import Billing
from airwright.job.studio import Studio
from airwright.job.studio_reading import read_studio
from airwright.money.invoices import (
    Earlier,
    InvoiceKind,
    InvoiceSums,
    credit_note,
    final_invoice,
    part_invoice,
)
from airwright.money.lines import Line, LineKind, line
from airwright.money.tax import NO_TAX, Tax, TaxBasis, TaxCategory
from airwright.papers.invoice import Dates, EarlierInvoice, Invoice, Occasion, invoice_of

ISSUED, DUE = dt.date(2027, 3, 3), dt.date(2027, 3, 17)
VAT, LOW = Tax(Decimal("0.19"), name="VAT"), Tax(Decimal("0.07"), name="VAT")
STUDIO_TEXT = """format = "airwright-studio/1"
[studio]
name = "Saltmarsh Balloons"
units = "metric"
[business]
street = "Quay 3"
postcode = "12345"
city = "Saltmarsh"
country = "DE"
vat_number = "DE123456789"
tax_number = "12/345/67890"
iban = "DE71110220330123456789"
bic = "BHBLDEHHXXX"
mail = "hello@saltmarsh.example"
"""


def studio(extra: str = "") -> Studio:
    found = read_studio(STUDIO_TEXT + extra).studio
    assert found is not None
    return found


def sold(what: str, each: str, quantity: str = "1", tax: Tax = VAT) -> Line:
    kind = LineKind.DISCOUNT if each.startswith("-") else LineKind.PIECE
    return line(kind, what, Decimal(each), "EUR", quantity=Decimal(quantity), tax=tax)


LINES = (
    sold("Swirl column", "184.50", "2"),
    sold("Delivery, 22 km", "35.25"),
    sold("Booklet", "9.90", tax=LOW),
    sold("Package discount", "-20.00"),
)
WHOLE = final_invoice("EUR", LINES)
FIRST = EarlierInvoice(number="INV-2027-0001", issued=ISSUED, gross=Decimal("200.00"))


def document(sums: InvoiceSums, number: str, **more: object) -> Invoice:
    about = Occasion(
        "Ferry terminal reopening", "Saltmarsh Ferries", dt.date(2027, 5, 22),
        Billing(street="Pier 1", postcode="12345", city="Saltmarsh"),
        "Edition 2 of 3 March 2027, accepted by Mara.", "ab" * 32,
    )  # fmt: skip
    return invoice_of(sums, about, studio(), Dates(number, ISSUED, DUE), **more)  # type: ignore[arg-type]


def invoices() -> dict[str, Invoice]:
    """One of each kind."""
    deposit = part_invoice(InvoiceKind.DEPOSIT, "Deposit", Decimal("200.00"), WHOLE.totals)
    part = part_invoice(InvoiceKind.INSTALMENT, "Second part", Decimal("67.85"), WHOLE.totals)
    final = final_invoice("EUR", LINES, earlier=[Earlier("INV-2027-0001", Decimal("200.00"))])
    thirds = [sold("Small arch", "100.00", "3"), sold("Bouquet", "33.33", "7", LOW)]
    exempt = Tax(category=TaxCategory.EXEMPT, name="VAT", reason="Small business, no VAT charged")
    why = "Take-down was not needed."
    return {
        "deposit": document(deposit, "INV-2027-0001"),
        "instalment": document(part, "INV-2027-0002"),
        "final": document(final, "INV-2027-0003", earlier=(FIRST,)),
        "told with tax": document(
            final_invoice("EUR", thirds, basis=TaxBasis.INCLUDED), "INV-2027-0004"
        ),
        "exempt": document(
            final_invoice("EUR", [sold("Arch", "500.00", tax=exempt)]), "INV-2027-0005"
        ),
        "outside": document(
            final_invoice("EUR", [sold("Arch", "500.00", tax=NO_TAX)]), "INV-2027-0006"
        ),
        "credit": document(credit_note(WHOLE), "CN-2027-0001", corrects=FIRST, reason=why),
        "part credit": document(
            credit_note(WHOLE, "Take-down", Decimal("50.00")), "CN-2027-0002",
            corrects=FIRST, reason=why,
        ),
    }  # fmt: skip
