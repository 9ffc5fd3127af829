"""Who gets what: needs in order of their days, each from what ages first."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from airwright.operations.buying.values import Need
from airwright.operations.goods import Lot


@dataclass(frozen=True, slots=True)
class Given:
    """What each need got and lacks, and what is left of each lot.

    Attributes:
        taken: (need, number of the lot, how many), in order.
        short: needs that lack something, with how many.
        left: of each lot, in the order they were given.
    """

    taken: tuple[tuple[Need, int, int], ...]
    short: tuple[tuple[Need, int], ...]
    left: tuple[int, ...]

    @property
    def missing(self) -> int:
        """How many are lacking altogether."""
        return sum(count for _, count in self.short)


def give(needs: Iterable[Need], lots: Sequence[Lot]) -> Given:
    """Deal lots of one goods out to its needs.

    Going through the days in order and taking what ages first leaves nothing short that another
    way of dealing would not leave short: a lot that is still good on a later day is spared.
    """
    left = [lot.quantity for lot in lots]
    by_age = sorted(
        range(len(lots)),
        key=lambda at: (lots[at].good_until or dt.date.max, lots[at].since or dt.date.min, at),
    )
    taken, short = [], []
    for need in sorted(needs, key=lambda one: (one.due, one.job, one.quantity)):
        wanted = need.quantity
        for at in by_age:
            if wanted and left[at] and lots[at].usable(need.due):
                part = min(wanted, left[at])
                taken.append((need, at, part))
                left[at] -= part
                wanted -= part
        if wanted:
            short.append((need, wanted))
    return Given(tuple(taken), tuple(short), tuple(left))
