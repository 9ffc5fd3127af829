"""Client links: unguessable, ending, and withdrawn whenever the studio likes."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import select
from sqlalchemy.orm import Session

from airwright.store.errors import Missing
from airwright.store.tables import ClientLink
from airwright.store.types import digest, new_token, now


class Links:
    """Client links, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def make(
        self, job_id: str, days: int, edition_id: str | None = None, recipient: str = ""
    ) -> tuple[ClientLink, str]:
        """A new link to an edition and its token, shown once and kept nowhere."""
        token = new_token()
        link = ClientLink(
            job_id=job_id,
            token_digest=digest(token),
            ends=now() + dt.timedelta(days=days),
            edition_id=edition_id,
            recipient=recipient[:200],
        )
        self.session.add(link)
        self.session.flush()
        return link, token

    def of_job(self, job_id: str) -> list[ClientLink]:
        """All links of a job, newest first."""
        query = select(ClientLink).where(ClientLink.job_id == job_id)
        return list(self.session.scalars(query.order_by(ClientLink.made.desc())))

    def find(self, token: str) -> ClientLink | None:
        """The link of a token, whether it still holds or not."""
        return self.session.scalar(
            select(ClientLink).where(ClientLink.token_digest == digest(token))
        )

    def open_with(self, token: str, at: dt.datetime | None = None) -> ClientLink | None:
        """The link of a token, while it holds."""
        link = self.find(token)
        if link is None or link.withdrawn is not None or link.ends < (at or now()):
            return None
        return link

    def withdraw(self, job_id: str, link_id: str) -> ClientLink:
        """End a link at once. Raises Missing."""
        link = self.session.get(ClientLink, link_id)
        if link is None or link.job_id != job_id:
            raise Missing("link")
        link.withdrawn = link.withdrawn or now()
        return link

    def choose(self, link: ClientLink, choice: str, note: str) -> None:
        """What the client would like."""
        link.choice, link.note, link.chosen = choice[:80], note[:1000], now()
