"""Invoices and credit notes: PDF/A-3 with EN 16931 data inside, UBL beside it."""

from airwright.papers.invoice.build import Dates, Occasion, credit_of, invoice_of
from airwright.papers.invoice.electronic import NotElectronic, electronic, why_not
from airwright.papers.invoice.from_offer import credit_for, sums_for
from airwright.papers.invoice.model import EarlierInvoice, Invoice, read
from airwright.papers.invoice.render import file_name, render_pdf, render_ubl

__all__ = [
    "Dates",
    "EarlierInvoice",
    "Invoice",
    "NotElectronic",
    "Occasion",
    "credit_for",
    "credit_of",
    "electronic",
    "file_name",
    "invoice_of",
    "read",
    "render_pdf",
    "render_ubl",
    "sums_for",
    "why_not",
]
