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


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """SQLAlchemy address of an empty PostgreSQL database that lives as long as the session."""
    programs = find_postgres()
    if programs is None:
        pytest.skip("no PostgreSQL server on this machine")
    # The server refuses to run as root, and root's folders are closed to its own user.
    as_server = ["runuser", "-u", "postgres", "--"] if os.geteuid() == 0 else []
    home = Path(tempfile.mkdtemp(prefix="airwright-pg-"))
    if as_server:
        shutil.chown(home, "postgres")
    data, port = home / "data", free_port()
    settings = f"-c listen_addresses=127.0.0.1 -p {port} -k {home} -c fsync=off"

    def run(*command: str) -> None:
        done = subprocess.run(
            [*as_server, *command],
            cwd=home, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE, text=True, timeout=120, check=False,
        )  # fmt: skip
        if done.returncode:
            raise RuntimeError(f"{command[0]} failed: {done.stderr.strip()}")

    pg_ctl = str(programs / "pg_ctl")
    try:
        run(str(programs / "initdb"), "-D", str(data), "-U", "airwright", "-A", "trust",
            "--encoding=UTF8", "--locale=C.UTF-8", "--no-sync")  # fmt: skip
        run(pg_ctl, "-D", str(data), "-w", "-l", str(home / "log"), "-o", settings, "start")
        try:
            yield f"postgresql+psycopg://airwright@127.0.0.1:{port}/postgres"
        finally:
            run(pg_ctl, "-D", str(data), "-w", "-m", "immediate", "stop")
    finally:
        shutil.rmtree(home, ignore_errors=True)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])
