"""Planned beside actual, to the cent."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from airwright.desk.editing.builder import Evaluation
from airwright.desk.outcome.contexts import Beside
from airwright.desk.pages import hours, money
from airwright.store.tables import Actual


def totals(rows: Sequence[Actual]) -> dict[str, Decimal]:
    """Sums by kind."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        sums[row.kind] = sums.get(row.kind, Decimal(0)) + row.amount
    return sums


def beside(
    evaluation: Evaluation, rows: Sequence[Actual], currency: str
) -> tuple[tuple[Beside, ...], str]:
    """The comparison, and its verdict in a sentence."""
    plan, sums = evaluation.plan, totals(rows)
    worked = sums.get("hours", Decimal(0))
    labour = (worked * evaluation.studio.pricing.labour_rate).quantize(Decimal("0.01"))
    bought, spent = sums.get("bought", Decimal(0)), sums.get("spent", Decimal(0))
    received = sums.get("received", Decimal(0))
    cost = labour + bought + spent
    earned = received - cost
    planned = plan.money if plan else None

    def line(what: str, plain: Decimal | None, actual: Decimal, less_is_better: bool) -> Beside:
        better = None if plain is None or not actual else (actual <= plain) == less_is_better
        return Beside(what, money(plain, currency), money(actual, currency), better)

    lines = (
        Beside(
            "Hours",
            hours(plan.hours) if plan else "–",
            hours(float(worked)),
            None if not plan or not worked else float(worked) <= plan.hours,
        ),
        line("Work", planned.labour if planned else None, labour, True),
        line("Materials", planned.materials if planned else None, bought, True),
        line(
            "Driving, hardware, overhead",
            planned.transport + planned.rental + planned.overhead if planned else None,
            spent,
            True,
        ),
        line("Cost in all", planned.cost if planned else None, cost, True),
        line("Price, received", planned.total if planned else None, received, False),
        line("Left over", planned.margin if planned else None, earned, False),
    )
    if not rows:
        return lines, "Nothing is written down yet."
    if not received:
        return lines, f"So far it took {money(cost, currency)}; no money has come in yet."
    share = f"{100 * earned / received:.0f} %"
    if earned > 0:
        return lines, f"It paid: {money(earned, currency)} are left, {share} of what came in."
    return lines, f"It did not pay: {money(-earned, currency)} are missing."
