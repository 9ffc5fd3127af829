"""An invoice as files: the PDF for people with the data for machines inside, and UBL beside it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final

from airwright.language import message, say, speaking
from airwright.language.catalogs import ENGLISH_UK
from airwright.language.figures import locale, said_date, said_money, said_share
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import A4, PAPERS
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.invoice.electronic import electronic, why_not
from airwright.papers.invoice.model import Invoice, InvoiceLine, Party
from airwright.papers.invoice.payment_code import as_svg, payment_code

HEADINGS: Final = {
    "deposit": message("Deposit invoice"),
    "instalment": message("Part invoice"),
    "final": message("Invoice"),
    "credit note": message("Credit note"),
}


def file_name(invoice: Invoice, ending: str) -> str:
    """A file's name: the number, with what no file name may hold replaced."""
    plain = "".join(c if c.isalnum() or c in "-_." else "-" for c in invoice.number)
    return f"{plain}.{ending}"


def render_pdf(invoice: Invoice) -> Paper:
    """The PDF: PDF/A-3 with the CII data inside where the invoice can have it, else plain."""
    with speaking(invoice.language):
        paper = _typeset(invoice)
    if why_not(invoice):
        return paper
    from facturx import generate_from_binary

    heading = say(HEADINGS[invoice.kind], ENGLISH_UK)
    data = generate_from_binary(
        paper.data,
        electronic(invoice, "factur-x"),
        flavor="factur-x",
        level="en16931",
        check_xsd=False,  # `electronic` has checked it
        check_schematron=False,
        pdf_metadata={
            "author": invoice.seller.name,
            "keywords": "Factur-X, EN 16931",
            "title": f"{heading} {invoice.number}",
            "subject": f"{heading} {invoice.number}, {invoice.issued.isoformat()}",
        },
        lang=invoice.language,
        afrelationship="alternative",
    )
    return Paper(paper.path, bytes(data), paper.fingerprint, paper.findings)


def render_ubl(invoice: Invoice) -> Paper:
    """The same as UBL 2.1. Raises NotElectronic."""
    data = electronic(invoice, "ubl-2.1")
    return Paper(file_name(invoice, "xml"), data, fingerprint(invoice.content()))


def _typeset(invoice: Invoice) -> Paper:
    code = None
    if not invoice.is_credit:
        code = payment_code(
            invoice.seller.name, invoice.iban, invoice.sums.due, invoice.number,
            bic=invoice.bic, currency=invoice.currency,
        )  # fmt: skip
    heading = HEADINGS[invoice.kind]
    return typeset(
        "invoice",
        file_name(invoice, "pdf"),
        _data(invoice, code is not None),
        page=PAPERS.get(invoice.paper, A4),
        title=f"{say(heading)} {invoice.number}",
        fingerprint=fingerprint(invoice.content()),
        pictures={} if code is None else {"code.svg": as_svg(code)},
        mark=PaperMark("", invoice.issued),
        archive=True,
    )


def _data(invoice: Invoice, code: bool) -> dict[str, Any]:
    seller = invoice.seller
    abroad = seller.country != invoice.buyer.country
    own, theirs = (_address(p, abroad) for p in (seller, invoice.buyer))
    contact = [part for part in (seller.phone, seller.mail) if part]
    numbers = [message("VAT number {n}", n=seller.vat_number)] if seller.vat_number else []
    numbers += [message("Tax number {n}", n=seller.tax_number)] if seller.tax_number else []
    return {
        "short": shortened(f"{invoice.number} · {seller.name}", 70),
        "author": seller.name,
        "sender-line": shortened(" · ".join(own), 90),
        "seller": {
            "name": seller.name,
            "lines": [*own[1:], *contact, *numbers],
        },
        "buyer": {
            "lines": theirs,
            "vat": message("VAT number {n}", n=invoice.buyer.vat_number)
            if invoice.buyer.vat_number
            else "",
        },
        "facts": _facts(invoice),
        "heading": message("{what} {number}", what=HEADINGS[invoice.kind], number=invoice.number),
        "about": invoice.title
        if invoice.event is None
        else message("{title}, {day}", title=invoice.title, day=said_date(invoice.event, "long")),
        "corrects": _corrects(invoice),
        "amount-word": message("Amount ({code})", code=invoice.currency),
        "lines": [_line(one, invoice) for one in invoice.lines],
        "sums": _sums(invoice),
        "tax-notes": list(dict.fromkeys(g.tax.reason for g in invoice.sums.groups if g.tax.reason)),
        "pay": _pay(invoice, code),
        "notes": [note for note in (invoice.agreed, invoice.footer) if note],
        "invented": invoice.invented,
    }


def _address(party: Party, abroad: bool) -> list[str]:
    """Name and address as they stand on an envelope; the country where it crosses a border."""
    from babel import Locale

    town = " ".join(part for part in (party.postcode, party.city) if part)
    country = ""
    if abroad and party.country:
        names = Locale.parse(locale()).territories
        country = names.get(party.country, party.country)
    return [part for part in (party.name, party.street, town, country) if part]


def _bare(amount: Decimal, currency: str) -> str:
    """An amount without its currency, as the column's head names it."""
    from babel.numbers import format_currency

    return str(format_currency(amount, currency, "#,##0.00", locale=locale()))


def _each(price: Decimal) -> str:
    from babel.numbers import format_decimal

    return str(format_decimal(price, "#,##0.00##", locale=locale()))


def _facts(invoice: Invoice) -> list[dict[str, Any]]:
    facts = [
        (message("Number"), invoice.number),
        (message("Date"), said_date(invoice.issued, "long")),
        (message("Due"), "" if invoice.is_credit else said_date(invoice.due, "long")),
        (message("Your reference"), invoice.reference),
    ]
    return [{"label": label, "value": value} for label, value in facts]


def _corrects(invoice: Invoice) -> str:
    if invoice.corrects is None:
        return ""
    what = message(
        "It corrects {number} of {day}.",
        number=invoice.corrects.number,
        day=said_date(invoice.corrects.issued, "long"),
    )
    if not invoice.reason:
        return what
    return message("{what} {reason}", what=what, reason=invoice.reason)


def _line(one: InvoiceLine, invoice: Invoice) -> dict[str, Any]:
    several = len(invoice.sums.groups) > 1
    return {
        "what": one.what,
        "tax": said_share(one.tax.rate) if several else "",
        "quantity": f"{one.quantity.normalize():f}",
        "each": _each(one.unit_price),
        "price": _bare(one.price, invoice.currency),
    }


def _sums(invoice: Invoice) -> list[dict[str, Any]]:
    sums, rows = invoice.sums, []

    def row(label: str, amount: Decimal, strong: bool = False) -> None:
        rows.append(
            {"label": label, "amount": said_money(amount, invoice.currency), "strong": strong}
        )

    if invoice.on_the_whole:
        row(message("Lines together"), sums.lines)
        for one in invoice.on_the_whole:
            row(one.what, one.amount)
    taxed = [group for group in sums.groups if group.tax.rate]
    if taxed:
        row(message("Without tax"), sums.net)
    for group in taxed:
        row(
            message(
                "{name} {rate} on {base}",
                name=group.tax.name,
                rate=said_share(group.tax.rate),
                base=said_money(group.base, invoice.currency),
            ),
            group.amount,
        )
    if sums.rounding:
        row(message("Rounding"), sums.rounding)
    whole = sums.gross + sums.rounding
    last = message("Credited") if invoice.is_credit else message("To pay")
    if invoice.earlier:
        row(message("Total"), whole, True)
        for before in invoice.earlier:
            row(message("Asked before with {number}", number=before.number), -before.gross)
    row(last, sums.due, True)
    return rows


def _pay(invoice: Invoice, code: bool) -> dict[str, Any]:
    lines: list[dict[str, str]] = []
    if not invoice.is_credit and invoice.sums.due > 0:
        if invoice.iban:
            spaced = " ".join(invoice.iban[at : at + 4] for at in range(0, len(invoice.iban), 4))
            lines = [
                {"label": message("Account holder"), "value": invoice.seller.name},
                {"label": "IBAN", "value": spaced},
                {"label": "BIC", "value": invoice.bic},
                {"label": message("Reference"), "value": invoice.number},
            ]
        if invoice.how_to_pay:
            lines.append({"label": message("How to pay"), "value": invoice.how_to_pay})
    due = said_money(invoice.sums.due, invoice.currency)
    title = message("Please pay {amount} by {day}", amount=due, day=said_date(invoice.due, "long"))
    return {
        "title": title,
        "lines": [line for line in lines if line["value"]],
        "code": code,
        "code-alt": message("Code for a transfer of {amount}", amount=due),
    }
