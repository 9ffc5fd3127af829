"""Planned beside actual, to the cent and without tax."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from sqlalchemy.orm import Session

from airwright.desk.outcome.contexts import Beside
from airwright.desk.pages import money
from airwright.language import message
from airwright.language.figures import said_hours
from airwright.money.outcome import HOUR_STEP, Outcome, Planned, Spending, Taken, outcome
from airwright.papers.edition import read
from airwright.plan.values import Plan
from airwright.store.actuals import Kind
from airwright.store.editions import Editions
from airwright.store.payments import Payments
from airwright.store.tables import Actual

ROWS = (
    (Spending.LABOUR, message("Work")),
    (Spending.MATERIALS, message("Materials")),
    (Spending.OTHER, message("Driving and other spending")),
    (Spending.SHARES, message("Wear of hardware, overhead")),
)


def planned_of(session: Session, job_id: str, plan: Plan | None) -> Planned | None:
    """What the job was planned to take: as accepted, else as it stands now."""
    accepted = Editions(session).accepted_of(job_id)
    if accepted is not None:
        edition, yes = accepted
        told = read(edition.content)
        option = next((o for o in told.options if o.name == yes.option), None)
        kept = edition.planned.get("options", {}).get(yes.option)
        if option is not None and kept is not None:
            return _kept(kept, told.currency, option.total)
    if plan is None:
        return None
    sums = plan.money
    return Planned(
        currency=sums.currency,
        hours=Decimal(str(round(plan.hours, 6))),
        labour=sums.labour,
        materials=sums.materials,
        other=sums.transport + sums.other,
        shares=sums.rental + sums.overhead,
        net=sums.net,
        total=sums.total,
    )


def _kept(kept: Mapping[str, Any], currency: str, total: Decimal) -> Planned:
    """The studio's own side of an accepted edition."""
    part = {key: Decimal(value) for key, value in kept.items() if key != "currency"}
    known = part["labour"] + part["materials"] + part["rental"] + part["overhead"]
    return Planned(
        currency=currency,
        hours=part["hours"],
        labour=part["labour"],
        materials=part["materials"],
        other=part["cost"] - known,
        shares=part["rental"] + part["overhead"],
        net=part["net"],
        total=total,
    )


def taken_of(session: Session, job_id: str, rows: Sequence[Actual], currency: str) -> Taken:
    """What was saved, and the payments booked on the job's invoices."""
    sums: dict[str, Decimal] = {}
    for row in rows:
        sums[row.kind] = sums.get(row.kind, Decimal(0)) + row.amount
    for payment in Payments(session).of_job(job_id):
        if payment.currency == currency:
            sums["received"] = sums.get("received", Decimal(0)) + payment.amount
    return Taken(sums.get("hours"), sums.get("bought"), sums.get("spent"), sums.get("received"))


def beside(
    planned: Planned | None, taken: Taken, hour_rate: Decimal, currency: str, *, settled: bool
) -> tuple[tuple[Beside, ...], str]:
    """The comparison, and its verdict in a sentence.

    Args:
        planned, taken: what is set side by side.
        hour_rate: what one hour costs the studio.
        currency: of both.
        settled: whether all money came in that will; until then nothing is said of its sum.
    """
    if planned is None:
        return (), message("The job cannot be planned as it stands; fix its errors first.")
    found = outcome(planned, taken, hour_rate)
    judged = settled or (found.earned is not None and found.earned >= planned.net)
    worked = planned.hours if taken.hours is None else taken.hours
    lines = [
        Beside(
            message("Hours"),
            said_hours(float(planned.hours)),
            said_hours(float(worked)) if taken.hours is not None else message("as planned"),
            None if taken.hours is None else worked <= round(planned.hours, 2),
        )
    ]
    words = dict(ROWS)
    for row in found.rows:
        shown = money(row.actual, currency) if row.noted else message("as planned")
        better = row.actual <= row.planned if row.noted else None
        lines.append(Beside(words[row.what], money(row.planned, currency), shown, better))
    lines.append(
        Beside(
            message("Cost in all"),
            money(found.planned_cost, currency),
            money(found.cost, currency),
            found.cost < found.planned_cost if found.cost != found.planned_cost else None,
        )
    )
    lines.append(
        Beside(
            message("Price without tax"),
            money(planned.net, currency),
            money(found.earned, currency),
            found.earned >= planned.net if found.earned is not None and judged else None,
        )
    )
    if planned.net != planned.total:
        tax = planned.total - planned.net
        lines.append(
            Beside(
                message("Tax, not yours"), money(tax, currency), money(found.tax, currency), None
            )
        )
    margin = found.margin if judged else None
    lines.append(
        Beside(
            message("Left over"),
            money(found.planned_margin, currency),
            money(margin, currency),
            None if margin is None else margin >= found.planned_margin,
        )
    )
    if found.earned is not None and not judged:
        return tuple(lines), _so_far(found, planned, currency)
    return tuple(lines), _verdict(found, taken, currency)


def _so_far(found: Outcome, planned: Planned, currency: str) -> str:
    left = planned.net - found.cost
    came = message("{earned} of {net} without tax", earned=money(found.earned, currency),
                   net=money(planned.net, currency))  # fmt: skip
    if left > 0:
        return message("So far {came} came in; once the rest is here, {left} are left.", came=came,
                       left=money(left, currency))  # fmt: skip
    return message("So far {came} came in; even with the rest, {lacking} are missing.", came=came,
                   lacking=money(-left, currency))  # fmt: skip


def _verdict(found: Outcome, taken: Taken, currency: str) -> str:
    if taken == Taken():
        return message("Nothing was entered yet.")
    if found.margin is None or found.earned is None:
        return message(
            "So far it took {cost}; no money has come in yet.", cost=money(found.cost, currency)
        )
    if found.margin > 0:
        share = f"{100 * found.margin / found.earned:.0f} %"
        left = money(found.margin, currency)
        return message(
            "It paid: {left} are left, {share} of what came in without tax.", left=left, share=share
        )
    return message("It did not pay: {amount} are missing.", amount=money(-found.margin, currency))


def as_planned(planned: Planned) -> tuple[tuple[Kind, Decimal], ...]:
    """Entries of a job that went exactly as planned; hours to the step they are noted in."""
    hours_noted = planned.hours.quantize(HOUR_STEP, ROUND_HALF_UP)
    return (("hours", hours_noted), ("bought", planned.materials), ("spent", planned.other))
