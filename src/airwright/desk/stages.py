"""How far a job is, as people say it."""

from __future__ import annotations

STAGE_WORDS: dict[str, str] = {
    "call": "Enquiry",
    "drawn": "Design",
    "offered": "Offer sent",
    "accepted": "Accepted",
    "booked": "Booked",
    "built": "Built",
    "settled": "Done",
}
