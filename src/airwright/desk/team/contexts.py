"""What the templates of accounts are given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.pages import Page


@dataclass(frozen=True, slots=True)
class PersonLine:
    """An account."""

    id: str
    name: str
    login: str
    role: str
    active: bool
    is_me: bool


@dataclass(frozen=True)
class TeamPage(Page):
    """All accounts."""

    template: ClassVar[str] = "team/team.html"
    people: tuple[PersonLine, ...]
    roles: tuple[tuple[str, str], ...]
    shortest: int


@dataclass(frozen=True)
class SignInPage(Page):
    """The door."""

    template: ClassVar[str] = "team/sign_in.html"
    login: str
    what: str
    mend: str
