"""What one visitor may ask: posts without an account, and costly work."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright.desk.limits import MOST_KEPT, Allowance, Busy, Limits, Turns
from tests.desk.conftest import House


@given(st.lists(st.floats(0, 30), max_size=60), st.integers(1, 9), st.integers(1, 120))
def test_never_more_than_the_bucket_and_what_flows_in(
    pauses: list[float], burst: int, per_minute: int
) -> None:
    """The law of the token bucket (RFC 2697): at most burst + rate x time in any stretch."""
    moment = 0.0
    allowance = Allowance(burst, per_minute, lambda: moment)
    let_in: list[float] = []
    for pause in pauses:
        moment += pause
        if allowance.take("a") == 0.0:
            let_in.append(moment)
    for at, begin in enumerate(let_in):
        for count, end in enumerate(let_in[at:], 1):
            assert count <= burst + (end - begin) * per_minute / 60 + 1e-6


def test_the_wait_told_is_the_wait_needed() -> None:
    moment = 0.0
    allowance = Allowance(2, 6, lambda: moment)
    assert [allowance.take("a") for _ in range(3)] == [0.0, 0.0, pytest.approx(10.0)]
    assert allowance.take("b") == 0.0  # another visitor is not concerned
    moment += 10.0
    assert allowance.take("a") == 0.0


def test_a_flood_of_visitors_is_forgotten() -> None:
    allowance = Allowance(2, 6)
    for at in range(MOST_KEPT + 50):
        allowance.take(str(at))
    assert len(allowance._held) == MOST_KEPT


def test_turns_are_few_and_waited_for_not_for_ever() -> None:
    turns, inside, let_go = Turns(1, 0.05), threading.Event(), threading.Event()

    def hold() -> None:
        with turns.one():
            inside.set()
            let_go.wait(30)

    holder = threading.Thread(target=hold)
    holder.start()
    inside.wait(30)
    with pytest.raises(Busy), turns.one():
        pass
    let_go.set()
    holder.join()
    with turns.one():
        pass


def test_anonymous_posts_are_limited_and_nobody_else_is(tmp_path: Path) -> None:
    house = House(f"sqlite:///{tmp_path / 'desk.db'}")
    house.account("ada", "owner")
    owner, stranger = house.entered("ada"), house.visitor()
    stranger.get("/sign-in")
    answers = [stranger.post("/join/nothing", {"login": "x"}) for _ in range(40)]
    late = answers[-1]
    assert {answer.status_code for answer in answers[:25]} == {400}
    assert late.status_code == 429
    assert int(late.headers["retry-after"]) >= 1
    assert "Traceback" not in late.text
    assert stranger.post("/sign-in", {"login": "x", "password": "y"}).status_code == 403
    assert owner.post("/theme", {"theme": "dark", "back": "/"}).status_code == 303
    house.desk.database.close()


def test_bodies_in_3d_are_not_built_without_end(tmp_path: Path) -> None:
    house = House(f"sqlite:///{tmp_path / 'desk.db'}")
    house.desk.limits = Limits()
    house.desk.limits.bodies = Allowance(3, 1)
    stranger = house.visitor()
    statuses = [stranger.get("/c/nothing/decor/0.glb").status_code for _ in range(5)]
    assert statuses[-1] == 429
    assert 429 not in statuses[:3]
    house.desk.database.close()


def test_too_many_hashes_at_once_are_told(tmp_path: Path) -> None:
    house = House(f"sqlite:///{tmp_path / 'desk.db'}")
    house.account("ada", "owner")
    house.desk.limits.hashing = Turns(1, 0.05)
    with house.desk.limits.hashing.one():
        visitor = house.visitor()
        visitor.get("/sign-in")
        answer = visitor.post("/sign-in", {"login": "ada", "password": "x"})
    assert answer.status_code == 503
    assert answer.headers["retry-after"] == "5"
    house.desk.database.close()
