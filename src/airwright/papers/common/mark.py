"""What all papers of one state of a job bear: its short number and the day they were issued."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from airwright.language import Text, message
from airwright.language.figures import said_date
from airwright.papers.common.document import fingerprint
from airwright.plan import export
from airwright.plan.values import Plan

NUMBER_LENGTH = 6


@dataclass(frozen=True, slots=True)
class PaperMark:
    """Printed on every page, so that papers of different states are never mixed up.

    Attributes:
        number: six letters and digits that change with anything in the plan.
        issued: the day the papers were made.
    """

    number: str
    issued: dt.date


def paper_mark(plan: Plan, today: dt.date) -> PaperMark:
    """The mark of a plan's papers: equal plans have equal numbers."""
    print_of = fingerprint({"plan": export.dumps(plan)})
    return PaperMark(print_of[:NUMBER_LENGTH].upper(), today)


def mark_line(mark: PaperMark) -> Text:
    """For the foot of a page: "Job 3FA09C · issued November 29, 2026"; a book has no number."""
    day = said_date(mark.issued, "long")
    if not mark.number:
        return message("issued {day}", day=day)
    return message("Job {number} · issued {day}", number=mark.number, day=day)
