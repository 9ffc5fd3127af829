"""An invoice from its sums and the two parties."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass

from airwright.job.business import Billing, Business
from airwright.job.studio import Studio
from airwright.money.invoices import InvoiceSums
from airwright.money.tax import Tax
from airwright.papers.common.page import page_for
from airwright.papers.invoice.model import (
    EarlierInvoice,
    Invoice,
    InvoiceLine,
    OnTheWhole,
    Party,
    Sums,
    TaxWords,
    sums_of,
)

_UNFIT = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\ufffe\uffff\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class Occasion:
    """What an invoice is about.

    Attributes:
        client: as the job names them; the bill may name somebody else.
        agreed, fingerprint: the accepted edition in words, and its fingerprint.
        invented: whether the job says that nothing in it is real.
    """

    title: str
    client: str
    event: dt.date | None
    bill: Billing
    agreed: str = ""
    fingerprint: str = ""
    invented: bool = False


@dataclass(frozen=True, slots=True)
class Dates:
    """Number and days of an invoice."""

    number: str
    issued: dt.date
    due: dt.date


def seller_of(studio: Studio) -> Party:
    """The business behind a studio."""
    business, house = studio.business, studio.studio
    return Party(
        name=clean(business.name or house.name),
        street=clean(business.street or house.address),
        postcode=clean(business.postcode),
        city=clean(business.city),
        country=business.country,
        vat_number=business.vat_number,
        tax_number=clean(business.tax_number),
        phone=clean(business.phone),
        mail=business.mail,
    )


def buyer_of(client: str, bill: Billing, business: Business) -> Party:
    """Whom the invoice goes to; in the seller's country unless the bill says otherwise."""
    return Party(
        name=clean(bill.name or client or "Client"),
        street=clean(bill.street),
        postcode=clean(bill.postcode),
        city=clean(bill.city),
        country=bill.country or business.country,
        vat_number=bill.vat_number,
        mail=bill.mail,
    )


def invoice_of(
    sums: InvoiceSums,
    about: Occasion,
    studio: Studio,
    dates: Dates,
    *,
    earlier: Sequence[EarlierInvoice] = (),
    corrects: EarlierInvoice | None = None,
    reason: str = "",
) -> Invoice:
    """The document.

    Args:
        sums: lines and totals.
        about: the job, its client and what was agreed.
        studio: who sends it, and how it is paid.
        dates: number, day of issue, day due.
        earlier: invoices whose sums are deducted.
        corrects, reason: of a credit note.
    """
    business = studio.business
    return Invoice(
        kind=sums.kind.value,
        number=dates.number,
        issued=dates.issued,
        due=dates.due,
        currency=sums.totals.currency,
        language=studio.studio.language,
        paper=page_for(studio.studio).name,
        seller=seller_of(studio),
        buyer=buyer_of(about.client, about.bill, business),
        reference=clean(about.bill.reference),
        title=clean(about.title),
        event=about.event,
        agreed=clean(about.agreed),
        fingerprint=about.fingerprint,
        lines=tuple(
            InvoiceLine(
                what=clean(one.what) or "Decor",
                quantity=one.quantity,
                unit_price=one.unit_price,
                price=one.price,
                tax=_tax(one.tax, business),
            )
            for one in sums.lines
        ),
        on_the_whole=tuple(
            OnTheWhole(what=clean(a.what), amount=a.amount, tax=_tax(a.tax, business))
            for a in sums.adjustments
        ),
        earlier=tuple(earlier),
        corrects=corrects,
        reason=clean(reason),
        sums=_with_reasons(sums, business),
        iban=business.iban,
        bic=business.bic,
        how_to_pay=clean(business.how_to_pay),
        footer=clean(business.footer),
        invented=about.invented,
    )


def credit_of(
    invoice: Invoice,
    sums: InvoiceSums,
    studio: Studio,
    dates: Dates,
    before: EarlierInvoice,
    reason: str,
) -> Invoice:
    """The credit note on an invoice: to the same buyer, with the invoice it corrects.

    Args:
        invoice: what is credited.
        sums: from `credit_for`.
        studio: who sends it.
        dates: number and day of the credit note.
        before: the invoice as far as money goes.
        reason: why.
    """
    made = invoice_of(sums, Occasion("", "", None, Billing()), studio, dates)
    return invoice.model_copy(
        update={
            "kind": "credit note",
            "number": dates.number,
            "issued": dates.issued,
            "due": dates.due,
            "lines": made.lines,
            "on_the_whole": made.on_the_whole,
            "sums": made.sums,
            "earlier": (),
            "corrects": before,
            "reason": reason,
        }
    )


def clean(text: str) -> str:
    """A text without characters that no document may hold."""
    return _UNFIT.sub("", text).strip()


def _tax(tax: Tax, business: Business) -> TaxWords:
    reason = tax.reason or (business.no_tax_reason if not tax.rate else "")
    return TaxWords(
        rate=tax.rate, category=tax.category.value, name=clean(tax.name), reason=clean(reason)
    )


def _with_reasons(sums: InvoiceSums, business: Business) -> Sums:
    plain = sums_of(sums.totals)
    groups = tuple(
        group.model_copy(update={"tax": _tax(raw.tax, business)})
        for group, raw in zip(plain.groups, sums.totals.groups, strict=True)
    )
    return plain.model_copy(update={"groups": groups})
