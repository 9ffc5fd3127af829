"""What the template of one's own account is given."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from airwright.desk.accounts import SittingLine
from airwright.desk.pages import Page
from airwright.language import Text


@dataclass(frozen=True)
class AccountPage(Page):
    """One's own account; what and mend when a new password was not taken."""

    template: ClassVar[str] = "account/account.html"
    name: str
    login: str
    role: Text
    sittings: tuple[SittingLine, ...]
    shortest: int
    what: Text | str
    mend: Text | str
