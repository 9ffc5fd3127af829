"""The terms of a proposal: the studio's own, or the usual ones in plain words."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.language import Text, counted, message, sentences
from airwright.papers.common.words import paragraphs
from airwright.plan.values import Plan

CHANGES_DAYS = 10
"""Days before the event until which counts and shades may change free of charge."""
CANCEL_DAYS = 30
"""Days before the event until which cancelling costs the deposit only (common practice)."""


@dataclass(frozen=True, slots=True)
class Term:
    """One term; studios' own have no heading."""

    head: str
    text: str

    @property
    def line(self) -> str:
        """Heading and text in one line."""
        return message("{head}: {text}", head=self.head, text=self.text) if self.head else self.text


def terms_of(plan: Plan) -> tuple[Term, ...]:
    """What is included, how to pay, changing and cancelling."""
    own = paragraphs(plan.studio.studio.terms)
    if own:
        return tuple(Term("", text) for text in own)
    return (
        Term(
            message("Included"),
            message(
                "Delivery, set-up, take-down, and stands, weights and frames on loan; these stay "
                "ours and go home with us."
            ),
        ),
        Term(
            message("Paying"),
            sentences(message("The deposit books the date."), _balance(plan)),
        ),
        Term(
            message("Changing"),
            message(
                "Counts and shades can be changed free of charge until {days} days before "
                "the event.",
                days=CHANGES_DAYS,
            ),
        ),
        Term(
            message("Canceling"),
            message(
                "Until {days} days before the event we keep the deposit only. After that the work "
                "done and the goods bought are due as well, at most the whole price.",
                days=CANCEL_DAYS,
            ),
        ),
    )


def _balance(plan: Plan) -> Text:
    days = plan.studio.payment.balance_days
    if days > 0:
        return counted(
            "The rest is due {n} day before the event.",
            "The rest is due {n} days before the event.",
            days,
        )
    if days < 0:
        return counted(
            "The rest is due {n} day after the event.",
            "The rest is due {n} days after the event.",
            -days,
        )
    return message("The rest is due on the day of the event.")


def bad_weather(plan: Plan) -> str:
    """What the studio offers when weather forbids decor outdoors."""
    own = plan.studio.studio.bad_weather
    return own or message(
        "If the forecast is above that, we build it indoors at your venue instead, at no extra "
        "cost; where there is no room for it, we agree on other decor of the same price."
    )
