"""What the template of one's own account is given."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.accounts import SessionLine
from airwright.desk.pages import Page
from airwright.language import Text


@dataclass(frozen=True, slots=True)
class PasskeyLine:
    """A passkey of one's own."""

    id: str
    name: str
    made: dt.datetime
    used: dt.datetime | None


@dataclass(frozen=True)
class NewPasskeyPage(Page):
    """Has the browser make a passkey; `options` is what it is told, as JSON."""

    template: ClassVar[str] = "account/passkey.html"
    options: str


@dataclass(frozen=True)
class AccountPage(Page):
    """One's own account; what and mend when a new password was not taken."""

    template: ClassVar[str] = "account/account.html"
    name: str
    login: str
    role: Text
    sessions: tuple[SessionLine, ...]
    shortest: int
    passkeys: tuple[PasskeyLine, ...]
    passkeys_possible: bool
    what: Text | str
    mend: Text | str
