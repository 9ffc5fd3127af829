"""The studio's mail server with its password, which lies apart from the settings file."""

from __future__ import annotations

from typing import Final

from sqlalchemy.orm import Session

from airwright.job.business import MailServer
from airwright.job.studio import Studio
from airwright.store.studio import Facts

PASSWORD: Final = "mail_password"


def server_of(session: Session, studio: Studio) -> tuple[MailServer, str]:
    """The studio's server and its password."""
    return studio.mail, Facts(session).get(PASSWORD) or ""


def can_send(server: MailServer) -> bool:
    """Whether enough is set for mail to go out."""
    return bool(server.server and server.sender)
