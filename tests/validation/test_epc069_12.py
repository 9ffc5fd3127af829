"""The payment code against EPC069-12 v3.1, and account numbers against ISO 13616 and ISO 11649.

The payload is that of §2.3 e of the guideline, as quoted byte for byte in a public test file.
"""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any

import cv2
import numpy as np
import pytest
from pydantic import ValidationError

from airwright.job.business import Business
from airwright.papers.invoice.payment_code import as_svg, payment_code

IBAN, BIC = "DE71110220330123456789", "BHBLDEHHXXX"


def payload(code: Any) -> str:
    """What another library reads in the code."""
    out = io.BytesIO()
    code.save(out, kind="png", scale=8, border=4)
    picture = cv2.imdecode(np.frombuffer(out.getvalue(), np.uint8), cv2.IMREAD_GRAYSCALE)
    return str(cv2.QRCodeDetector().detectAndDecode(picture)[0])


@pytest.mark.published
def test_the_payload_is_laid_out_as_in_the_guideline() -> None:
    """Ours says version 002, which lets the bank's code be left out, and the invoice as text."""
    code = payment_code("Franz Mustermänn", IBAN, Decimal("12.30"), "INV-2027-0001", bic=BIC)
    assert code is not None
    assert code.error == "M"
    assert int(str(code.version)) <= 13
    read = payload(code).split("\n")
    assert read[:4] == ["BCD", "002", "1", "SCT"]
    assert read[4:8] == [BIC, "Franz Mustermänn", IBAN, "EUR12.3"]
    assert read[-1] == "INV-2027-0001"
    assert b"<svg" in as_svg(code)


@pytest.mark.published
@pytest.mark.parametrize("amount", ["0.00", "0.001", "1000000000.00", "-5"])
def test_amounts_beyond_the_guideline_have_no_code(amount: str) -> None:
    assert payment_code("x", IBAN, Decimal(amount), "y") is None


@pytest.mark.published
def test_the_largest_amount_has_a_code() -> None:
    """A float of this amount is refused by the library; a Decimal is not."""
    code = payment_code("x", IBAN, Decimal("999999999.99"), "y")
    assert "EUR999999999.99" in payload(code)


@pytest.mark.published
def test_other_currencies_have_none() -> None:
    assert payment_code("x", IBAN, Decimal(5), "y", currency="USD") is None


@pytest.mark.published
@pytest.mark.parametrize(
    "number",
    ["GB82WEST12345698765432", "DE89370400440532013000", "NO9386011117947", "BE72000000001616",
     "FR7630006000011234567890189", "CH9300762011623852957"],
)  # fmt: skip
def test_published_account_numbers_are_taken(number: str) -> None:
    assert Business(iban=number).iban == number


@pytest.mark.published
@pytest.mark.parametrize("number", ["DE71110220330123456780", "CH4531999123000889012", "nonsense"])
def test_wrong_check_digits_are_refused(number: str) -> None:
    with pytest.raises(ValidationError, match="no account number"):
        Business(iban=number)
