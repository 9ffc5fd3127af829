"""A whole answer for people: the orders, what would be cheaper, what is short and why."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches

from airwright.job.findings import Finding, caution, error, in_order
from airwright.language import message
from airwright.operations.buying.answer import Answer, Short
from airwright.operations.buying.buying import PATIENCE_S, buy
from airwright.operations.buying.calendar import arrival
from airwright.operations.buying.habit import Habit, by_habit
from airwright.operations.buying.remedies import Remedy, remedies
from airwright.operations.buying.substitutes import NEAR, Substitute, difference, proposals
from airwright.operations.buying.values import Need, Question
from airwright.operations.goods import Goods

SAME_COLOUR = 2.3
"""CIEDE2000 above which two colours of one name are not the same thing (a just noticeable
difference of an untrained eye, common practice)."""


@dataclass(frozen=True, slots=True)
class Report:
    """All that is told about a question.

    Attributes:
        question, answer: as asked and answered.
        habit: what buying by habit would cost, None when not asked.
        substitutes: proposals of near shades.
        remedies: ways out for what stays short.
        added: what the further needs add to the cost, None when there were none.
        findings: what is wrong or risky.
    """

    question: Question
    answer: Answer
    habit: Habit | None = None
    substitutes: tuple[Substitute, ...] = ()
    remedies: Mapping[Short, tuple[Remedy, ...]] = field(default_factory=dict)
    added: Decimal | None = None
    findings: tuple[Finding, ...] = ()


def report(
    question: Question,
    *,
    colours: Mapping[Goods, str] | None = None,
    limit: float = NEAR,
    more: Iterable[Need] = (),
    findings: Iterable[Finding] = (),
    seconds: float = PATIENCE_S,
) -> Report:
    """Answer a question with everything a decorator wants to know beside it.

    Args:
        question: needs, suppliers, shelf.
        colours: "#rrggbb" of goods whose colour is known, for substitutes.
        limit: how far a substitute's colour may lie off (CIEDE2000).
        more: needs of a job that is only thought of; what it adds is told.
        findings: found already while reading.
        seconds: time given to the proof.
    """
    colours = colours or {}
    answer = buy(question, seconds)
    ways = remedies(question, answer, colours, limit) if answer.short else {}
    further = tuple(more)
    added = None
    if further:
        added = buy(question.with_needs(further), seconds).cost - answer.cost
    found = [*findings, *_findings(question, answer)]
    return Report(
        question=question,
        answer=answer,
        habit=by_habit(question),
        substitutes=proposals(question, answer, colours, limit) if colours else (),
        remedies=ways,
        added=added,
        findings=in_order(found),
    )


def _findings(question: Question, answer: Answer) -> Iterable[Finding]:
    items = {offer.item for supplier in question.suppliers for offer in supplier.offers}
    for one in answer.short:
        yield _short(question, one, items)
    last = max((need.due for need in question.needs), default=question.today)
    for supplier in question.suppliers:
        first = arrival(supplier, question.today)
        if question.needs and (first is None or first > last):
            yield caution(
                "lead-time",
                "",
                message(
                    "{name} takes longer than until the last day anything is needed.",
                    name=supplier.name,
                ),
                message("Order from others, or ask for a quicker way."),
            )
    if not answer.proven:
        yield caution(
            "not-proven",
            "",
            message(
                "The time was up before it was proven that nothing is cheaper; these orders are "
                "within {gap} %.",
                gap=f"{100 * answer.gap:.1f}",
            ),
            message("Give it more time, or take them as they are."),
        )


def _short(question: Question, one: Short, items: set[str]) -> Finding:
    goods = one.need.goods
    what = message(
        "{quantity} of {goods} cannot be there by {day}.",
        quantity=one.quantity,
        goods=str(goods),
        day=one.need.due.isoformat(),
    )
    if any(o.serves(goods) for s in question.suppliers for o in s.offers):
        mend = message("See what would make it possible, and what it costs.")
    elif goods.item in items:
        what = message(
            "Nobody sells {goods}; {quantity} are missing on {day}.",
            goods=str(goods),
            quantity=one.quantity,
            day=one.need.due.isoformat(),
        )
        mend = message("Take a shade that is sold, or add a supplier that has this one.")
    else:
        numbers = re.findall(r"\d+", goods.item)
        alike = [item for item in sorted(items) if re.findall(r"\d+", item) == numbers]
        near = get_close_matches(goods.item, alike, n=1, cutoff=0.6)
        what = message(
            'No price list holds "{item}"; {quantity} are missing on {day}.',
            item=goods.shown_item,
            quantity=one.quantity,
            day=one.need.due.isoformat(),
        )
        mend = (
            message('Did you mean "{near}"?', near=near[0])
            if near
            else message("Add it to a price list, by the same name.")
        )
    return error("short", "", what, mend)


def gather_colours(
    named: Iterable[tuple[Goods, str]],
) -> tuple[dict[Goods, str], tuple[Finding, ...]]:
    """Colours by goods; a name that means two colours is told."""
    found: dict[Goods, str] = {}
    told: dict[str, Finding] = {}
    for goods, colour in named:
        known = found.setdefault(goods, colour.lower())
        if goods.shade not in told and difference(known, colour.lower()) > SAME_COLOUR:
            told[goods.shade] = caution(
                "one-name-two-colours",
                "",
                message(
                    '"{shade}" is not the same color in all jobs and price lists ({one}, {two}).',
                    shade=goods.shown_shade,
                    one=known,
                    two=colour.lower(),
                ),
                message("Give one of them another name, or the wrong balloons are bought."),
            )
    return found, tuple(told.values())
