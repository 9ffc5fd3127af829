"""The studio file, saved designs, and what the desk remembers about itself."""

from __future__ import annotations

from decimal import Decimal

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.errors import Missing, Overtaken
from airwright.store.tables import Fact, SavedDesign, StudioRow
from airwright.store.types import now

EMPTY_STUDIO = 'format = "airwright-studio/1"\n'


class StudioFile:
    """The studio's settings, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def get(self) -> tuple[str, int]:
        """The file's text and version; a text without settings, version 0, before any was set."""
        row = self.session.get(StudioRow, 1)
        return (EMPTY_STUDIO, 0) if row is None else (row.text, row.version)

    def put(self, text: str, base: int) -> int:
        """A new text; returns its version. Raises Overtaken when `base` no longer stands."""
        row = self.session.get(StudioRow, 1, with_for_update=True)
        version = 0 if row is None else row.version
        if version != base:
            raise Overtaken(version, message("Somebody else changed the settings first."))
        if row is None:
            self.session.add(StudioRow(id=1, text=text, version=1, changed=now()))
        else:
            row.text, row.version, row.changed = text, version + 1, now()
        self.session.flush()
        return version + 1


class Designs:
    """Pieces kept for later jobs."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def all(self) -> list[SavedDesign]:
        """All of them, by name."""
        return list(self.session.scalars(select(SavedDesign).order_by(SavedDesign.name)))

    def get(self, design_id: str) -> SavedDesign:
        """One of them. Raises Missing."""
        row = self.session.get(SavedDesign, design_id)
        if row is None:
            raise Missing("design")
        return row

    def keep(
        self,
        name: str,
        kind: str,
        text: str,
        currency: str,
        price: Decimal | None,
        balloons: int,
        hours: float,
    ) -> SavedDesign:
        """Keep a piece; an older one of the same name gives way."""
        self.session.execute(delete(SavedDesign).where(SavedDesign.name == name[:120]))
        row = SavedDesign(
            name=name[:120],
            kind=kind,
            text=text,
            currency=currency,
            price=price,
            balloons=balloons,
            hours=hours,
            made=now(),
        )
        self.session.add(row)
        self.session.flush()
        return row

    def drop(self, design_id: str) -> None:
        """Forget one."""
        self.session.delete(self.get(design_id))


class Facts:
    """Small things the desk remembers about itself."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def get(self, name: str) -> str | None:
        """A fact, or None."""
        row = self.session.get(Fact, name)
        return None if row is None else row.value

    def put(self, name: str, value: str) -> None:
        """Remember it."""
        self.session.merge(Fact(name=name, value=value))
