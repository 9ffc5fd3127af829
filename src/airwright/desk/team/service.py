"""Coming in, slowed down after wrong passwords."""

from __future__ import annotations

from airwright.desk.access import Refused
from airwright.desk.state import Desk
from airwright.language import message
from airwright.store.people import People, matches


def enter(desk: Desk, login: str, password: str, address: str) -> str | None:
    """The token of a new sitting, or None for a wrong login or password.

    Raises:
        Refused: too many wrong passwords; the cure says how long to wait.
    """
    with desk.database.reading() as session:
        people = People(session)
        wait = people.wait_s(login, address)
        secret = people.secret_of(login)
    if wait > 0:
        seconds = max(1, round(wait))
        raise Refused(
            message("Too many wrong passwords."),
            message("Wait {seconds} s, then try again.", seconds=seconds),
            status=429,
        )
    right = matches(secret, password)
    with desk.database.writing() as session:
        people = People(session)
        person = people.knock(login, right, address)
        return people.sit_down(person) if person is not None else None
