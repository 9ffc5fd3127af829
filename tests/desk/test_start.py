"""Starting the desk and its workers where that cannot work: one plain message with a cure, at
once, and no traceback; and Ctrl-C ends them."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from typer.testing import CliRunner

from airwright.cli.app import app
from airwright.store import open_database

DEAD = "postgresql+psycopg://nobody@127.0.0.1:1/none"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    return tmp_path


@pytest.fixture
def taken() -> Iterator[int]:
    """A port somebody listens on."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        yield int(other.getsockname()[1])


def refused(*words: str) -> str:
    """What a command says that must refuse: on stderr, in few lines, with exit code 2."""
    done = CliRunner().invoke(app, [*words])
    assert done.exit_code == 2, done.output
    assert done.exception is None or isinstance(done.exception, SystemExit)
    assert "Traceback" not in done.output
    assert done.stdout == ""
    said = done.stderr.strip().splitlines()
    assert len(said) == 2, said  # what, and how to mend it
    return " ".join(line.strip() for line in said)


@pytest.mark.parametrize("command", [["desk", "--no-browser", "--port", "0"], ["worker"]])
@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("postgres//nonsense", "no database address"),
        ("", "no database address"),
        ("postgresql+psycopg://u@host:port/x", "no database address"),
        ("mysql://u@h/x", '"mysql" is no database'),
        (DEAD, "does not open"),
        ("postgresql+psycopg://u@nowhere.invalid/x", "does not open"),
    ],
)
def test_a_wrong_database(home: Path, command: list[str], address: str, says: str) -> None:
    assert says in refused(*command, "--database", address)


@pytest.mark.parametrize("where", ["/proc/desk.db", "/proc/none/desk.db"])
@pytest.mark.skipif(sys.platform != "linux", reason="needs a folder closed to everybody, root too")
def test_a_folder_nobody_may_write_to(home: Path, where: str) -> None:
    said = refused("desk", "--no-browser", "--port", "0", "--database", f"sqlite:///{where}")
    assert "where you may write" in said


def test_a_data_folder_that_is_a_file(home: Path) -> None:
    (home / "data").write_text("not a folder")
    assert "where you may write" in refused("desk", "--no-browser", "--port", "0")


def test_a_worker_without_a_desk(home: Path) -> None:
    assert "Start `airwright desk` once" in refused("worker")


@pytest.mark.parametrize(
    ("host", "says"),
    [
        ("nowhere.invalid", "address of this very machine"),
        ("0.0.0.0", "make accounts"),
        ("", "make accounts"),
    ],
)
def test_a_host_that_will_not_do(home: Path, host: str, says: str) -> None:
    assert says in refused("desk", "--no-browser", "--port", "0", "--host", host)


def test_a_port_that_is_taken(home: Path, taken: int) -> None:
    assert "Use another port" in refused("desk", "--no-browser", "--port", str(taken))


def hears_ctrl_c() -> None:
    """A shell that starts the tests in the background makes its children deaf to Ctrl-C."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="signals differ")
@pytest.mark.parametrize(
    ("command", "code"), [(["desk", "--no-browser", "--port", "0"], 130), (["worker"], 0)]
)
def test_ctrl_c_ends_it(home: Path, command: list[str], code: int) -> None:
    address = f"sqlite:///{home / 'desk.db'}"
    open_database(address).close()
    process = subprocess.Popen(
        [sys.executable, "-m", "airwright", *command, "--database", address],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONUNBUFFERED": "1"},
        preexec_fn=hears_ctrl_c,
    )
    try:
        assert process.stdout is not None
        said_first = process.stdout.readline()
        assert "Ctrl-C ends" in said_first
        if command[0] == "desk":  # who asks before it serves waits until it does
            address = said_first.split("open at ")[1].split()[0]
            assert httpx.get(address, follow_redirects=False, timeout=60).status_code < 500
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=30)
    finally:
        process.kill()
    assert process.returncode == code
    assert "Traceback" not in said
