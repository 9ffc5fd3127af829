"""What all pages about accounts share: roles in words, and the devices that are signed in."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

from sqlalchemy.orm import Session

from airwright.desk.access import RequestContext
from airwright.language import Text, message
from airwright.store.people import People, named
from airwright.store.tables import LoginSession, Person
from airwright.store.types import digest

ROLE_WORDS: dict[str, Text] = {
    "owner": message("Owner: everything, cost and margin too"),
    "designer": message("Designer: jobs and prices, no cost"),
    "crew": message("Crew: the day and its papers, no money"),
}

_BROWSERS = ("Edg", "OPR", "Firefox", "Chrome", "Safari")
_SYSTEMS = ("iPhone", "iPad", "Android", "Windows", "Mac OS", "CrOS", "Linux")
_SAID = {"Edg": "Edge", "OPR": "Opera", "Mac OS": "macOS", "CrOS": "ChromeOS"}


@dataclass(frozen=True, slots=True)
class SessionLine:
    """A device that somebody is signed in with; `here` is the one that asks."""

    name: str
    browser: str
    address: str
    started: dt.datetime
    seen: dt.datetime
    here: bool


def start_session(context: RequestContext, session: Session, person: Person) -> str:
    """Begin a session for somebody who has shown who they are; its token."""
    context.log(session, "signed in", actor=person.name)
    browser = browser_of(context.request.headers.get("user-agent", ""))
    return People(session).start_session(person, context.address, browser)


def browser_of(agent: str) -> str:
    """A browser and its system in two words; "" where neither is known."""
    browser = next((name for name in _BROWSERS if re.search(rf"\b{name}\w*/", agent)), "")
    system = next((name for name in _SYSTEMS if name in agent), "")
    return ", ".join(_SAID.get(word, word) for word in (browser, system) if word)


def session_lines(session: Session, person: Person, session_token: str) -> tuple[SessionLine, ...]:
    """What a person has open."""
    return tuple(_line(row, session_token) for row in People(session).login_sessions(person))


def _line(row: LoginSession, session_token: str) -> SessionLine:
    here = row.token_digest == digest(session_token)
    return SessionLine(named(row), row.browser, row.address, row.started, row.seen, here)


def password_in(context: RequestContext, field: str = "password") -> str:
    """A password of the form, as typed; "" where none was written."""
    given = context.form.get(field)
    return given if isinstance(given, str) else ""
