"""Orders to suppliers as PDF, mail and CSV, the answer for programs, and its pictures."""

from airwright.papers.order.make import papers_of
from airwright.papers.order.model import OrderSheet, sheets_of

__all__ = ["OrderSheet", "papers_of", "sheets_of"]
