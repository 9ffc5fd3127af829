"""How much one visitor may ask of the desk: posts without an account, and work that is costly."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Final

MOST_KEPT: Final = 10_000
"""Visitors remembered at a time; beyond, those who were quiet longest are forgotten."""

AT_ONCE: Final = 2
"""Costly things done at once in one process: password hashes (64 MB each), bodies in 3D."""

TURN_S: Final = 10.0
"""How long a visitor waits for a turn at costly work [s]."""


PROVING_S: Final = 2.0
"""How long one request tries new settings on the jobs in hand; the next one goes on [s]."""


class Allowance:
    """A bucket of permissions for each visitor, refilled steadily (a token bucket).

    Args:
        burst: how many at once.
        per_minute: how many come back in a minute.
        clock: seconds that never go back.
    """

    def __init__(
        self, burst: int, per_minute: float, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self.burst = burst
        self.rate = per_minute / 60
        self.clock = clock
        self._held: dict[str, tuple[float, float]] = {}
        self._lock = threading.Lock()

    def take(self, visitor: str) -> float:
        """Take one permission; 0.0 when there was one, else the seconds until there is."""
        with self._lock:
            moment = self.clock()
            left, since = self._held.pop(visitor, (float(self.burst), moment))
            left = min(float(self.burst), left + (moment - since) * self.rate)
            wait = 0.0 if left >= 1 else (1 - left) / self.rate
            self._held[visitor] = (left - 1 if wait == 0.0 else left, moment)
            while len(self._held) > MOST_KEPT:
                del self._held[next(iter(self._held))]
            return wait


class Busy(Exception):
    """No turn at costly work came in time."""


class Turns:
    """A few turns at costly work; others wait for one, and not for ever.

    Args:
        count: at once.
        patience_s: how long to wait [s].
    """

    def __init__(self, count: int = AT_ONCE, patience_s: float = TURN_S) -> None:
        self._free = threading.BoundedSemaphore(count)
        self.patience_s = patience_s

    @contextmanager
    def one(self) -> Iterator[None]:
        """Hold a turn. Raises Busy when none comes free in time."""
        if not self._free.acquire(timeout=self.patience_s):
            raise Busy
        try:
            yield
        finally:
            self._free.release()


class Limits:
    """What a desk holds of both.

    Attributes:
        posts: of visitors without an account, by address.
        bodies: 3D bodies and papers that visitors without an account ask for, by address.
        hashing, building: turns at password hashes and at 3D bodies.
        proving_s: how long one request tries new settings on the jobs in hand [s].
    """

    def __init__(self) -> None:
        self.posts = Allowance(burst=30, per_minute=20)
        self.bodies = Allowance(burst=60, per_minute=60)
        self.hashing = Turns()
        self.building = Turns()
        self.proving_s = PROVING_S
