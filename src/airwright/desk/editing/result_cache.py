"""What was made before and may be wanted again: bounded, by use, safe for threads."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Kept = TypeVar("Kept")


class ResultCache(Generic[Kept]):
    """The last few of something, by key.

    Args:
        size: most things kept.
        heaviest: most weight kept, by `weigh`; one thing heavier than that is not kept at all.
        weigh: how heavy a thing is.
    """

    def __init__(
        self,
        size: int,
        heaviest: float = float("inf"),
        weigh: Callable[[Kept], float] = lambda _: 1.0,
    ) -> None:
        self._size, self._heaviest, self._weigh = size, heaviest, weigh
        self._rows: OrderedDict[Hashable, tuple[Kept, float]] = OrderedDict()
        self._weight = 0.0
        self._lock = Lock()

    def get(self, key: Hashable) -> Kept | None:
        """What is kept under a key."""
        with self._lock:
            found = self._rows.get(key)
            if found is None:
                return None
            self._rows.move_to_end(key)
            return found[0]

    def put(self, key: Hashable, value: Kept) -> None:
        """Keep it; what was used longest ago gives way."""
        weight = self._weigh(value)
        with self._lock:
            old = self._rows.pop(key, None)
            self._weight -= old[1] if old else 0.0
            if weight > self._heaviest:
                return  # it would push out everything else, and then itself
            self._weight += weight
            self._rows[key] = (value, weight)
            while len(self._rows) > self._size or self._weight > self._heaviest:
                _, (_, gone) = self._rows.popitem(last=False)
                self._weight -= gone

    def __len__(self) -> int:
        return len(self._rows)
