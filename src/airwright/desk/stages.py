"""How far a job is, as people say it."""

from __future__ import annotations

from airwright.language import message

STAGE_WORDS: dict[str, str] = {
    "call": message("Enquiry"),
    "drawn": message("Design"),
    "offered": message("Offer sent"),
    "accepted": message("Accepted"),
    "booked": message("Booked"),
    "built": message("Built"),
    "settled": message("Done"),
}
