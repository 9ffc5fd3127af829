"""Files made for jobs and pictures sent in; kept in the database, so that one backup has all."""

from __future__ import annotations

from typing import Final

from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from airwright.store.errors import Missing
from airwright.store.tables import StoredFile
from airwright.store.types import now

FINISHED: Final = "finished photo"
"""The use of a photograph of decor as it stood; such stand with the day, not among the papers."""


class Files:
    """Stored files, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def put(
        self,
        use: str,
        name: str,
        media: str,
        content: bytes,
        *,
        job_id: str | None = None,
        version: int | None = None,
        holds_money: bool = False,
    ) -> StoredFile:
        """Keep a file; an older one of the same job, use and name gives way."""
        self.session.execute(
            delete(StoredFile).where(
                StoredFile.use == use, StoredFile.name == name[:200], StoredFile.job_id == job_id
            )
        )
        row = StoredFile(
            job_id=job_id,
            use=use,
            name=name[:200],
            media=media,
            size=len(content),
            version=version,
            holds_money=holds_money,
            content=content,
            made=now(),
        )
        self.session.add(row)
        self.session.flush()
        return row

    def of_job(self, job_id: str, use: str | None = None) -> list[StoredFile]:
        """A job's files by name, without their contents."""
        query = select(StoredFile).where(StoredFile.job_id == job_id)
        if use is not None:
            query = query.where(StoredFile.use == use)
        return list(self.session.scalars(query.order_by(StoredFile.name)))

    def get(self, file_id: str, job_id: str | None = None) -> StoredFile:
        """One file of a job (or of the studio). Raises Missing."""
        row = self.session.get(StoredFile, file_id)
        if row is None or row.job_id != job_id:
            raise Missing("file")
        return row

    def remove(self, row: StoredFile) -> None:
        """Throw a file away."""
        self.session.delete(row)

    def latest(self, use: str) -> StoredFile | None:
        """The studio's newest file of a use: its logo."""
        query = select(StoredFile).where(StoredFile.use == use, StoredFile.job_id.is_(None))
        return self.session.scalar(query.order_by(StoredFile.made.desc()).limit(1))
