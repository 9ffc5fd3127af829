"""The present password: asked for at the door, and again before a sensitive step."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import Depends
from starlette.concurrency import run_in_threadpool

from airwright.desk.access import ByOwner, Refused, RequestContext, SignedIn
from airwright.desk.state import Desk
from airwright.language import message
from airwright.store.logbook import Logbook
from airwright.store.people import People, matches
from airwright.store.tables import Person
from airwright.store.types import now


class MustProve(Exception):
    """A step that needs the present password first; `wrong` when the one given was not it."""

    def __init__(self, context: RequestContext, *, wrong: bool) -> None:
        super().__init__("the present password is needed")
        self.context = context
        self.wrong = wrong


def tried(desk: Desk, login: str, password: str, address: str) -> Person | None:
    """The person whose login and password these are, or None; the try is written down.

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
    with desk.limits.hashing.one():
        right = matches(secret, password)
    with desk.database.writing() as session:
        person = People(session).attempt(login, right, address)
        if person is None:
            # What was typed is not written down: people type passwords into the wrong field.
            who = login.strip().lower() if secret is not None else "?"
            Logbook(session).write("sign-in failed", who, address=address)
    return person


async def _proven(found: ByOwner) -> RequestContext:
    """An owner who gave the password a moment ago, or gives it with this form."""
    await run_in_threadpool(prove, found)
    return found


async def _proven_self(found: SignedIn) -> RequestContext:
    """As `_proven`, for anybody's own account."""
    await run_in_threadpool(prove, found)
    return found


def prove(context: RequestContext) -> None:
    """Let a sensitive step through. Raises MustProve, or Refused after many wrong passwords."""
    actor = context.actor
    if actor.proved or actor.person_id is None:
        return
    given: Any = context.form.get("present")
    if not isinstance(given, str):
        raise MustProve(context, wrong=False)
    with context.reading() as session:
        login = People(session).get(actor.person_id).login
    if tried(context.desk, login, given, context.address) is None:
        raise MustProve(context, wrong=True)
    with context.writing() as session:
        found = People(session).login_session(context.session_token)
        if found is not None:
            found[0].proved = now()


ByProvenOwner = Annotated[RequestContext, Depends(_proven)]
"""Owners whose password was asked for lately: for what would hurt in a stranger's hands."""

ByProvenSelf = Annotated[RequestContext, Depends(_proven_self)]
"""Anybody whose password was asked for lately."""
