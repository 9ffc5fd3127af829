"""The invoice for machines: EN 16931 as CII (inside the PDF) and as UBL, by the factur-x library.

Both come from one mapping by business terms (BT-1, BG-25, …), so that they cannot disagree. An
invoice of a studio outside the European VAT area has none: its tax is not one EN 16931 knows.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any, Final, Literal

from airwright.money.amount import amount_text
from airwright.papers.invoice.model import Invoice, InvoiceLine, OnTheWhole, Party, TaxWords

VAT_AREA: Final = frozenset({
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE",
    "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK", "IS", "LI", "NO",
})  # fmt: skip
"""The European Union, and the EEA countries that use EN 16931."""

TYPES: Final = {"deposit": "386", "instalment": "326", "final": "380", "credit note": "381"}
"""UNTDID 1001: prepayment invoice, partial invoice, commercial invoice, credit note."""

TRANSFER, SEPA_TRANSFER, NOT_DEFINED = "30", "58", "1"
"""UNTDID 4461: how it is paid."""

ONE: Final = "C62"
"""UN/ECE recommendation 20: one of a thing."""

PRICE_DIGITS: Final = 4
"""Decimals a unit price may have; a longer one is told for the whole quantity instead."""

Flavour = Literal["factur-x", "ubl-2.1"]


class NotElectronic(ValueError):
    """Why there is no electronic form of an invoice, for people."""


def why_not(invoice: Invoice) -> str:
    """What an electronic invoice lacks; "" when there can be one."""
    seller, buyer = invoice.seller, invoice.buyer
    if seller.country not in VAT_AREA:
        return "The studio is not in the European VAT area: this is a plain invoice."
    if not (seller.vat_number or seller.tax_number):
        return "An electronic invoice needs your VAT or tax number (Studio, Invoices)."
    if _outside(invoice) and not seller.tax_number:
        return "An electronic invoice without VAT needs your tax number (Studio, Invoices)."
    if not buyer.country:
        return "An electronic invoice needs the client's country."
    return ""


def electronic(invoice: Invoice, flavour: Flavour) -> bytes:
    """The XML of an invoice, checked against its schema.

    Raises:
        NotElectronic: something is missing that the standard asks for.
    """
    lacking = why_not(invoice)
    if lacking:
        raise NotElectronic(lacking)
    from facturx import generate_xml

    try:
        made = generate_xml(
            business_terms(invoice, flavour),
            flavor=flavour,
            level="en16931",
            check_xsd=True,
            check_schematron=False,
        )
    except Exception as problem:
        raise NotElectronic(str(problem)) from problem
    return bytes(made)


def business_terms(invoice: Invoice, flavour: Flavour) -> dict[str, Any]:
    """The invoice by the numbers of EN 16931-1."""
    code, sums = invoice.currency, invoice.sums
    terms: dict[str, Any] = {
        "BT-1": invoice.number,
        "BT-2": invoice.issued,
        "BT-3": TYPES[invoice.kind],
        "BT-5": code,
        "BT-10": invoice.reference,
        "BT-11": invoice.title[:100] if flavour == "factur-x" else None,
        "BT-20": _terms(invoice),
        "BT-72": invoice.event if invoice.kind == "final" else None,
        "BG-1": [
            {"BT-22": note} for note in (invoice.agreed, invoice.reason, invoice.footer) if note
        ],
        "BG-3": _earlier(invoice),
        "BG-4": _party(invoice.seller, _outside(invoice)),
        "BG-7": _party(invoice.buyer, _outside(invoice)),
        # Where it is delivered; without it the library writes an empty element no schema takes.
        "BG-13": {"name": invoice.buyer.name, "country_code": invoice.buyer.country},
        "BG-20": [_adjustment(a, code) for a in invoice.on_the_whole if a.amount < 0],
        "BG-21": [_adjustment(a, code) for a in invoice.on_the_whole if a.amount >= 0],
        "BG-23": [
            {
                "BT-116": amount_text(group.base, code),
                "BT-117": amount_text(group.amount, code),
                "BT-118": group.tax.category,
                "BT-119": _percent(group.tax),
                "BT-120": _reason(group.tax),
                "BT-121": "VATEX-EU-O" if group.tax.category == "O" else None,
            }
            for group in sums.groups
        ],
        "BG-25": [_line(at, one, code) for at, one in enumerate(invoice.lines, 1)],
        "BT-106": amount_text(sums.lines, code),
        "BT-107": amount_text(sums.taken_off, code) if sums.taken_off else None,
        "BT-108": amount_text(sums.added, code) if sums.added else None,
        "BT-109": amount_text(sums.net, code),
        "BT-110": amount_text(sums.tax, code),
        "BT-112": amount_text(sums.gross, code),
        "BT-113": amount_text(sums.prepaid, code) if sums.prepaid else None,
        "BT-114": amount_text(sums.rounding, code) if sums.rounding else None,
        "BT-115": amount_text(sums.due, code),
        **_payment(invoice),
    }
    return {key: value for key, value in terms.items() if value not in (None, "", [])}


def _outside(invoice: Invoice) -> bool:
    """Whether no VAT is concerned at all: no VAT number may stand there then (BR-O-02)."""
    return any(group.tax.category == "O" for group in invoice.sums.groups)


def _payment(invoice: Invoice) -> dict[str, Any]:
    if invoice.is_credit:
        return {}
    found: dict[str, Any] = {"BT-9": invoice.due, "BT-81": NOT_DEFINED}
    if invoice.iban:
        found |= {
            "BT-81": SEPA_TRANSFER if invoice.currency == "EUR" else TRANSFER,
            "BT-83": invoice.number,
            "BT-84": invoice.iban,
            "BT-85": invoice.seller.name,
            "BT-86": invoice.bic or None,
        }
    return {key: value for key, value in found.items() if value is not None}


def _terms(invoice: Invoice) -> str | None:
    if invoice.is_credit:
        return "This amount is credited."
    return invoice.how_to_pay or None


def _earlier(invoice: Invoice) -> list[dict[str, Any]]:
    refers = (*invoice.earlier, *((invoice.corrects,) if invoice.corrects else ()))
    return [{"BT-25": one.number, "BT-26": one.issued} for one in refers]


def _party(party: Party, outside: bool) -> dict[str, Any]:
    found: dict[str, Any] = {
        "name": party.name,
        "country_code": party.country,
        "addr_l1": party.street,
        "postcode": party.postcode,
        "city": party.city,
        "vat_identifier": "" if outside else party.vat_number,
        "tax_identifier": party.tax_number,
        "identifiers": {None: party.tax_number} if party.tax_number else None,
        "einvoicing_addr": party.mail,
        "einvoicing_addr_schemeid": "EM" if party.mail else "",
    }
    contact = {"name": party.name, "phone": party.phone, "email": party.mail}
    if party.phone or party.mail:
        found["contacts"] = [{key: value for key, value in contact.items() if value}]
    return {key: value for key, value in found.items() if value}


def _adjustment(one: OnTheWhole, code: str) -> dict[str, Any]:
    found = {
        "amount": amount_text(abs(one.amount), code),
        "reason": one.what or "Adjustment",
        "vat_category_code": one.tax.category,
        "vat_rate": _percent(one.tax),
    }
    return {key: value for key, value in found.items() if value is not None}


def _line(at: int, one: InvoiceLine, code: str) -> dict[str, Any]:
    each, base = one.unit_price, None
    if each != round(each, PRICE_DIGITS):
        # The price of all of them, for all of them: nothing is lost to rounding (BT-149).
        each, base = one.price, f"{one.quantity.normalize():f}"
    found = {
        "BT-126": str(at),
        "BT-129": f"{one.quantity.normalize():f}",
        "BT-130": ONE,
        "BT-131": amount_text(one.price, code),
        "BT-146": f"{each:f}",
        "BT-149": base,
        "BT-151": one.tax.category,
        "BT-152": _percent(one.tax),
        "BT-153": one.what[:200],
    }
    return {key: value for key, value in found.items() if value is not None}


def _percent(tax: TaxWords) -> str | None:
    """The rate; none outside the scope of VAT (BR-O-05)."""
    return None if tax.category == "O" else f"{(tax.rate * Decimal(100)).normalize():f}"


def _reason(tax: TaxWords) -> str | None:
    if tax.category in ("S", "Z"):
        return None
    return tax.reason or {"O": "Not subject to VAT", "AE": "Reverse charge"}.get(
        tax.category, "Exempt from VAT"
    )
