"""News for browsers: what changed at any desk, as it is told, to whoever has a page open."""

from __future__ import annotations

import asyncio
import re
import threading
import time
from collections.abc import AsyncGenerator
from dataclasses import dataclass
from typing import Final

from airwright.store.news import DOOR, News
from airwright.store.types import new_id

MOST: Final = 200
"""Pages that hear news from one process at a time; more of them ask now and then instead."""

LASTS_S: Final = 600.0
"""A stream ends after this long and is asked for anew: by somebody still signed in [s]."""

ALIVE_EVERY_S: Final = 15.0
"""A stream without news says this often that it is there, or proxies would cut it [s]."""

SHELF = "stock_lots stock_movements purchases purchase_lines"

WATCHED: tuple[tuple[str, str], ...] = (
    (r"/", "jobs client_links offer_remarks acceptances"),
    (r"/calendar", "jobs"),
    (r"/contacts(/(?!new$).*)?", "contacts jobs"),
    (r"/stock(/jobs|/goods)?", f"{SHELF} jobs"),
    (r"/buying(/.*)?", f"{SHELF} jobs suppliers"),
    (r"/money", "invoices payments"),
    (r"/season", "jobs actuals payments"),
    (r"/studio(/.*)?", "studio saved_designs"),
    (r"/team(/log)?", f"people invitations {DOOR}"),
    (r"/account", DOOR),
    (r"/mail", "mails"),
)
"""Addresses and the tables they show; a page of a job shows what belongs to that job."""

OF_JOB = re.compile(r"/jobs/([a-z0-9]{1,16})(/.*)?")


@dataclass(frozen=True, slots=True)
class Watched:
    """What a page wants to hear of."""

    tables: str
    job: str


def watched(path: str) -> Watched:
    """What the page at an address shows."""
    if path.endswith("/papers"):  # it asks for its own tasks, and a paper may be open in it
        return Watched("", "")
    job = OF_JOB.fullmatch(path)
    if job is not None:
        return Watched("", job[1])
    found = next((tables for rule, tables in WATCHED if re.fullmatch(rule, path)), "")
    return Watched(found, "")


class TooManyListen(Exception):
    """No more streams from this process; ask now and then instead."""


class _Ear:
    """One page that listens; news wait here, joined, until it takes them."""

    def __init__(self, loop: asyncio.AbstractEventLoop) -> None:
        self.loop = loop
        self.news = News()
        self.woken = asyncio.Event()


class Bus:
    """Carries news from any thread to all pages that listen. Holds nothing for absent ones."""

    def __init__(self) -> None:
        self._ears: set[_Ear] = set()
        self._lock = threading.Lock()
        self._closed = False
        self.process = new_id()
        self.count = 0
        """News told so far; with `process`, what pages without a stream compare."""

    def tell(self, news: News) -> None:
        """Pass news on; from any thread, never waits."""
        with self._lock:
            self.count += 1
            for ear in self._ears:
                self._wake(ear, news)

    def close(self) -> None:
        """End all streams, so that the server may stop."""
        with self._lock:
            self._closed = True
            for ear in self._ears:
                self._wake(ear, News())

    def listening(self) -> int:
        """How many pages listen."""
        return len(self._ears)

    async def listen(self) -> AsyncGenerator[News | None, None]:
        """News as they come, None as a sign of life; ends by itself. Raises TooManyListen."""
        ear = _Ear(asyncio.get_running_loop())
        with self._lock:
            if len(self._ears) >= MOST:
                raise TooManyListen
            self._ears.add(ear)
        ends = time.monotonic() + LASTS_S
        try:
            yield None
            while not self._closed and time.monotonic() < ends:
                try:
                    await asyncio.wait_for(ear.woken.wait(), ALIVE_EVERY_S)
                except TimeoutError:
                    yield None
                    continue
                with self._lock:
                    news, ear.news = ear.news, News()
                    ear.woken.clear()
                if news:
                    yield news
                if DOOR in news.tables or news.everything:
                    return  # whoever was signed out does not get in again
        finally:
            with self._lock:
                self._ears.discard(ear)

    def _wake(self, ear: _Ear, news: News) -> None:
        ear.news = ear.news | news
        if not ear.loop.is_closed():
            ear.loop.call_soon_threadsafe(ear.woken.set)
