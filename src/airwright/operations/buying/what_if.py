"""What one more job would add to the orders of all others."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from airwright.operations.buying.answer import Answer
from airwright.operations.buying.buying import buy
from airwright.operations.buying.values import Need, Question


@dataclass(frozen=True, slots=True)
class Added:
    """What further needs add.

    Attributes:
        cost: to goods and freight of all orders; below zero where a price break is reached.
        alone: goods and freight of these needs alone, with nothing on the shelf.
        short: pieces more that could not be there in time.
        exact: whether both answers are proven; else `cost` may be off by their gaps.
    """

    cost: Decimal
    alone: Decimal
    short: int
    exact: bool


def what_it_adds(
    question: Question, answer: Answer, further: Iterable[Need], seconds: float
) -> Added:
    """What further needs add to an answer that is there.

    Args:
        question, answer: without them.
        further: needs of a job that is only thought of.
        seconds: time given to each of the two proofs.
    """
    more = tuple(further)
    whole = buy(question.with_needs(more), seconds)
    alone = buy(replace(question, needs=more, lots=()), seconds)
    return Added(
        cost=whole.cost - answer.cost,
        alone=alone.cost,
        short=_short(whole) - _short(answer),
        exact=whole.proven and answer.proven,
    )


def _short(answer: Answer) -> int:
    return sum(one.quantity for one in answer.short)
