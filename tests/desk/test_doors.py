"""Doors that close: names and proxies, HTTPS, half-open connections, files, several starts."""

from __future__ import annotations

import os
import socket
import ssl
import stat
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import httpx
import pytest

from airwright.desk import DeskSettings, create_app, patience
from airwright.desk.own_authority import certificate_for
from airwright.desk.serving import NotOpen, serve
from airwright.desk.tasks.task_runner import KIND, be_nice
from airwright.store.jobs import Jobs
from airwright.store.people import People, hashed
from tests.desk.conftest import PASSWORD, House, address_for


@pytest.mark.parametrize(
    "reach", [{"names": ("shop.example",)}, {"proxies": ("127.0.0.1",)}, {"host": "0.0.0.0"}]
)
def test_whoever_others_can_reach_needs_accounts(tmp_path: Path, reach: dict[str, object]) -> None:
    settings = DeskSettings(folder=tmp_path, port=0, open_browser=False, sample=False, **reach)  # type: ignore[arg-type]
    with pytest.raises(NotOpen, match="accounts"):
        serve(settings)


@contextmanager
def running(folder: Path, **more: object) -> Iterator[str]:
    """A desk with an account at a port of its own; its address."""
    told: list[str] = []
    settings = DeskSettings(
        folder=folder,
        port=0,
        open_browser=False,
        sample=False,
        workers=0,
        **more,  # type: ignore[arg-type]
    )
    app = create_app(settings)
    with app.state.desk.database.writing() as session:
        if not People(session).any():
            People(session).add("ada", "Ada", "owner", hashed(PASSWORD))
    app.state.desk.database.close()
    threading.Thread(target=serve, args=(settings, told.append), daemon=True).start()
    for _ in range(600):
        if told:
            break
        time.sleep(0.05)
    yield told[0]


def test_a_half_sent_request_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(patience, "FIRST_REQUEST_S", 0.5)
    with running(tmp_path) as address:
        port = int(address.rstrip("/").rsplit(":", 1)[1])
        idle = [socket.create_connection(("127.0.0.1", port)) for _ in range(20)]
        for line in idle[:10]:
            line.sendall(b"GET / HTTP/1.1\r\nHost: 127.0")
        for line in idle:
            line.settimeout(20)
            assert line.recv(10) == b""  # closed by the desk
        assert httpx.get(address, follow_redirects=False).status_code in (200, 303)


def test_only_a_named_proxy_is_believed(tmp_path: Path) -> None:
    forwarded = {"x-forwarded-proto": "https", "x-forwarded-for": "203.0.113.7"}
    with running(tmp_path / "none") as address:
        answer = httpx.get(f"{address}sign-in", headers=forwarded)
        assert "Secure" not in answer.headers["set-cookie"]
        assert "strict-transport-security" not in answer.headers
    with running(tmp_path / "one", proxies=("127.0.0.1",)) as address:
        answer = httpx.get(f"{address}sign-in", headers=forwarded)
        assert "Secure" in answer.headers["set-cookie"]
        assert "max-age" in answer.headers["strict-transport-security"]


def test_https_by_the_studios_own_authority(tmp_path: Path) -> None:
    made = certificate_for(tmp_path, "127.0.0.1", ("desk.home",))
    again = certificate_for(tmp_path, "127.0.0.1", ())
    assert made.authority.read_bytes() == again.authority.read_bytes()  # made once
    for secret in (made.key, tmp_path / "authority-key.pem"):
        assert stat.S_IMODE(secret.stat().st_mode) == 0o600
    trusting = ssl.create_default_context(cafile=str(made.authority))
    with running(tmp_path, certificate=(made.certificate, made.key)) as address:
        assert address.startswith("https://")
        answer = httpx.get(f"{address}sign-in", verify=trusting)
        assert answer.status_code == 200
        assert "Secure" in answer.headers["set-cookie"]
        with pytest.raises(httpx.ConnectError):
            httpx.get(address, verify=ssl.create_default_context())


def test_only_the_person_at_this_machine_may_read_the_file(tmp_path: Path) -> None:
    file = tmp_path / "desk.db"
    file.touch(mode=0o644)
    app = create_app(DeskSettings(folder=tmp_path, workers=0, sample=False))
    app.state.desk.database.close()
    for path in tmp_path.iterdir():
        assert stat.S_IMODE(path.stat().st_mode) == 0o600, path.name


def test_the_description_of_the_api_is_for_those_who_are_signed_in(guarded: House) -> None:
    assert guarded.visitor().get("/api/openapi.json").status_code in (303, 401)
    told = guarded.entered("cy").get("/api/openapi.json")
    assert told.status_code == 200
    assert "/api/jobs/{job_id}/edits" in told.json()["paths"]


@pytest.mark.postgres
def test_desks_started_together_begin_with_one_example(
    tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    address = address_for("postgresql", tmp_path, request)
    apps: list[object] = []
    problems: list[Exception] = []

    def start() -> None:
        try:
            apps.append(create_app(DeskSettings(database=address, workers=0)))
        except Exception as problem:  # noqa: BLE001 - told by the test below
            problems.append(problem)

    threads = [threading.Thread(target=start) for _ in range(5)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert problems == []
    desks = [app.state.desk for app in apps]  # type: ignore[attr-defined]
    with desks[0].database.reading() as session:
        assert sum(Jobs(session).count_by_stage().values()) == 1
    assert len({desk.key for desk in desks}) == 1
    for desk in desks:
        desk.database.close()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs a process to try it in")
def test_background_work_lets_the_desk_go_first() -> None:
    child = os.fork()
    if child == 0:
        be_nice()
        os._exit(0 if os.nice(0) == KIND else 1)
    assert os.waitpid(child, 0)[1] == 0
