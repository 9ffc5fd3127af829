"""Who asks first goes first, one at a time; nobody keeps a queue blocked."""

from __future__ import annotations

import threading
import time

import pytest

from airwright.desk.editing.fair_lock import FairLock, TooMany


def _wait_until(what: object, least: int = 1) -> None:
    for _ in range(2000):
        if len(what) >= least:  # type: ignore[arg-type]
            return
        time.sleep(0.001)
    raise AssertionError("never came")


def test_turns_come_in_order_and_one_at_a_time() -> None:
    turns, order, inside = FairLock(), [], []

    def go(at: int) -> None:
        with turns.turn("job"):
            inside.append(at)
            assert inside == [at]
            order.append(at)
            inside.remove(at)

    with turns.turn("job"):
        threads = []
        for at in range(12):
            threads.append(threading.Thread(target=go, args=(at,)))
            threads[-1].start()
            _wait_until(turns._queues["job"], at + 2)  # it stands in the queue now
        assert order == []
    for thread in threads:
        thread.join()
    assert order == list(range(12))
    assert turns._queues == {}


def test_another_key_does_not_wait() -> None:
    turns = FairLock(patience_s=0.01)
    with turns.turn("one"), turns.turn("two"):
        pass


def test_who_waits_for_too_long_leaves_the_queue_to_the_others() -> None:
    turns, done = FairLock(patience_s=0.05), []
    with turns.turn("job"), pytest.raises(TooMany), turns.turn("job"):
        done.append("never")
    with turns.turn("job"):
        done.append("next")
    assert done == ["next"]


def test_a_mishap_ends_the_turn() -> None:
    turns = FairLock(patience_s=0.05)
    with pytest.raises(KeyError), turns.turn("job"):
        raise KeyError
    with turns.turn("job"):
        pass
