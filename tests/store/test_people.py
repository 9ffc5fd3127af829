"""Coming in, and being kept out."""

from __future__ import annotations

import datetime as dt

import pytest

from airwright.store import Database, StoreError
from airwright.store.people import SITTING_LASTS, SITTING_RESTS, People
from airwright.store.tables import LoginAttempt, LoginSession, Person
from airwright.store.types import now

GOOD = "correct pony battery"


def add(database: Database, login: str = "ada", role: str = "owner") -> str:
    with database.writing() as session:
        return People(session).add(login, login.title(), role, GOOD).id  # type: ignore[arg-type]


def test_only_the_right_password_opens(database: Database) -> None:
    add(database)
    with database.writing() as session:
        people = People(session)
        assert people.knock("Ada ", GOOD, "127.0.0.1") is not None
        assert people.knock("ada", GOOD + "x", "127.0.0.1") is None
        assert people.knock("nobody", GOOD, "127.0.0.1") is None


def test_neither_password_nor_token_is_stored(database: Database) -> None:
    add(database)
    with database.writing() as session:
        person = People(session).knock("ada", GOOD, "x")
        assert person is not None
        token = People(session).sit_down(person)
    with database.reading() as session:
        stored = session.query(LoginSession).one().token_digest + session.query(Person).one().secret
    assert GOOD not in stored
    assert token not in stored
    assert "$argon2id$" in stored


def test_a_sitting_ends_by_rest_by_age_and_by_leaving(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        token = people.sit_down(people.get(person_id))
        session.flush()
        assert people.sitting(token) is not None
        assert people.sitting(token + "x") is None
        assert people.sitting(token, now() + SITTING_RESTS + dt.timedelta(minutes=1)) is None
        row = session.query(LoginSession).one()
        row.seen = now() + SITTING_LASTS
        assert people.sitting(token, now() + SITTING_LASTS + dt.timedelta(minutes=1)) is None
        people.leave(token)
        session.expire_all()
        assert people.sitting(token) is None


def test_a_new_password_ends_what_was_open(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        token = people.sit_down(people.get(person_id))
        people.set_password(people.get(person_id), "another long one")
        session.expire_all()
        assert people.sitting(token) is None


def test_wrong_passwords_slow_the_door_and_a_right_one_opens_it(database: Database) -> None:
    add(database)
    with database.writing() as session:
        people = People(session)
        for _ in range(4):
            assert people.wait_s("ada", "10.0.0.1") == 0.0
            people.knock("ada", "wrong", "10.0.0.1")
            session.flush()
        waits = []
        for _ in range(4):
            waits.append(people.wait_s("ada", "10.0.0.2"))
            people.knock("ada", "wrong", "10.0.0.1")
            session.flush()
        assert waits == sorted(waits)
        assert waits[0] > 1.0
        assert waits[-1] > 7 * waits[0]
        session.add(LoginAttempt(login="ada", address="10.0.0.1", succeeded=True, at=now()))
        session.flush()
        assert people.wait_s("ada", "10.0.0.1") == 0.0


def test_the_last_owner_stays(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        with pytest.raises(StoreError):
            people.change_role(people.get(person_id), "crew", active=True)
        with pytest.raises(StoreError):
            people.change_role(people.get(person_id), "owner", active=False)
        people.add("bo", "Bo", "owner", GOOD)
        people.change_role(people.get(person_id), "crew", active=True)


@pytest.mark.parametrize("password", ["", "short", "x" * 501])
def test_weak_passwords_are_refused(database: Database, password: str) -> None:
    with pytest.raises(StoreError), database.writing() as session:
        People(session).add("ada", "Ada", "owner", password)


def test_a_login_is_taken_once(database: Database) -> None:
    add(database)
    with pytest.raises(StoreError), database.writing() as session:
        People(session).add("ADA", "Other", "crew", GOOD)
