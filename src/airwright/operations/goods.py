"""What is bought and kept: an item in a shade, by name."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import Final

LATEX_GOOD_DAYS: Final = 365
"""Days latex keeps cool, dark and dry in its closed bag (common practice, no source)."""

LATEX_WORDS: Final = ("round balloon", "link balloon", "modelling balloon")


def same_name(text: str) -> str:
    """A name as it is compared: case and runs of blanks do not matter."""
    return " ".join(text.split()).casefold()


@dataclass(frozen=True, slots=True, order=True)
class Goods:
    """An item in a shade, both as `same_name` writes them; the shade is "" where there is none.

    `written` holds both as people wrote them, for lists; it makes no difference.
    """

    item: str
    shade: str = ""
    written: tuple[str, str] = field(default=("", ""), compare=False, repr=False)

    @classmethod
    def named(cls, item: str, shade: str | None = "") -> Goods:
        """Goods by the names people write."""
        return cls(same_name(item), same_name(shade or ""), (item.strip(), (shade or "").strip()))

    @property
    def shown_item(self) -> str:
        """The item as it is shown."""
        return self.written[0] or self.item

    @property
    def shown_shade(self) -> str:
        """The shade as it is shown."""
        return self.written[1] or self.shade

    def __str__(self) -> str:
        return f"{self.shown_item}, {self.shown_shade}" if self.shade else self.shown_item


@dataclass(frozen=True, slots=True)
class Lot:
    """Some of one goods on the shelf, or on its way to it.

    Attributes:
        goods: what it is.
        quantity: how many are free to use.
        since: the day it came, or will come; None: long ago.
        good_until: last day it may be used; None: it does not age.
    """

    goods: Goods
    quantity: int
    since: dt.date | None = None
    good_until: dt.date | None = None

    def usable(self, day: dt.date) -> bool:
        """Whether it is there and still good on a day."""
        return (self.since is None or self.since <= day) and (
            self.good_until is None or day <= self.good_until
        )


def good_days(item: str, days: int | None = None) -> int | None:
    """Days goods keep: as said, else a year for latex and for ever for everything else."""
    if days is None and any(word in same_name(item) for word in LATEX_WORDS):
        return LATEX_GOOD_DAYS
    return days


def good_until(item: str, since: dt.date | None, days: int | None = None) -> dt.date | None:
    """Last day goods may be used, if they age and their day of coming is known."""
    keeps = good_days(item, days)
    return None if since is None or keeps is None else since + dt.timedelta(days=keeps)
