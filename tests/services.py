"""Helpers from outside that some tests use: a browser, a database server.

A test marked ``browser`` or ``postgres`` skips, and says why, where the program
is not on the machine.  ``make test`` installs it where it can.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import pytest

#: Start-up options under which Debian's chromium neither needs a user nor phones anyone.
CHROMIUM_ARGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium() -> str | None:
    return shutil.which("chromium") or shutil.which("chromium-browser")


def find_postgres() -> Path | None:
    """The folder with initdb and pg_ctl, newest server first."""
    found = sorted(
        Path("/usr/lib/postgresql").glob("*/bin/initdb"),
        key=lambda path: float(path.parts[-3]),
        reverse=True,
    )
    if found:
        return found[0].parent
    on_path = shutil.which("initdb")
    return Path(on_path).resolve().parent if on_path else None


def skip_where_missing(items: list[pytest.Item]) -> None:
    reasons = {}
    if find_chromium() is None:
        reasons["browser"] = "chromium is not on this machine (Debian: apt-get install chromium)"
    if find_postgres() is None:
        reasons["postgres"] = "no PostgreSQL server here (Debian: apt-get install postgresql)"
    if not reasons:
        return
    for item in items:
        for marker, reason in reasons.items():
            if item.get_closest_marker(marker):
                item.add_marker(pytest.mark.skip(reason=reason))


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of the browser; give it to playwright as executable_path with CHROMIUM_ARGS."""
    path = find_chromium()
    if path is None:
        pytest.skip("chromium is not on this machine")
    return path


class PostgresServer:
    """A PostgreSQL server of our own, in a folder of its own; `home` is there already.

    Raises:
        RuntimeError: one of the server's programs failed; its own words say why.
    """

    def __init__(self, programs: Path, home: Path) -> None:
        # The server refuses to run as root, and root's folders are closed to its own user.
        self._as_server = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
        if self._as_server:
            shutil.chown(home, "postgres")
        self._home, self._data, self._port = home, home / "data", free_port()
        self._pg_ctl = str(programs / "pg_ctl")
        self._run(
            str(programs / "initdb"), "-D", str(self._data), "-U", "airwright", "-A", "trust",
            "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync",
        )  # fmt: skip

    @property
    def url(self) -> str:
        """SQLAlchemy address of an empty database."""
        return f"postgresql+psycopg://airwright@127.0.0.1:{self._port}/postgres"

    def start(self) -> None:
        """Start, and wait until it answers."""
        settings = f"-c listen_addresses=127.0.0.1 -p {self._port} -k {self._home} -c fsync=off"
        log = str(self._home / "log")
        self._ctl("-l", log, "-o", settings, "start")

    def stop(self) -> None:
        """Stop at once, as if it had crashed."""
        self._ctl("-m", "immediate", "stop")

    def _ctl(self, *words: str) -> None:
        self._run(self._pg_ctl, "-D", str(self._data), "-w", *words)

    def _run(self, *command: str) -> None:
        done = subprocess.run(
            [*self._as_server, *command],
            cwd=self._home, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE, text=True, timeout=120, check=False,
        )  # fmt: skip
        if done.returncode:
            raise RuntimeError(f"{command[0]} failed: {done.stderr.strip()}")


@contextmanager
def postgres_server() -> Iterator[PostgresServer]:
    """A running server, gone with everything it held when the context ends."""
    programs = find_postgres()
    if programs is None:
        pytest.skip("no PostgreSQL server on this machine")
    home = Path(tempfile.mkdtemp(prefix="airwright-pg-"))
    try:
        server = PostgresServer(programs, home)
        server.start()
        try:
            yield server
        finally:
            with suppress(RuntimeError):  # a test may have stopped it
                server.stop()
    finally:
        shutil.rmtree(home, ignore_errors=True)


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """SQLAlchemy address of an empty PostgreSQL database that lives as long as the session."""
    with postgres_server() as server:
        yield server.url


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
