"""One at a time, first come, first served: people who change the same job in this process.

Working a change out takes far longer than writing it. Done side by side, all but the first of
many would be worked out for nothing: the job has moved on by then. So they queue up. What other
processes write meanwhile is seen by the version check in the database, not here.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Event, Lock

PATIENCE_S = 30.0
"""How long somebody waits for a turn before the change is refused [s]."""


class TooMany(Exception):
    """So many are at work on the same thing that a turn does not come."""


class FairLock:
    """Queues by key; a key that nobody uses takes no room."""

    def __init__(self, patience_s: float = PATIENCE_S) -> None:
        self._patience_s = patience_s
        self._lock = Lock()
        self._queues: dict[str, deque[Event]] = {}

    @contextmanager
    def turn(self, key: str) -> Iterator[None]:
        """Wait for everybody who asked for this key before, then go; not re-entrant.

        Raises:
            TooMany: after waiting for too long.
        """
        mine = Event()
        with self._lock:
            queue = self._queues.setdefault(key, deque())
            queue.append(mine)
            if len(queue) == 1:
                mine.set()
        try:
            if not mine.wait(self._patience_s):
                raise TooMany(key)
            yield
        finally:
            self._leave(key, mine)

    def _leave(self, key: str, mine: Event) -> None:
        with self._lock:
            queue = self._queues[key]
            queue.remove(mine)
            if not queue:
                del self._queues[key]
            else:
                queue[0].set()
