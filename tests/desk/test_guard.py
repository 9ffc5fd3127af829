"""The door: names, origins, tokens, headers, sizes."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwright.desk import DeskSettings
from airwright.desk.config import is_loopback
from airwright.desk.serving import NotOpen, serve
from tests.desk.conftest import House


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1.evil.example", "", "localhost.", "[", "10.0.0.1"]
)
def test_other_names_are_refused(house: House, host: str) -> None:
    answer = house.visitor().client.get("/", headers={"host": host})
    assert answer.status_code == 421


@pytest.mark.parametrize("host", ["127.0.0.1:8471", "localhost:1", "[::1]:8471", "LOCALHOST"])
def test_own_names_are_known(house: House, host: str) -> None:
    assert house.visitor().client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_writes_from_other_pages_are_refused(house: House, headers: dict[str, str]) -> None:
    visitor = house.visitor()
    visitor.get("/")
    answer = visitor.post("/tour", headers=headers)
    assert answer.status_code == 403


def test_writes_need_the_token_of_this_browser(house: House) -> None:
    visitor, other = house.visitor(), house.visitor()
    visitor.get("/")
    other.get("/")
    assert visitor.token != other.token
    for token in ("", "0" * 64, other.token, "é"):
        assert visitor.client.post("/tour", data={"token": token}).status_code == 403
    assert visitor.client.post("/tour").status_code == 403
    job_id = house.job()
    body = {"version": 1, "changes": [{"do": "mirror", "piece": 0}]}
    assert visitor.client.post(f"/api/jobs/{job_id}/edits", json=body).status_code == 403
    assert visitor.post("/tour").status_code == 303


def test_every_kind_of_answer_keeps_the_page_to_itself(house: House) -> None:
    visitor = house.visitor()
    for path in ("/", "/nothing", "/static/icon.svg", "/api/alive", "/c/x", "/sign-in"):
        headers = visitor.get(path).headers
        policy = headers["content-security-policy"]
        assert "default-src 'none'" in policy
        # our own reader of bar codes is WebAssembly; scripts and styles in a page stay forbidden
        assert "unsafe" not in policy.replace("'wasm-unsafe-eval'", "")
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["x-frame-options"] == "SAMEORIGIN"
    refused = visitor.client.get("/", headers={"host": "evil.example"})
    assert "content-security-policy" in refused.headers


def test_a_mishap_keeps_its_headers_and_tells_nothing(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("secret detail")

    monkeypatch.setattr("airwright.store.jobs.Jobs.count_by_stage", broken)
    answer = house.visitor().get("/")
    assert answer.status_code == 500
    assert "secret detail" not in answer.text
    assert "content-security-policy" in answer.headers


def test_the_cookie_is_out_of_reach_of_scripts(house: House) -> None:
    cookie = house.visitor().get("/").headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie


def test_what_is_too_large_is_refused(house: House) -> None:
    visitor = house.visitor()
    visitor.get("/")
    answer = visitor.client.post("/tour", content=b"x", headers={"content-length": "99999999"})
    assert answer.status_code == 413
    long = "x" * 13_000_000
    assert visitor.post("/enquiry", {"note": long}).status_code == 413


@pytest.mark.parametrize("path", ["//evil.example", "/\\evil.example", "https://evil.example", ""])
def test_the_way_back_stays_here(house: House, path: str) -> None:
    visitor = house.visitor()
    visitor.get("/")
    answer = visitor.post("/theme", {"theme": "dark", "back": path})
    assert answer.headers["location"] == "/"


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.1"])
def test_a_network_needs_accounts(tmp_path: Path, host: str) -> None:
    if host != "0.0.0.0":
        with pytest.raises(NotOpen):
            serve(DeskSettings(folder=tmp_path, host=host, port=0, open_browser=False))
        return
    with pytest.raises(NotOpen, match="accounts"):
        serve(DeskSettings(folder=tmp_path, host=host, port=0, open_browser=False, sample=False))


def test_a_taken_port_is_said_plainly(tmp_path: Path) -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        with pytest.raises(NotOpen, match="cannot listen"):
            serve(DeskSettings(folder=tmp_path, port=taken.getsockname()[1], open_browser=False))


def test_loopback_is_recognised() -> None:
    assert all(map(is_loopback, ["127.0.0.1", "localhost", "::1", "127.8.8.8"]))
    assert not any(map(is_loopback, ["0.0.0.0", "10.0.0.1", "example.org", ""]))


def test_on_a_network_addresses_are_known_but_other_names_are_not() -> None:
    from airwright.desk.guard import Guard

    guard = Guard(lambda *_: None, DeskSettings(host="0.0.0.0", names=("desk.example",)))  # type: ignore[arg-type,return-value]
    assert guard._is_ours("192.168.1.5:8471")
    assert guard._is_ours("desk.example:8471")
    assert not guard._is_ours("evil.example:8471")
    alone = Guard(lambda *_: None, DeskSettings())  # type: ignore[arg-type,return-value]
    assert not alone._is_ours("192.168.1.5:8471")
