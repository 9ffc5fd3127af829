"""Coming in, and being kept out."""

from __future__ import annotations

import datetime as dt

import pytest

from airwright.store import Database, StoreError
from airwright.store.people import SESSION_LASTS, SESSION_RESTS, People, hashed, matches
from airwright.store.tables import LoginSession, Person
from airwright.store.types import now

GOOD = "correct pony battery"


def add(database: Database, login: str = "ada", role: str = "owner") -> str:
    with database.writing() as session:
        return People(session).add(login, login.title(), role, hashed(GOOD)).id  # type: ignore[arg-type]


def test_only_the_right_password_opens(database: Database) -> None:
    add(database)
    with database.writing() as session:
        people = People(session)
        assert people.attempt("Ada ", True, "127.0.0.1") is not None
        assert people.attempt("ada", False, "127.0.0.1") is None
        assert people.attempt("nobody", True, "127.0.0.1") is None


def test_neither_password_nor_token_is_stored(database: Database) -> None:
    add(database)
    with database.writing() as session:
        person = People(session).attempt("ada", True, "x")
        assert person is not None
        token = People(session).start_session(person)
    with database.reading() as session:
        stored = session.query(LoginSession).one().token_digest + session.query(Person).one().secret
    assert GOOD not in stored
    assert token not in stored
    assert "$argon2id$" in stored


def test_a_session_ends_by_rest_by_age_and_by_leaving(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        token = people.start_session(people.get(person_id))
        session.flush()
        assert people.login_session(token) is not None
        assert people.login_session(token + "x") is None
        assert people.login_session(token, now() + SESSION_RESTS + dt.timedelta(minutes=1)) is None
        row = session.query(LoginSession).one()
        row.seen = now() + SESSION_LASTS
        assert people.login_session(token, now() + SESSION_LASTS + dt.timedelta(minutes=1)) is None
        people.leave(token)
        session.expire_all()
        assert people.login_session(token) is None


def test_a_new_password_ends_what_was_open(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        token = people.start_session(people.get(person_id))
        people.set_password(people.get(person_id), hashed("another long one of these"))
        session.expire_all()
        assert people.login_session(token) is None


def test_wrong_passwords_slow_the_door_and_a_right_one_opens_it(database: Database) -> None:
    add(database)
    with database.writing() as session:
        people = People(session)
        for _ in range(4):
            assert people.wait_s("ada", "10.0.0.1") == 0.0
            people.attempt("ada", False, "10.0.0.1")
            session.flush()
        waits = []
        for _ in range(4):
            waits.append(people.wait_s("ada", "10.0.0.1"))
            people.attempt("ada", False, "10.0.0.1")
            session.flush()
        assert waits == sorted(waits)
        assert waits[0] > 1.0
        assert waits[-1] > 7 * waits[0]
        people.attempt("ada", True, "10.0.0.1")
        session.flush()
        assert people.wait_s("ada", "10.0.0.1") == 0.0


def test_a_stranger_cannot_lock_the_owner_out(database: Database) -> None:
    add(database)
    with database.writing() as session:
        people = People(session)
        people.attempt("ada", True, "10.0.0.1")  # where ada has signed in from before
        for at in range(200):
            people.attempt("ada", False, f"203.0.113.{at % 250}")
        session.flush()
        assert people.wait_s("ada", "10.0.0.1") == 0.0
        assert people.wait_s("ada", "198.51.100.1") > 60.0  # a new address waits


def test_many_logins_from_one_address_slow_it(database: Database) -> None:
    with database.writing() as session:
        people = People(session)
        for at in range(20):
            people.attempt(f"guess{at}", False, "203.0.113.9")
        session.flush()
        assert people.wait_s("guess99", "203.0.113.9") > 1.0
        assert people.wait_s("guess99", "203.0.113.10") == 0.0


@pytest.mark.parametrize(
    "password", ["password1234", "123456789012", "qwertyuiopas", "balloonballoon", "adaadaadaada"]
)
def test_what_is_guessed_first_is_refused(password: str) -> None:
    with pytest.raises(StoreError, match="guessed"):
        hashed(password, ("ada",))


def test_a_password_matches_its_own_hash_only() -> None:
    secret = hashed(GOOD)
    assert matches(secret, GOOD)
    assert not matches(secret, GOOD + "x")
    assert not matches(None, GOOD)
    assert not matches("no hash at all", GOOD)


def test_the_last_owner_stays(database: Database) -> None:
    person_id = add(database)
    with database.writing() as session:
        people = People(session)
        with pytest.raises(StoreError):
            people.change_role(people.get(person_id), "crew", active=True)
        with pytest.raises(StoreError):
            people.change_role(people.get(person_id), "owner", active=False)
        people.add("bo", "Bo", "owner", hashed(GOOD))
        people.change_role(people.get(person_id), "crew", active=True)


@pytest.mark.parametrize("password", ["", "short", "eleven pear", "quiet pear " * 12])
def test_weak_passwords_are_refused(password: str) -> None:
    with pytest.raises(StoreError):
        hashed(password)


def test_a_login_is_taken_once(database: Database) -> None:
    add(database)
    with pytest.raises(StoreError), database.writing() as session:
        People(session).add("ADA", "Other", "crew", hashed(GOOD))
