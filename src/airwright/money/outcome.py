"""Did it pay? Planned beside actual, without tax, and what a season earned.

A job exactly as planned shows exactly the planned margin: the same hours cost the same, and tax
that came in with the money is not counted as earned. Wear of hardware and overhead are shares
of the studio's own; nobody writes them down after a job, so they stay as planned.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import Final

from airwright.language import message
from airwright.money.amount import ZERO, MoneyError, rounded


class Spending(StrEnum):
    """Parts of a job's cost."""

    LABOUR = "labour"
    MATERIALS = "materials"
    OTHER = "other"
    SHARES = "shares"


HOUR_STEP: Final = Decimal("0.01")
"""Hours are written down to a hundredth; planned ones are compared like that."""


@dataclass(frozen=True, slots=True)
class Planned:
    """What a job was planned to take, every amount before tax but `total`.

    Attributes:
        hours: hands' time [h].
        labour, materials: cost of them.
        other: driving, permits, all that is spent from job to job.
        shares: wear of hardware, and overhead.
        net, total: price without and with tax.
    """

    currency: str
    hours: Decimal
    labour: Decimal
    materials: Decimal
    other: Decimal
    shares: Decimal
    net: Decimal
    total: Decimal

    @property
    def cost(self) -> Decimal:
        """All of it."""
        return self.labour + self.materials + self.other + self.shares

    @property
    def margin(self) -> Decimal:
        """What should be left."""
        return self.net - self.cost


@dataclass(frozen=True, slots=True)
class Taken:
    """What was written down: sums, None where nothing was.

    Attributes:
        hours: worked [h].
        bought: spent on balloons and hardware that were used.
        spent: spent on anything else.
        received: money in, tax included, refunds taken off.
    """

    hours: Decimal | None = None
    bought: Decimal | None = None
    spent: Decimal | None = None
    received: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Beside:
    """One row: planned beside actual; `noted` tells whether anybody wrote it down."""

    what: Spending
    planned: Decimal
    actual: Decimal
    noted: bool


@dataclass(frozen=True, slots=True)
class Outcome:
    """Planned beside actual.

    Attributes:
        rows: parts of the cost; what nobody wrote down counts as planned.
        planned_cost, cost: their sums.
        earned: money in without its tax; None while none came.
        planned_margin, margin: what is left; margin None while no money came.
        tax: the tax within what was received.
    """

    rows: tuple[Beside, ...]
    planned_cost: Decimal
    cost: Decimal
    earned: Decimal | None
    tax: Decimal
    planned_margin: Decimal
    margin: Decimal | None

    @property
    def margin_share(self) -> Decimal | None:
        """What is left of what was earned."""
        if self.margin is None or not self.earned:
            return None
        return self.margin / self.earned


def outcome(planned: Planned, taken: Taken, hour_rate: Decimal) -> Outcome:
    """Set planned and actual side by side.

    Args:
        planned: from the plan.
        taken: what was written down.
        hour_rate: what one hour costs the studio.

    Raises:
        MoneyError: hours or spending below zero.
    """
    for amount in (taken.hours, taken.bought, taken.spent):
        if amount is not None and amount < 0:
            raise MoneyError(
                message("{amount} was not taken.", amount=amount),
                message("Remove the entry instead."),
            )
    labour = planned.labour
    if taken.hours is not None and taken.hours != _in_steps(planned.hours):
        labour = rounded(taken.hours * hour_rate, planned.currency)
    rows = (
        Beside(Spending.LABOUR, planned.labour, labour, taken.hours is not None),
        _row(Spending.MATERIALS, planned.materials, taken.bought),
        _row(Spending.OTHER, planned.other, taken.spent),
        Beside(Spending.SHARES, planned.shares, planned.shares, False),
    )
    cost = sum((row.actual for row in rows), ZERO)
    earned = None if taken.received is None else without_tax(taken.received, planned)
    return Outcome(
        rows=rows,
        planned_cost=planned.cost,
        cost=cost,
        earned=earned,
        tax=ZERO if earned is None or taken.received is None else taken.received - earned,
        planned_margin=planned.margin,
        margin=None if earned is None else earned - cost,
    )


def _row(what: Spending, planned: Decimal, actual: Decimal | None) -> Beside:
    return Beside(what, planned, planned if actual is None else actual, actual is not None)


def _in_steps(hours: Decimal) -> Decimal:
    return hours.quantize(HOUR_STEP, rounding=ROUND_HALF_UP)


def without_tax(received: Decimal, planned: Planned) -> Decimal:
    """Money in without the tax within it, in the job's own mix of rates."""
    if planned.total == 0:
        return received
    return rounded(received * planned.net / planned.total, planned.currency)


@dataclass(frozen=True, slots=True)
class Finished:
    """One job of a season as far as money goes; one currency a season.

    Attributes:
        kinds: kind of piece → its share of the job's price without tax (they add up to 1).
        net, cost: price without tax, and what it took.
    """

    key: str
    client: str
    day: dt.date
    kinds: tuple[tuple[str, Decimal], ...]
    net: Decimal
    cost: Decimal
    hours: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Earned:
    """What one kind, client or month earned."""

    name: str
    jobs: int
    net: Decimal
    cost: Decimal
    hours: Decimal

    @property
    def margin(self) -> Decimal:
        """What is left."""
        return self.net - self.cost


def by_client(jobs: Iterable[Finished]) -> tuple[Earned, ...]:
    """Clients, the best first."""
    return _by(jobs, lambda job: ((job.client or "–", Decimal(1)),))


def by_month(jobs: Iterable[Finished]) -> tuple[Earned, ...]:
    """Months in order, "2027-05"."""
    found = _by(jobs, lambda job: ((f"{job.day:%Y-%m}", Decimal(1)),))
    return tuple(sorted(found, key=lambda row: row.name))


def by_kind(jobs: Iterable[Finished]) -> tuple[Earned, ...]:
    """Kinds of piece, each with its share of the jobs it stood in, the best first."""
    return _by(jobs, lambda job: job.kinds)


def _by(
    jobs: Iterable[Finished], shares: Callable[[Finished], Sequence[tuple[str, Decimal]]]
) -> tuple[Earned, ...]:
    sums: dict[str, Earned] = {}
    for job in jobs:
        for name, share in shares(job):
            row = sums.get(name, Earned(name, 0, ZERO, ZERO, ZERO))
            sums[name] = Earned(
                name,
                row.jobs + 1,
                row.net + job.net * share,
                row.cost + job.cost * share,
                row.hours + job.hours * share,
            )
    return tuple(sorted(sums.values(), key=lambda row: (-row.margin, row.name)))
