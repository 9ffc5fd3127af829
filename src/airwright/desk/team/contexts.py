"""What the templates of accounts are given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.accounts import SessionLine
from airwright.desk.pages import Page
from airwright.language import Text


@dataclass(frozen=True, slots=True)
class PersonLine:
    """An account."""

    id: str
    name: str
    login: str
    role: str
    active: bool
    is_me: bool
    sessions: tuple[SessionLine, ...]


@dataclass(frozen=True, slots=True)
class InvitationLine:
    """An invitation that still opens something."""

    id: str
    name: str
    role: Text
    ends: dt.datetime


@dataclass(frozen=True)
class TeamPage(Page):
    """All accounts; `link` is a new invitation, shown this once."""

    template: ClassVar[str] = "team/team.html"
    people: tuple[PersonLine, ...]
    invitations: tuple[InvitationLine, ...]
    roles: tuple[tuple[str, Text], ...]
    shortest: int
    link: str


@dataclass(frozen=True)
class SignInPage(Page):
    """The door."""

    template: ClassVar[str] = "team/sign_in.html"
    login: str
    what: Text | str
    mend: Text | str
    passkeys: bool


@dataclass(frozen=True)
class JoinPage(Page):
    """What an invitation opens: making the account."""

    template: ClassVar[str] = "team/join.html"
    action: str
    name: str
    login: str
    role: Text
    shortest: int
    what: Text | str
    mend: Text | str


@dataclass(frozen=True, slots=True)
class LogLine:
    """An entry of the log."""

    at: dt.datetime
    what: Text | str
    actor: str
    address: str
    subject: str
    link: str


@dataclass(frozen=True)
class LogPage(Page):
    """The lasting log, a page at a time."""

    template: ClassVar[str] = "team/log.html"
    lines: tuple[LogLine, ...]
    kinds: tuple[tuple[str, Text], ...]
    kind: str
    page: int
    more: bool
