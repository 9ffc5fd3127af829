"""What this area's templates are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.page_heads import JobBar
from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class InvoiceLine:
    """An invoice or credit note in a list."""

    number: str
    kind: str
    is_credit: bool
    issued: dt.date
    due: dt.date
    amount: str
    paid: str
    open: str
    state: str
    late: int
    remind: dt.date | None
    electronic: bool
    job_id: str
    job: str
    client: str


@dataclass(frozen=True, slots=True)
class PaymentLine:
    """Money in or back."""

    id: str
    date: dt.date
    amount: str
    means: str
    invoice: str
    reference: str
    by: str
    may_take_back: bool


@dataclass(frozen=True, slots=True)
class DueLine:
    """A payment that was agreed."""

    what: str
    amount: str
    date: dt.date | None


@dataclass(frozen=True)
class JobMoneyPage(Page):
    """A job's invoices and payments."""

    template: ClassVar[str] = "invoices/job.html"
    job: JobBar
    currency: str
    agreed: str
    total: str
    dues: tuple[DueLine, ...]
    invoices: tuple[InvoiceLine, ...]
    payments: tuple[PaymentLine, ...]
    invoiced: str
    received: str
    open: str
    unplaced: str
    billing: tuple[tuple[str, str, str], ...]
    series_note: str
    plain_because: str
    deposit: str
    next_kind: str
    today: dt.date
    means: tuple[tuple[str, str], ...]
    key: str
    wrong: tuple[str, str] | None
    typed: dict[str, str]


@dataclass(frozen=True, slots=True)
class AgeLine:
    """What is due in one age, in one currency."""

    age: str
    amount: str


@dataclass(frozen=True, slots=True)
class PeriodLine:
    """A month or year."""

    period: str
    net: str
    tax: str
    taxes: tuple[tuple[str, str, str], ...]
    received: str


@dataclass(frozen=True)
class MoneyPage(Page):
    """What the studio is owed, and what it invoiced."""

    template: ClassVar[str] = "invoices/money.html"
    open: tuple[InvoiceLine, ...]
    ages: tuple[tuple[str, tuple[AgeLine, ...]], ...]
    months: tuple[PeriodLine, ...]
    years: tuple[PeriodLine, ...]
    first: str
    last: str
    drafts: int
