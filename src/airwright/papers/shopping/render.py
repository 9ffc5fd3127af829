"""The shopping list as files."""

from __future__ import annotations

from typing import Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.request import Request
from airwright.papers.shopping.list import csv_of
from airwright.papers.shopping.model import shopping_of
from airwright.papers.shopping.workbook import xlsx_of

XLSX_PATH: Final = "shopping.xlsx"
CSV_PATH: Final = "shopping.csv"


def make(request: Request) -> tuple[Paper, ...]:
    """shopping.xlsx and shopping.csv for a request."""
    model = shopping_of(request.plan, request.today, request.shelf)
    mark = fingerprint(model)
    return (
        Paper(XLSX_PATH, xlsx_of(model, request.page.name), mark),
        Paper(CSV_PATH, csv_of(model), mark),
    )
