"""Roles: crew never sees money, designers never see cost, on every route there is."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

import pytest
from fastapi.routing import APIRoute
from starlette.routing import BaseRoute

from airwright.store.actuals import Actuals
from airwright.store.contacts import Card, Contacts
from airwright.store.editions import Editions, FrozenFile, Yes
from airwright.store.feeds import Feeds
from airwright.store.files import Files
from airwright.store.invoices import Invoices
from airwright.store.jobs import Jobs
from airwright.store.links import Links
from airwright.store.mails import Mails, NewMail
from airwright.store.purchases import Purchases
from airwright.store.studio import StudioFile
from airwright.store.venue_photos import VenuePhotos
from tests import rooms
from tests.desk.conftest import PASSWORD, TODAY, House
from tests.desk.test_offers import KEPT
from tests.papers.invoices import invoices
from tests.store.invoice_writers import order
from tests.store.test_stock import order as sent_order

MONEY = re.compile(r"\$|USD|€|\b(price|cost|margin|deposit|budget)\b", re.IGNORECASE)
COST = re.compile(r"\b(cost|margin)\b", re.IGNORECASE)

OWNERS_WRITES = ("/studio", "/team", "/outcome", "/remove", "/mail", "/invoices", "/payments",
                 "/billing")  # fmt: skip


def routes_of(house: House) -> list[APIRoute]:
    def walk(routes: list[BaseRoute]) -> list[APIRoute]:
        found = []
        for route in routes:
            if isinstance(route, APIRoute):
                found.append(route)
            elif inner := getattr(getattr(route, "original_router", None), "routes", None):
                found += walk(inner)
        return found

    return walk(list(house.app.routes))


@pytest.fixture(scope="module")
def addresses(guarded: House) -> dict[str, str]:
    """Every GET address of the desk, filled in with things that exist."""
    job_id = guarded.job()
    with guarded.desk.database.writing() as session:
        files = Files(session)
        secret = files.put("client paper", "proposal.pdf", "application/pdf", b"$605.00",
                           job_id=job_id, holds_money=True)  # fmt: skip
        costs = files.put("owner paper", "shopping list.pdf", "application/pdf", b"cost $1",
                          job_id=job_id,
                          holds_money=True)  # fmt: skip
        files.put("crew paper", "load-list.pdf", "application/pdf", b"poles", job_id=job_id)
        Actuals(session).add(job_id, "spent", "parking", Decimal("4"), "Ada")
        Jobs(session).get(job_id).deposit_paid = None
        purchase = Purchases(session).place(sent_order(), "EUR", "access", "Ada").id
        edition = Editions(session).freeze(
            job_id, KEPT.read_bytes(),
            {"offer.pdf": FrozenFile("offer.pdf", "application/pdf", b"$1")},
            after=0, planned={}, version=1, valid_until=TODAY, actor="Ada",
        )  # fmt: skip
        Editions(session).accept(edition.id, Yes("Classic", "Mara"), TODAY)
        _, token = Links(session).make(job_id, 7, edition.id)
        content = invoices()["final"].content()
        new = replace(order("x"), content=lambda _: content, job_id=job_id)
        invoice = Invoices(session).issue(new, "Ada").name
        _, feed = Feeds(session).make("Telephone")
        letter = b"From: studio@example.org\r\nTo: mara@example.org\r\nSubject: Offer\r\n\r\n$1\r\n"
        new_mail = NewMail("offer", "mara@example.org", "Offer", "<1@x>", letter, job_id=job_id)
        mail = Mails(session).put(new_mail, "Ada").id
        contact = Contacts(session).put(Card("client", "Saltmarsh Ferries")).id
        photo = VenuePhotos(session).put("Pier hall", "door", "image/jpeg", rooms.photo()).id
    values = {"mail_id": mail, "feed_token": feed, "contact_id": contact, "key": "ours-0",
              "photo_id": photo,
              "job_id": job_id, "file_id": secret.id, "token": token, "name": "pear-86",
              "edition_id": edition.id,
              "purchase_id": purchase, "piece": "0", "step": "1",
              "shelf_key": "hardware"}  # fmt: skip
    made = {
        route.path: route.path.format(**{k: values.get(k, "x") for k in route.param_convertors})
        for route in routes_of(guarded)
        if "GET" in (route.methods or ())
    }
    at = "/jobs/{job_id}/editions/{edition_id}/"
    made[f"{at}{{name}}"] = f"/jobs/{job_id}/editions/{edition.id}/offer.pdf"
    made["/jobs/{job_id}/invoices/{number}/{kind}"] = f"/jobs/{job_id}/invoices/{invoice}/pdf"
    made["/money/{what}"] = "/money/invoices.csv"
    made["/stock/goods"] = "/stock/goods?item=11in%20round%20balloon&shade=coral"
    # made from what is to be bought just then: see test_stock_and_buying.py
    del made["/buying/orders/{mark}.{kind}"]
    made["costs"] = f"/jobs/{job_id}/papers/{costs.id}"
    return made


def test_the_routes_were_found(addresses: dict[str, str]) -> None:
    assert len(addresses) >= 22
    assert any(path.endswith("/offer") for path in addresses)


def test_crew_never_sees_money(guarded: House, addresses: dict[str, str]) -> None:
    crew, owner = guarded.entered("cy"), guarded.entered("ada")
    refused, seen = [], []
    for path, address in addresses.items():
        if path.startswith(("/c/", "/join/")) or path in (
            "/api/openapi.json",
            "/sign-in",
            "/sw.js",
            "/logo.png",
            "/api/news",  # a stream without an end: see test_news.py
        ):
            continue
        assert owner.get(address).status_code in (200, 204), address
        answer = crew.get(address)
        (seen if answer.status_code == 200 else refused).append(path)
        assert answer.status_code in (200, 303, 403, 404), address
        if path.endswith(".webp"):
            assert answer.content[:4] in (b"RIFF", b"")  # a picture; chance makes any sign in it
            continue
        body = answer.content if path.endswith(".zip") else answer.text.encode()
        # The crew notes what it paid itself; that asks for money and shows none.
        own = rb"Did it pay\?|<form [^>]*/bought\".*?</form>"
        text = re.sub(own, b"", body).decode("utf-8", "replace")
        hit = MONEY.search(text)
        assert hit is None, (path, text[max(0, hit.start() - 80) : hit.end() + 40])
    assert "/jobs/{job_id}/day" in seen
    assert "/" in seen
    assert "/jobs/{job_id}/papers" in seen
    assert "/jobs/{job_id}/offer" in refused


def test_the_check_above_can_fail(guarded: House, addresses: dict[str, str]) -> None:
    owner = guarded.entered("ada")
    assert MONEY.search(owner.get("/").text)
    assert MONEY.search(owner.get(addresses["/jobs/{job_id}/offer"]).text)


def test_crew_may_take_only_papers_without_money(guarded: House, addresses: dict[str, str]) -> None:
    import io
    import zipfile

    crew = guarded.entered("cy")
    data = crew.get(addresses["/jobs/{job_id}/papers/all.zip"]).content
    assert zipfile.ZipFile(io.BytesIO(data)).namelist() == ["load-list.pdf"]
    designer = guarded.entered("dan")
    data = designer.get(addresses["/jobs/{job_id}/papers/all.zip"]).content
    assert set(zipfile.ZipFile(io.BytesIO(data)).namelist()) == {"load-list.pdf", "proposal.pdf"}


def test_designers_see_prices_but_no_cost(guarded: House, addresses: dict[str, str]) -> None:
    designer = guarded.entered("dan")
    for path in ("/", "/jobs/{job_id}", "/jobs/{job_id}/offer", "/jobs/{job_id}/panel"):
        text = designer.get(addresses[path]).text
        assert not COST.search(text), path
    offer = designer.get(addresses["/jobs/{job_id}/offer"]).text
    assert re.search(r"\$[\d,]+\.\d\d", offer)
    assert designer.get(addresses["costs"]).status_code == 404
    job_id = addresses["/jobs/{job_id}"].rsplit("/", 1)[-1]
    told = designer.send(f"/api/jobs/{job_id}/state", {"have": []}).json()
    assert told["totals"]["price"]
    assert not COST.search(str({k: v for k, v in told.items() if k != "findings"}))
    owners = guarded.entered("ada").send(f"/api/jobs/{job_id}/state", {"have": []}).json()
    assert owners["totals"]["margin"]


def test_nobody_comes_in_without_entering(guarded: House, addresses: dict[str, str]) -> None:
    for path, address in addresses.items():
        if (
            path in ("/sign-in", "/logo.png", "/api/alive", "/sw.js")
            or path.startswith(("/c/", "/feed/", "/join/"))  # secret addresses
            or "openapi" in path
        ):
            continue
        answer = guarded.visitor().get(address)
        if path.startswith("/api/"):
            assert answer.status_code == 401, path
        else:
            assert (answer.status_code, answer.headers["location"]) == (303, "/sign-in"), path


def test_every_write_is_refused_to_those_below(guarded: House, addresses: dict[str, str]) -> None:
    crew = guarded.entered("cy")
    job_id = addresses["/jobs/{job_id}"].rsplit("/", 1)[-1]
    text = guarded.text_of(job_id)
    allowed = ("/tour", "/theme", "/language", "/leave", "/sign-in", "/c/{token}",
               "/jobs/{job_id}/day",
               "/join/{token}",  # a secret address
               "/account/password", "/account/sessions/{name}/end",  # one's own
               "/account/sessions/end-others", "/account/passkeys", "/account/passkeys/new",
               "/account/passkeys/{passkey_id}/remove",
               "/sign-in/passkey", "/sign-in/passkey/options",
               "/jobs/{job_id}/finished",
               "/jobs/{job_id}/finished/{file_id}/remove",  # only one's own
               "/jobs/{job_id}/hours", "/jobs/{job_id}/bought",  # what one worked and paid
               "/jobs/{job_id}/entries/{actual_id}/back",  # and that was wrong; only one's own
               "/api/jobs/{job_id}/ticks",
               # whoever packs, counts and unpacks is of the crew
               "/stock/lots/{lot_id}/count", "/stock/lots/{lot_id}/move",
               "/stock/lots/{lot_id}/condition", "/stock/helium/{cylinder_id}/reading",
               "/stock/jobs/{job_id}/take", "/stock/jobs/{job_id}/back",
               "/buying/purchases/{purchase_id}/receive")  # fmt: skip
    tried = 0
    for route in routes_of(guarded):
        if "POST" not in (route.methods or ()) or route.path in allowed:
            continue
        address = route.path.format(
            **{k: job_id if k == "job_id" else "x" for k in route.param_convertors}
        )
        if route.path.startswith("/api/"):
            body = {"have": []}
            if route.path.endswith("edits"):
                body = {"version": 1, "changes": [{"do": "drop", "piece": 0}]}  # type: ignore[dict-item]
            answer = crew.send(address, body)
        else:
            answer = crew.post(address)
        assert answer.status_code == 403, route.path
        tried += 1
    assert tried >= 20
    assert guarded.text_of(job_id) == text


def test_designers_may_not_touch_house_and_people(guarded: House) -> None:
    designer = guarded.entered("dan")
    for path in ("/studio", "/team", "/studio/logo", "/studio/studio.toml"):
        assert designer.post(path, {"text": "x"}).status_code == 403, path


def test_wrong_passwords_slow_the_door(guarded: House) -> None:
    visitor = guarded.visitor()
    visitor.get("/sign-in")
    statuses = [
        visitor.post("/sign-in", {"login": "slow", "password": "wrong"}).status_code
        for _ in range(6)
    ]
    assert statuses[:4] == [403] * 4
    assert 429 in statuses[4:]


def test_entering_changes_the_seat_and_leaving_ends_it(guarded: House) -> None:
    visitor = guarded.visitor()
    visitor.get("/sign-in")
    before = visitor.client.cookies["airwright_seat"]
    visitor.post("/sign-in", {"login": "ada", "password": PASSWORD})
    held = visitor.client.cookies["airwright_seat"]
    assert held != before
    visitor.get("/")
    visitor.post("/leave")
    visitor.client.cookies.set("airwright_seat", held)
    assert visitor.get("/").status_code == 303


def test_the_first_account_closes_an_open_desk(tmp_path: object) -> None:
    fresh = House(f"sqlite:///{tmp_path}/first.db")
    owner, stranger = fresh.visitor(), fresh.visitor()
    assert stranger.get("/").status_code == 200
    owner.get("/team")
    answer = owner.post("/team", {"login": "ada", "name": "Ada", "password": PASSWORD})
    assert answer.status_code == 303
    assert owner.get("/team").status_code == 200
    assert stranger.get("/").headers["location"] == "/sign-in"


def test_designers_see_prices_only_where_the_owner_allows(
    guarded: House, addresses: dict[str, str]
) -> None:
    hidden = 'format = "airwright-studio/1"\n[crew]\ndesigners_see_prices = "no"\n'
    with guarded.desk.database.writing() as session:
        before, version = StudioFile(session).get()
        StudioFile(session).put(hidden, version)
    try:
        designer = guarded.entered("dan")
        assert designer.get(addresses["/jobs/{job_id}/offer"]).status_code == 403
        assert designer.get(addresses["/jobs/{job_id}"]).status_code == 200
        job_id = addresses["/jobs/{job_id}"].rsplit("/", 1)[-1]
        told = designer.send(f"/api/jobs/{job_id}/state", {"have": []}).json()
        assert "price" not in told["totals"]
        assert guarded.entered("ada").get(addresses["/jobs/{job_id}/offer"]).status_code == 200
    finally:
        with guarded.desk.database.writing() as session:
            StudioFile(session).put(before, StudioFile(session).get()[1])
