"""What the desk is started with."""

from __future__ import annotations

import datetime as dt
import ipaddress
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path


def _today() -> dt.date:
    return dt.datetime.now().astimezone().date()


@dataclass(frozen=True, slots=True)
class DeskSettings:
    """How and where the desk runs.

    Attributes:
        database: address of the database; None for the studio's own file.
        host: where it listens; anything but loopback needs accounts.
        port: 0 picks a free one.
        names: further host names under which the desk may be reached.
        proxies: addresses of reverse proxies whose word about visitors is taken.
        certificate: certificate and key (PEM files) for HTTPS; None without.
        open_browser: whether to open it in the browser at start.
        workers: background workers in this process; 0 for none.
        sample: whether an empty desk begins with the demo job.
        today: the studio's date, for lists and cautions.
        backups: folder for backups made by themselves; None for none.
        folder: where the studio's own database file lies; None for the user's data folder.
    """

    database: str | None = None
    host: str = "127.0.0.1"
    port: int = 8471
    names: tuple[str, ...] = ()
    proxies: tuple[str, ...] = ()
    certificate: tuple[Path, Path] | None = None
    open_browser: bool = True
    workers: int = 1
    sample: bool = True
    backups: Path | None = None
    today: Callable[[], dt.date] = field(default=_today)
    folder: Path | None = None

    @property
    def private(self) -> bool:
        """Whether only people at this machine can come: no network, no name, no proxy."""
        return self.on_loopback and not self.names and not self.proxies

    @property
    def on_loopback(self) -> bool:
        """Whether nobody but this machine can reach it."""
        return is_loopback(self.host)


def is_loopback(host: str) -> bool:
    """Whether a host name or address means this machine alone."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def is_address(host: str) -> bool:
    """Whether a host is a bare address rather than a name."""
    try:
        ipaddress.ip_address(host)
    except ValueError:
        return False
    return True
