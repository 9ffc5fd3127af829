"""Pages hear what another desk changed; streams end, are bounded, and leak nothing."""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from airwright.desk import news as news_module
from airwright.desk.news import Bus, TooManyListen, watched
from airwright.store.news import DOOR, News
from tests.desk.conftest import PASSWORD, House
from tests.desk.test_doors import running


def test_pages_say_what_they_show() -> None:
    assert watched("/").tables.startswith("jobs")
    assert watched("/jobs/abc23/offer").job == "abc23"
    assert watched("/sign-in").tables == watched("/c/x").tables == ""


def signed_in(address: str, login: str = "ada") -> httpx.Client:
    client = httpx.Client(base_url=address, timeout=30)
    page = client.get("sign-in").text
    token = page.split('name="desk-token" content="')[1].split('"')[0]
    answer = client.post("sign-in", data={"token": token, "login": login, "password": PASSWORD})
    assert answer.status_code == 303
    page = client.get("").text
    client.headers["x-desk-token"] = page.split('name="desk-token" content="')[1].split('"')[0]
    return client


def events(lines: Iterator[str]) -> Iterator[dict[str, object]]:
    kind = ""
    for line in lines:
        if line.startswith("event: "):
            kind = line[7:]
        elif line.startswith("data: "):
            yield {"kind": kind} | json.loads(line[6:])


def test_a_change_is_heard_by_another_browser(tmp_path: Path) -> None:
    with running(tmp_path) as address:
        one, other = signed_in(address), signed_in(address)
        with one.stream("GET", "api/news") as stream:
            assert stream.headers["content-type"].startswith("text/event-stream")
            told = events(stream.iter_lines())
            assert next(told)["kind"] == "hello"
            before = other.get("api/news/count").json()
            card = {"kind": "client", "name": "Saltmarsh Ferries"}
            assert other.post("contacts", data=card).status_code == 303
            heard = next(told)
            assert heard["tables"] == ["contacts"]
            after = other.get("api/news/count").json()
            assert after["process"] == before["process"]
            assert after["count"] > before["count"]


def test_a_stream_ends_when_somebody_is_signed_out(tmp_path: Path) -> None:
    with running(tmp_path) as address:
        phone, desk = signed_in(address), signed_in(address)
        with phone.stream("GET", "api/news") as stream:
            told = events(stream.iter_lines())
            assert next(told)["kind"] == "hello"
            assert desk.post("account/sessions/end-others").status_code == 303
            assert DOOR in next(told)["tables"]  # type: ignore[operator]
            assert list(told) == []  # the desk closed it
        assert phone.get("api/news").status_code == 401


def test_strangers_hear_nothing(guarded: House) -> None:
    for path in ("/api/news", "/api/news/count"):
        assert guarded.visitor().get(path).status_code == 401


def test_streams_are_bounded_and_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(news_module, "MOST", 2)
    monkeypatch.setattr(news_module, "ALIVE_EVERY_S", 0.05)
    bus = Bus()

    async def work() -> None:
        first, second, third = bus.listen(), bus.listen(), bus.listen()
        assert await anext(first) is None
        assert await anext(second) is None
        with pytest.raises(TooManyListen):
            await anext(third)
        threading.Thread(target=bus.tell, args=(News(frozenset({"jobs"})),)).start()
        while (found := await anext(first)) is None:
            pass
        assert found.tables == {"jobs"}
        await first.aclose()
        assert bus.listening() == 1
        for n in range(5000):  # whoever does not take its news costs no more than their sum
            bus.tell(News(frozenset({"jobs"}), frozenset({str(n % 7)})))
        while (found := await anext(second)) is None or not found.jobs:
            pass
        assert len(found.jobs) == 7
        bus.close()
        assert [found async for found in second if found] == []
        assert bus.listening() == 0

    asyncio.run(work())


def test_a_stream_ends_by_itself(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(news_module, "LASTS_S", 0.1)
    monkeypatch.setattr(news_module, "ALIVE_EVERY_S", 0.02)
    bus = Bus()

    async def work() -> list[News | None]:
        return [found async for found in bus.listen()]

    assert set(asyncio.run(work())) == {None}
    assert bus.listening() == 0
