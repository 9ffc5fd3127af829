"""shopping.xlsx and shopping.csv: what to buy, in which bags, and what it comes to."""

from airwright.papers.common.document import Audience
from airwright.papers.shopping.list import csv_of
from airwright.papers.shopping.model import Shopping, shopping_of
from airwright.papers.shopping.render import make
from airwright.papers.shopping.workbook import xlsx_of

AUDIENCE = Audience.OWNER

__all__ = ["AUDIENCE", "Shopping", "csv_of", "make", "shopping_of", "xlsx_of"]
