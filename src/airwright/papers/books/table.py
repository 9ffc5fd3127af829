"""Invoices and payments as CSV (RFC 4180), one line each, plain numbers."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from airwright.money.amount import amount_text
from airwright.papers.books.model import Booked, Paid

INVOICE_COLUMNS = ("number", "kind", "issued", "due", "client", "title", "currency", "tax_name",
                   "tax_percent", "net", "tax", "owed")  # fmt: skip
RISKY = ("=", "+", "-", "@", "\t", "\r")
PAYMENT_COLUMNS = ("date", "amount", "currency", "means", "invoice", "client", "reference")


def invoices_csv(invoices: Iterable[Booked]) -> str:
    """One line for each tax of an invoice; what is owed stands on its first."""
    rows = []
    for one in invoices:
        said, code = one.invoice, one.invoice.currency
        head = [said.number, said.kind, said.issued, said.due, said.buyer.name, said.title, code]
        for at, ((name, _, rate), (net, tax)) in enumerate(one.groups.items()):
            percent = f"{(rate * 100).normalize():f}"
            owed = amount_text(one.owed, code) if at == 0 else ""
            rows.append(
                [*head, name, percent, amount_text(net, code), amount_text(tax, code), owed]
            )
    return _written(INVOICE_COLUMNS, rows)


def payments_csv(payments: Iterable[Paid]) -> str:
    """One line a payment."""
    rows = [
        [
            p.date,
            amount_text(p.amount, p.currency),
            p.currency,
            p.means,
            p.invoice,
            p.client,
            p.reference,
        ]
        for p in payments
    ]
    return _written(PAYMENT_COLUMNS, rows)


def _written(columns: Iterable[str], rows: Iterable[Iterable[object]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_safe(cell) for cell in row] for row in rows)
    return out.getvalue()


def _safe(cell: object) -> str:
    """A text that a spreadsheet would take for a formula begins with an apostrophe."""
    text = str(cell)
    number = text.lstrip("-").replace(".", "", 1).isdigit()
    return "'" + text if text.startswith(RISKY) and not number else text
