"""The books: invoices and payments as CSV and as a double-entry journal, and summed by month."""

from airwright.papers.books.journal import journal
from airwright.papers.books.model import Booked, Paid, booked
from airwright.papers.books.summary import PeriodSum, summary
from airwright.papers.books.table import invoices_csv, payments_csv

__all__ = [
    "Booked",
    "Paid",
    "PeriodSum",
    "booked",
    "invoices_csv",
    "journal",
    "payments_csv",
    "summary",
]
