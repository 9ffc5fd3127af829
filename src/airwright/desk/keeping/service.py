"""Backups, sizes and what could go, in words."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from airwright.desk.access import RequestContext
from airwright.desk.backups import EVERY, last_backup
from airwright.desk.keeping.contexts import BackupLine, HeapLine, KeepingPage
from airwright.job.keeping import Keeping
from airwright.language import Text, counted, message
from airwright.store.rotation import kept
from airwright.store.studio import Facts, StudioFile
from airwright.store.tidying import Share, Space, on_disk, spaces, would_free
from airwright.store.types import now

HEAPS: dict[str, Text] = {
    "archive": message("Closed jobs, into the archive"),
    "papers": message("Papers and photographs of settled jobs"),
    "links": message("Ended links of clients"),
    "tasks": message("Notes of finished work"),
    "log": message("Old entries of the log"),
    "doors": message("Used and ended invitations"),
    "copies": message("Copies from before an update"),
}

KINDS: dict[str, tuple[Text, tuple[str, ...]]] = {
    "jobs": (message("Jobs and all their versions"), ("jobs", "job_versions")),
    "papers": (message("Papers, photographs, logo"), ("files",)),
    "offers": (message("Offers as sent"), ("offer_editions", "edition_files")),
    "bills": (message("Invoices"), ("invoices", "invoice_files")),
    "mails": (message("Mail"), ("mails",)),
    "pictures": (message("Pictures of venues, thumbnails"), ("venue_photos", "thumbnails")),
}


def keeping_page(context: RequestContext) -> KeepingPage:
    """How things stand."""
    database, backups = context.desk.database, context.desk.backups
    with context.reading() as session:
        rules = rules_of(context, StudioFile(session).get()[0])
        last = last_backup(Facts(session))
        taken = spaces(session)
    found = kept(backups.folder) if backups is not None else []
    age = None if not found else now() - found[0].made
    return KeepingPage(
        settings_tab="keeping",
        folder="" if backups is None else str(backups.folder),
        age=None if age is None else aged(age),
        late=age is not None and age > 2 * EVERY,
        problem=(last.what, last.mend) if last is not None and last.what else None,
        backups=tuple(BackupLine(one.name, one.made, sized(one.size)) for one in found),
        heaps=tuple(_heap(share) for share in would_free(database, rules, now())),
        spaces=tuple(_kinds(taken)),
        whole=sized(on_disk(database)),
    )


def rules_of(context: RequestContext, text: str) -> Keeping:
    """The studio's rules."""
    return context.desk.builder.studio(text).keeping


def aged(age: dt.timedelta) -> Text:
    """How long ago, in words."""
    minutes = max(0, round(age.total_seconds() / 60))
    if minutes < 90:
        return counted("{n} minute ago", "{n} minutes ago", minutes)
    if minutes < 60 * 36:
        return counted("{n} hour ago", "{n} hours ago", round(minutes / 60))
    return counted("{n} day ago", "{n} days ago", round(minutes / 1440))


def sized(size: int) -> str:
    """Bytes as people read them (SI: 1 MB = 10^6 B)."""
    for unit, scale in (("GB", 1e9), ("MB", 1e6), ("kB", 1e3)):
        if size >= scale:
            return f"{size / scale:.3g} {unit}"
    return f"{size} B"


def _heap(share: Share) -> HeapLine:
    return HeapLine(HEAPS[share.heap], share.count, sized(share.size) if share.size else "")


def _kinds(taken: Iterable[Space]) -> Iterable[HeapLine]:
    by_table = {space.table: space for space in taken}
    for what, tables in KINDS.values():
        size = sum(by_table[name].size for name in tables)
        yield HeapLine(what, by_table[tables[0]].rows, sized(size))
