"""Everything that is written about what to buy."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Mapping
from decimal import Decimal
from email.message import EmailMessage
from email.policy import SMTP
from typing import Any, Final

from airwright.job.studio import House
from airwright.language import message
from airwright.language.figures import said_money
from airwright.money.amount import amount_text
from airwright.operations.buying import export
from airwright.operations.buying.report import Report
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.page import page_for
from airwright.papers.common.parts import long_date
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.order.charts import charts_of
from airwright.papers.order.model import OrderSheet, sheets_of
from airwright.papers.shopping.list import harmless

COLUMNS: Final = (
    "supplier", "order_on", "arrives_on", "item", "shade", "pack", "packs", "units", "price",
    "currency", "code",
)  # fmt: skip


def papers_of(
    report: Report, house: House | None = None, mails: Mapping[str, str] | None = None
) -> tuple[Paper, ...]:
    """buying.json, orders.csv, pictures, and PDF, mail and CSV of each order.

    Args:
        report: what to buy.
        house: who orders; starting values by default.
        mails: supplier's name → address orders are sent to.
    """
    house = house or House()
    data = export.dumps(report).encode()
    sheets = sheets_of(report.question, report.answer.orders, house, mails or {})
    mark = fingerprint({"buying": data})
    papers = [
        Paper("buying.json", data, mark),
        Paper("orders.csv", csv_of(sheets), mark),
        *charts_of(report, mark),
    ]
    taken: set[str] = set()
    for sheet in sheets:
        papers += order_papers(sheet, house, taken)
    return tuple(papers)


def order_papers(
    sheet: OrderSheet, house: House, taken: set[str] | None = None
) -> tuple[Paper, ...]:
    """PDF, mail and CSV of one order, named after supplier and day."""
    name = _file_name(sheet, set() if taken is None else taken)
    pdf = render(sheet, house, f"{name}.pdf")
    return (
        pdf,
        Paper(f"{name}.eml", mail_of(sheet, pdf), pdf.fingerprint),
        Paper(f"{name}.csv", csv_of((sheet,)), pdf.fingerprint),
    )


def _file_name(sheet: OrderSheet, taken: set[str]) -> str:
    stem = re.sub(r"[^a-z0-9]+", "-", sheet.supplier.casefold()).strip("-")[:40] or "supplier"
    name = base = f"order-{sheet.order_on.isoformat()}-{stem}"
    number = 2
    while name in taken:
        name, number = f"{base}-{number}", number + 1
    taken.add(name)
    return name


def csv_of(sheets: tuple[OrderSheet, ...]) -> bytes:
    """Lines of orders for other programs (RFC 4180, UTF-8 with its mark for spreadsheets)."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for sheet in sheets:
        for line, code in zip(sheet.lines, sheet.codes, strict=True):
            row = (
                sheet.supplier, sheet.order_on.isoformat(), sheet.arrives_on.isoformat(),
                line.goods.shown_item, line.goods.shown_shade, str(line.pack), str(line.packs),
                str(line.units), amount_text(line.price, sheet.currency), sheet.currency, code,
            )  # fmt: skip
            writer.writerow([harmless(cell) for cell in row])
    return out.getvalue().encode("utf-8-sig", "replace")


def render(sheet: OrderSheet, house: House, path: str) -> Paper:
    """Typeset an order."""
    return typeset(
        "order",
        path,
        _data(sheet),
        page=page_for(house),
        title=f"Order: {sheet.supplier}",
        fingerprint=fingerprint(sheet),
    )


def _data(sheet: OrderSheet) -> dict[str, Any]:
    def money(amount: Decimal) -> str:
        return said_money(amount, sheet.currency)

    return {
        "studio": sheet.masthead.studio,
        "address": sheet.masthead.address,
        "contact": sheet.masthead.contact,
        "author": sheet.masthead.studio,
        "supplier": sheet.supplier,
        "supplier-short": shortened(sheet.supplier),
        "mail": sheet.mail,
        "order_on": long_date(sheet.order_on),
        "arrives_on": long_date(sheet.arrives_on),
        "lines": [
            {
                "item": line.goods.shown_item,
                "shade": line.goods.shown_shade,
                "code": code,
                "packs": str(line.packs),
                "pack": str(line.pack),
                "units": f"{line.units:,}",
                "each": "" if line.each is None else money(line.each),
                "price": money(line.price),
            }
            for line, code in zip(sheet.lines, sheet.codes, strict=True)
        ],
        "goods": money(sheet.goods),
        "freight": money(sheet.freight),
        "total": money(sheet.total),
    }


def mail_of(sheet: OrderSheet, pdf: Paper) -> bytes:
    """The order as a mail to be looked over and sent (RFC 5322), its PDF attached."""
    mail = EmailMessage(policy=SMTP)
    day = long_date(sheet.arrives_on)
    mail["Subject"] = _one_line(str(message("Order, to be here by {day}", day=day)))
    if re.fullmatch(r"[^@\s<>,;:\"]+@[^@\s<>,;:\"]+", sheet.mail):
        mail["To"] = sheet.mail
    mail["X-Unsent"] = "1"  # mail programs open it for sending
    lines = "\n".join(
        f"{line.packs} x {line.pack}  {line.goods}" + (f"  [{code}]" if code else "")
        for line, code in zip(sheet.lines, sheet.codes, strict=True)
    )
    mail.set_content(
        f"Hello,\n\nplease send us, to be here by {day}:\n\n{lines}\n\n"
        f"Goods {said_money(sheet.goods, sheet.currency)}, freight "
        f"{said_money(sheet.freight, sheet.currency)}, together "
        f"{said_money(sheet.total, sheet.currency)}, as in your price list.\n"
        "Please tell us by return if a line is out of stock or cannot be here by then.\n\n"
        f"{sheet.masthead.studio}\n"
    )
    mail.add_attachment(pdf.data, maintype="application", subtype="pdf", filename=pdf.path)
    # A boundary from the content: equal orders give equal bytes.
    mail.set_boundary(f"=_{pdf.fingerprint}")
    return mail.as_bytes()


def _one_line(text: str) -> str:
    return " ".join(text.split())[:200]
