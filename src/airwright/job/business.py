"""What invoices and letters need: whom they come from, whom they go to, how they are sent."""

from __future__ import annotations

import re
from typing import Annotated, Final, Literal

from pydantic import AfterValidator
from pydantic_core import PydanticCustomError

from airwright.job.pieces import Table
from airwright.language import message
from airwright.params import Param

YEAR: Final = "{year}"
PLACES: Final = (
    "client", "title", "date", "venue", "studio", "link", "valid", "number", "amount", "due",
    "option", "days",
)  # fmt: skip
"""What a letter may name in braces; each is filled in when it is written."""


def wrong(what: str, mend: str) -> PydanticCustomError:
    """A fault with its cure, for findings."""
    return PydanticCustomError("business", "{what}", {"what": what, "mend": mend})


def _country(code: str) -> str:
    from babel import Locale

    code = code.strip().upper()
    if code and not (re.fullmatch("[A-Z]{2}", code) and code in Locale("en").territories):
        raise wrong(
            message('"{code}" is no country.', code=code[:20]),
            message('Use two letters of ISO 3166, like "US".'),
        )
    return code


def _iban(number: str) -> str:
    from stdnum import iban
    from stdnum.exceptions import ValidationError

    if not number.strip():
        return ""
    try:
        return str(iban.validate(number))
    except ValidationError:
        raise wrong(
            message(
                '"{number}" is no account number (IBAN): its check digits do not fit.',
                number=number[:40],
            ),
            message("Copy it from a statement of your bank."),
        ) from None


def _bic(code: str) -> str:
    from stdnum import bic
    from stdnum.exceptions import ValidationError

    if not code.strip():
        return ""
    try:
        return str(bic.validate(code))
    except ValidationError:
        raise wrong(
            message('"{code}" is no bank code (BIC).', code=code[:20]),
            message("It has 8 or 11 characters."),
        ) from None


def _vat(number: str) -> str:
    number = re.sub(r"[\s.-]", "", number).upper()
    if number and not re.fullmatch(r"[A-Z]{2}[A-Z0-9+*]{2,12}", number):
        raise wrong(
            message('"{number}" is no VAT number.', number=number[:20]),
            message('It begins with two letters for the country, like "IE1234567T".'),
        )
    return number


def _mail(address: str) -> str:
    address = address.strip()
    if address and not re.fullmatch(r"[^@\s<>,;\"]+@[^@\s<>,;\"]+\.[^@\s<>,;\".]+", address):
        raise wrong(
            message('"{address}" is no mail address.', address=address[:60]),
            message('Write it like "ada@example.org".'),
        )
    return address


def _prefix(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z0-9/._{}-]{0,24}", text) or re.search(r"\{(?!year\})", text):
        raise wrong(
            message('"{text}" cannot stand before a number.', text=text[:24]),
            message(
                'Use letters, digits and "-", and {year} for the year: "{example}".',
                year="{year}",
                example="INV-{year}-",
            ),
        )
    return text


def _letter(text: str) -> str:
    unknown = [name for name in re.findall(r"\{(\w+)\}", text) if name not in PLACES]
    if unknown:
        raise wrong(
            message("A letter cannot name {place}.", place=f"{{{unknown[0][:20]}}}"),
            message("It may name: {places}.", places=", ".join(f"{{{name}}}" for name in PLACES)),
        )
    return text


Country = Annotated[str, AfterValidator(_country)]
VatNumber = Annotated[str, AfterValidator(_vat)]
MailAddress = Annotated[str, AfterValidator(_mail)]
Prefix = Annotated[str, AfterValidator(_prefix)]
Letter = Annotated[str, AfterValidator(_letter)]


class Business(Table):
    """Who invoices come from, and where money goes."""

    name: Annotated[str, Param(message("Name of the business on invoices; the studio's if empty."),
                               longest=120)] = ""  # fmt: skip
    street: Annotated[str, Param(message("Street and number."), longest=120)] = ""
    postcode: Annotated[str, Param(message("Postal code."), longest=20)] = ""
    city: Annotated[str, Param(message("Town."), longest=80)] = ""
    country: Annotated[Country, Param(message("Country, two letters."), example="US")] = ""
    vat_number: Annotated[VatNumber, Param(message("VAT number, if you have one."), longest=20)] = (
        ""
    )
    tax_number: Annotated[str, Param(message("Tax number, if no VAT number."), longest=40)] = ""
    phone: Annotated[str, Param(message("Telephone for questions."), longest=40)] = ""
    mail: Annotated[MailAddress, Param(message("Mail address for questions."), longest=120)] = ""
    no_tax_reason: Annotated[
        str, Param(message("Why no tax is charged, as your law words it."), longest=300)
    ] = ""
    iban: Annotated[
        str, Param(message("Account for transfers (IBAN)."), longest=42), AfterValidator(_iban)
    ] = ""
    bic: Annotated[
        str, Param(message("Code of its bank (BIC)."), longest=14, rare=True), AfterValidator(_bic)
    ] = ""
    how_to_pay: Annotated[
        str, Param(message("How to pay, where there is no IBAN."), longest=400)
    ] = ""
    payment_days: Annotated[int, Param(message("Days to pay an invoice."), low=0, high=120)] = 14
    invoice_prefix: Annotated[Prefix, Param(message("What stands before an invoice's number."))] = (
        "INV-{year}-"
    )
    credit_prefix: Annotated[
        Prefix, Param(message("What stands before a credit note's number."))
    ] = "CN-{year}-"
    footer: Annotated[str, Param(message("Small print at the end of invoices."), longest=600)] = ""


class MailServer(Table):
    """Your own mail server; the password is kept apart, under Mail."""

    server: Annotated[str, Param(message("Name of the server (SMTP)."), longest=200)] = ""
    port: Annotated[int, Param(message("Its port: 587 usually."), low=1, high=65535)] = 587
    security: Annotated[
        Literal["STARTTLS", "TLS", "none"], Param(message("How the line is made safe."))
    ] = "STARTTLS"
    user: Annotated[
        str, Param(message("Login at the server, often your address."), longest=200)
    ] = ""
    sender: Annotated[MailAddress, Param(message("Address that mail comes from."), longest=200)] = (
        ""
    )
    copy_to_us: Annotated[
        Literal["no", "yes"], Param(message("Whether a copy goes to your own address."))
    ] = "yes"
    agreement: Annotated[
        Literal["by itself", "as a draft"],
        Param(
            message("How the agreement goes to the client and to you once the offer is accepted.")
        ),
    ] = "by itself"
    reminders: Annotated[
        Literal["as drafts", "by themselves", "no"],
        Param(message("How reminders of late invoices are written: drafts wait for your word.")),
    ] = "as drafts"
    remind_after: Annotated[
        int, Param(message("Days after the due day until the first reminder."), low=1, high=365)
    ] = 7
    remind_every: Annotated[int, Param(message("Days between reminders."), low=1, high=365)] = 14
    remind_most: Annotated[int, Param(message("Reminders of one invoice."), low=1, high=20)] = 3
    mailbox: Annotated[
        str,
        Param(message("Name of the server of your mailbox (IMAP): mail that came back is then "
                      "found there."),
              longest=200, rare=True),
    ] = ""  # fmt: skip
    mailbox_port: Annotated[
        int, Param(message("Its port: 993 usually."), low=1, high=65535, rare=True)
    ] = 993
    mailbox_security: Annotated[
        Literal["TLS", "STARTTLS", "none"], Param(message("How that line is made safe."), rare=True)
    ] = "TLS"


class Letters(Table):
    """The words of your mail. In braces: what is filled in."""

    offer_subject: Annotated[Letter, Param(message("Subject of an offer."), longest=200)] = (
        "Your decor for {title}"
    )
    offer: Annotated[Letter, Param(message("Mail with an offer."), longest=4000)] = (
        "Dear {client},\n\nhere is our offer for {title} on {date}:\n\n{link}\n\n"
        "It holds until {valid}. On that page you can ask, choose and accept.\n\n{studio}"
    )
    accepted_subject: Annotated[
        Letter, Param(message("Subject after the client accepted."), longest=200)
    ] = "Accepted: {title}, {option}"
    accepted: Annotated[Letter, Param(message("Mail after the client accepted."), longest=4000)] = (
        'Dear {client},\n\nthank you: "{option}" for {title} on {date} is agreed. What was '
        "accepted is attached.\n\n{studio}"
    )
    invoice_subject: Annotated[Letter, Param(message("Subject of an invoice."), longest=200)] = (
        "{number} for {title}"
    )
    invoice: Annotated[Letter, Param(message("Mail with an invoice."), longest=4000)] = (
        "Dear {client},\n\nattached is {number} over {amount}, due on {due}.\n\n{studio}"
    )
    reminder_subject: Annotated[Letter, Param(message("Subject of a reminder."), longest=200)] = (
        "Reminder: {number}"
    )
    reminder: Annotated[
        Letter, Param(message("Mail that reminds of an invoice."), longest=4000)
    ] = (
        "Dear {client},\n\n{amount} of {number} have been due since {due} ({days} days). If the "
        "payment is under way, thank you. If not, please see to it.\n\n{studio}"
    )
    day_subject: Annotated[
        Letter, Param(message("Subject of the day's invitation."), longest=200)
    ] = "{title} on {date}"
    day: Annotated[Letter, Param(message("Mail with the day's invitation."), longest=4000)] = (
        "Dear {client},\n\nattached is the day for your calendar.\n\n{studio}"
    )


class Billing(Table):
    """Whom the invoice goes to."""

    name: Annotated[
        str, Param(message("Name on the invoice; the client's if empty."), longest=200)
    ] = ""
    street: Annotated[str, Param(message("Street and number."), longest=120)] = ""
    postcode: Annotated[str, Param(message("Postal code."), longest=20)] = ""
    city: Annotated[str, Param(message("Town."), longest=80)] = ""
    country: Annotated[
        Country, Param(message("Country, two letters; yours if empty."), example="US")
    ] = ""
    vat_number: Annotated[VatNumber, Param(message("VAT number, if there is one."), longest=20)] = (
        ""
    )
    mail: Annotated[MailAddress, Param(message("Address that mail goes to."), longest=200)] = ""
    reference: Annotated[
        str, Param(message("What the client wants to read on it."), longest=100)
    ] = ""


def filled(letter: str, values: dict[str, str]) -> str:
    """A letter with its places filled; one without a value becomes empty."""
    return re.sub(r"\{(\w+)\}", lambda found: values.get(found[1], ""), letter)


def series_of(prefix: str, year: int) -> str:
    """A series of numbers: "INV-{year}-" → "INV-2027-"."""
    return prefix.replace(YEAR, str(year))


__all__ = ["Billing", "Business", "Letters", "MailServer", "filled", "series_of"]
