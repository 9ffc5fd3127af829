"""A desk in this process, on both databases, and browsers without a window to visit it."""

from __future__ import annotations

import datetime as dt
import math
import re
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy
from bs4 import BeautifulSoup
from starlette.testclient import TestClient

from airwright.desk import DeskSettings, create_app
from airwright.desk.seed import demo_text
from airwright.store.jobs import Head, Jobs
from airwright.store.people import People, Role, hashed
from tests.services import free_port

TODAY = dt.date(2027, 3, 1)
PASSWORD = "correct pony battery"
BOTH = ["sqlite", pytest.param("postgresql", marks=pytest.mark.postgres)]


class Visitor:
    """A browser: keeps its cookie, and sends the token of the last page along."""

    def __init__(self, app: Any) -> None:
        self.client = TestClient(
            app,
            base_url="http://127.0.0.1:8471",
            follow_redirects=False,
            raise_server_exceptions=False,
        )
        self.token = ""

    def get(self, path: str, **more: Any) -> Any:
        answer = self.client.get(path, **more)
        found = re.search(r'name="desk-token" content="([0-9a-f]+)"', answer.text)
        if found:
            self.token = found[1]
        return answer

    def page(self, path: str) -> BeautifulSoup:
        answer = self.get(path)
        assert answer.status_code == 200, answer.text[:400]
        return BeautifulSoup(answer.text, "html.parser")

    def post(self, path: str, data: dict[str, Any] | None = None, **more: Any) -> Any:
        if not self.token:
            self.get("/sign-in")
        return self.client.post(path, data={"token": self.token, **(data or {})}, **more)

    def send(self, path: str, body: Any) -> Any:
        if not self.token:
            self.get("/sign-in")
        return self.client.post(path, json=body, headers={"x-desk-token": self.token})


class House:
    """A desk and what tests do with it."""

    def __init__(self, address: str, *, sample: bool = True) -> None:
        self.app = create_app(
            DeskSettings(database=address, workers=0, sample=sample, today=lambda: TODAY)
        )
        self.desk = self.app.state.desk
        self.desk.limits.proving_s = math.inf  # a busy machine shall not change what is answered

    def visitor(self) -> Visitor:
        return Visitor(self.app)

    def job(self, text: str | None = None) -> str:
        text = demo_text() if text is None else text
        evaluation = self.desk.builder.evaluate(text, "")
        with self.desk.database.writing() as session:
            row = Jobs(session).add(text, evaluation.head(), "Ada", stage="drawn")
            Jobs(session).summarise(row.id, 1, evaluation.summary())
            return row.id

    def text_of(self, job_id: str) -> str:
        with self.desk.database.reading() as session:
            return Jobs(session).get(job_id).text

    def account(self, login: str, role: Role) -> None:
        with self.desk.database.writing() as session:
            People(session).add(login, login.title(), role, hashed(PASSWORD))

    def entered(self, login: str) -> Visitor:
        visitor = self.visitor()
        visitor.get("/sign-in")
        answer = visitor.post("/sign-in", {"login": login, "password": PASSWORD})
        assert answer.status_code == 303, answer.text[:300]
        visitor.get("/")
        return visitor


def address_for(kind: str, folder: Path, request: pytest.FixtureRequest) -> str:
    """The address of a new, empty database."""
    if kind == "sqlite":
        return f"sqlite:///{folder / 'desk.db'}"
    server = request.getfixturevalue("postgres_url")
    name = f"test_{uuid.uuid4().hex[:12]}"
    admin = sqlalchemy.create_engine(server, isolation_level="AUTOCOMMIT")
    with admin.connect() as connection:
        connection.execute(sqlalchemy.text(f"CREATE DATABASE {name}"))
    admin.dispose()
    return str(server.rsplit("/", 1)[0] + f"/{name}")


@pytest.fixture(scope="module", params=BOTH)
def house(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[House]:
    """An open desk (no accounts), shared by one file's tests."""
    made = House(address_for(request.param, tmp_path_factory.mktemp("desk"), request))
    yield made
    made.desk.database.close()


@pytest.fixture(scope="module")
def guarded(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A desk with accounts: ada the owner, dan the designer, cy of the crew."""
    made = House(f"sqlite:///{tmp_path_factory.mktemp('guarded') / 'desk.db'}")
    made.account("ada", "owner")
    made.account("dan", "designer")
    made.account("cy", "crew")
    yield made
    made.desk.database.close()


@pytest.fixture(scope="module")
def bare(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """An open desk without jobs or kept designs: new settings are tried on nothing."""
    made = House(f"sqlite:///{tmp_path_factory.mktemp('bare') / 'desk.db'}", sample=False)
    yield made
    made.desk.database.close()


@pytest.fixture
def inbox(house: House) -> Iterator[Any]:
    """A mail server, set as the studio's."""
    from aiosmtpd.controller import Controller

    from tests.desk.mail_server import Inbox, settings

    handler, port = Inbox(), free_port()
    controller = Controller(handler, hostname="127.0.0.1", port=port)
    controller.start()
    settings(house, port)
    yield handler
    controller.stop()


__all__ = ["Head", "House", "Visitor"]
