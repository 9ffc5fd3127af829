"""A plain-text double-entry journal: the open text format of the Beancount library.

Every entry balances: what the client owes stands against income and tax, what came in against
what was owed.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable
from decimal import Decimal

from airwright.money.amount import amount_text
from airwright.papers.books.model import Booked, Paid

OWED = "Assets:Receivable"
INCOME = "Income:Decor"
ROUNDING = "Income:Rounding"
TAX = "Liabilities:Tax"
MEANS = {
    "transfer": "Assets:Bank",
    "card": "Assets:Card",
    "cash": "Assets:Cash",
    "cheque": "Assets:Cheques",
    "other": "Assets:Other",
}


def journal(invoices: Iterable[Booked], payments: Iterable[Paid], title: str) -> str:
    """The journal as text; entries by date, accounts opened on the first day."""
    entries = [_invoice(one) for one in invoices] + [_payment(one) for one in payments]
    entries.sort(key=lambda entry: entry[0])
    accounts = sorted({name for _, _, rows in entries for name, _, _ in rows})
    first = entries[0][0] if entries else dt.date(2000, 1, 1)
    lines = [f'option "title" "{_quoted(title)}"', ""]
    lines += [f"{first.isoformat()} open {name}" for name in accounts]
    for day, words, rows in entries:
        lines += ["", f'{day.isoformat()} * "{_quoted(words)}"']
        lines += [f"  {name:<40} {amount} {code}" for name, amount, code in rows]
    return "\n".join(lines) + "\n"


Row = tuple[str, str, str]


def _invoice(one: Booked) -> tuple[dt.date, str, list[Row]]:
    code = one.invoice.currency
    rows = [(OWED, one.owed)]
    for (name, _, rate), (net, tax) in one.groups.items():
        if net:
            rows.append((INCOME, -net))
        if tax:
            rows.append((f"{TAX}:{_part(name)}{_rate(rate)}", -tax))
    if one.rounding:
        rows.append((ROUNDING, -one.rounding))
    words = f"{one.invoice.number} {one.invoice.buyer.name}: {one.invoice.title}"
    return one.invoice.issued, words, [(a, amount_text(x, code), code) for a, x in rows]


def _payment(one: Paid) -> tuple[dt.date, str, list[Row]]:
    code = one.currency
    words = " ".join(part for part in ("Paid", one.invoice, one.client, one.reference) if part)
    rows = [(MEANS.get(one.means, MEANS["other"]), one.amount), (OWED, -one.amount)]
    return one.date, words, [(a, amount_text(x, code), code) for a, x in rows]


def _part(name: str) -> str:
    """A name as part of an account: a capital, then letters, digits and hyphens."""
    kept = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-") or "Tax"
    return kept[0].upper() + kept[1:]


def _rate(rate: Decimal) -> str:
    return f"-{(rate * 100).normalize():f}".replace(".", "-")


def _quoted(words: str) -> str:
    return " ".join(words.replace("\\", "/").replace('"', "'").split())
