"""Who is asking, what they may see and do, and the transaction their request runs in."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from typing import Annotated, Any

from fastapi import Depends
from sqlalchemy.orm import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request

from airwright.desk.editing.builder import Evaluation
from airwright.desk.guard import SAFE, form_token, same
from airwright.desk.state import Desk, desk_of
from airwright.language import Text, known_language, message, speak
from airwright.store import StoreError
from airwright.store.logbook import Logbook, LogKind
from airwright.store.people import People
from airwright.store.studio import StudioFile
from airwright.store.tables import JobRow
from airwright.store.types import now

PROOF_LASTS = dt.timedelta(minutes=10)
"""A password given so long ago still lets a sensitive step through."""

SEEN_EVERY = dt.timedelta(minutes=5)
MOST_FIELDS = 2000


class Refused(Exception):
    """This person may not do that; `status` is the answer's, `wait_s` when to try again [s]."""

    def __init__(
        self, what: str | Text, mend: str | Text, status: int = 403, wait_s: float = 0.0
    ) -> None:
        super().__init__(str(what))
        self.what = what
        self.mend = mend
        self.status = status
        self.wait_s = wait_s


def too_many(wait_s: float) -> Refused:
    """The answer to a visitor who asks for more than one visitor may."""
    return Refused(
        message("That was a lot in a short time."),
        message("Wait {seconds} s, then try again.", seconds=max(1, round(wait_s))),
        status=429,
        wait_s=wait_s,
    )


def busy() -> Refused:
    """The answer when no turn at costly work came."""
    return Refused(
        message("Very many are here just now."),
        message("Try again in a moment."),
        status=503,
        wait_s=5,
    )


class MustEnter(Exception):
    """Nobody is signed in, and this desk has accounts."""


@dataclass(frozen=True, slots=True)
class Actor:
    """The person asking. An open desk (no accounts, this machine only) has one owner.

    `proved` says whether the password was asked for lately.
    """

    name: str
    role: str
    person_id: str | None = None
    prices: bool = True
    proved: bool = True

    @property
    def sees_price(self) -> bool:
        """Crew never sees money, designers as the owner allows."""
        return self.role == "owner" or (self.role == "designer" and self.prices)

    @property
    def sees_cost(self) -> bool:
        """Cost and margin are the owner's."""
        return self.role == "owner"

    @property
    def designs(self) -> bool:
        """Whether they may change jobs."""
        return self.role in ("owner", "designer")

    @property
    def owns(self) -> bool:
        """Whether they may change settings and accounts."""
        return self.role == "owner"


@dataclass(eq=False)
class RequestContext:
    """One request: who asks, at which desk, with what form."""

    request: Request
    desk: Desk
    actor: Actor
    open_desk: bool
    token: str
    form: FormData = field(default_factory=FormData)

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A consistent look at the database."""
        with self.desk.database.reading() as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """This request's transaction; it is committed before the answer goes out."""
        with self.desk.database.writing() as session:
            yield session

    @property
    def address(self) -> str:
        """Where the request came from."""
        return self.request.client.host if self.request.client else ""

    @property
    def session_token(self) -> str:
        """The browser's own secret."""
        return str(self.request.state.session_token)

    def log(
        self,
        session: Session,
        kind: LogKind,
        subject: str = "",
        *,
        actor: str = "",
        job_id: str | None = None,
    ) -> None:
        """Write into the lasting log what this request does, in its own transaction."""
        who = actor or self.actor.name
        Logbook(session).write(kind, who, subject, address=self.address, job_id=job_id)

    def log_export(self, subject: str, job_id: str | None = None) -> None:
        """Write into the lasting log that data was given out."""
        with self.writing() as session:
            self.log(session, "exported", subject, job_id=job_id)

    def text(self, name: str, longest: int = 2000) -> str:
        """A field of the form as text without its outer blanks; "" when it is not there."""
        value = self.form.get(name)
        text = value if isinstance(value, str) else ""
        return text.replace("\0", "").strip()[:longest]

    def file(self, name: str) -> UploadFile | None:
        """An uploaded file, or None."""
        value = self.form.get(name)
        return value if isinstance(value, UploadFile) and value.size else None

    def evaluate(self, row: JobRow, session: Session) -> Evaluation:
        """What a job's current text comes to."""
        found = self.desk.builder.evaluate(row.text, StudioFile(session).get()[0])
        return found.seen(price=self.actor.sees_price, cost=self.actor.sees_cost)

    @property
    def language(self) -> str:
        """The language chosen on this machine, else the studio's.

        American English while the database is away.
        """
        chosen = chosen_language(self.request)
        if chosen:
            return chosen
        try:
            with self.reading() as session:
                text = StudioFile(session).get()[0]
        except StoreError:
            text = ""  # a page that says so must not fail over its own language
        return self.desk.builder.studio(text).studio.language

    @property
    def wants_part(self) -> bool:
        """Whether only a part of the page was asked for."""
        return self.request.headers.get("hx-request") == "true"


LANGUAGE_COOKIE = "airwright_language"


def chosen_language(request: Request) -> str:
    """What this person chose for this machine; "" where nothing was chosen."""
    wanted = request.cookies.get(LANGUAGE_COOKIE, "")
    return wanted if known_language(wanted) == wanted else ""


async def context(request: Request) -> RequestContext:
    """The visit behind a request. Raises MustEnter or Refused."""
    found = await open_visit(request)
    if found is None:
        raise MustEnter
    return found


async def open_visit(request: Request) -> RequestContext | None:
    """As `visit`, but None where nobody is signed in: for the door itself."""
    desk, session_token = desk_of(request), str(request.state.session_token)
    actor, is_open, language = await run_in_threadpool(_actor, desk, session_token)
    speak(chosen_language(request) or language)
    token = form_token(desk.key, session_token)
    form = await _checked_form(request, token)
    if actor is None:
        return None
    return RequestContext(request, desk, actor, is_open, token, form)


async def stranger(request: Request) -> RequestContext:
    """Somebody who has no account and needs none: the door, a client's page."""
    desk, session_token = desk_of(request), str(request.state.session_token)
    token = form_token(desk.key, session_token)
    address = request.client.host if request.client else ""
    if request.method not in SAFE and request.url.path != "/sign-in":
        wait_s = desk.limits.posts.take(address)  # the door has its own way of slowing down
        if wait_s:
            raise too_many(wait_s)
    form = await _checked_form(request, token)
    return RequestContext(request, desk, Actor("", "client"), False, token, form)


async def _checked_form(request: Request, token: str) -> FormData:
    """The form of a write, after its token was checked. Raises Refused."""
    if request.method in SAFE:
        return FormData()
    kind = request.headers.get("content-type", "")
    form = FormData()
    if kind.startswith(("application/x-www-form-urlencoded", "multipart/form-data")):
        form = await request.form(max_files=4, max_fields=MOST_FIELDS)
    given = request.headers.get("x-desk-token") or form.get("token")
    if not isinstance(given, str) or not same(given, token):
        raise Refused(
            message("This page has been open for too long, or it is not one of ours."),
            message("Load it again, then make the change once more."),
        )
    return form


def _actor(desk: Desk, session_token: str) -> tuple[Actor | None, bool, str]:
    """Who sits there, whether the desk is open to all, and the studio's language."""
    with desk.database.reading() as session:
        people = People(session)
        settings = desk.builder.studio(StudioFile(session).get()[0])
        language = settings.studio.language
        if not people.any():
            return Actor("You", "owner"), True, language
        found = people.login_session(session_token)
        if found is None:
            return None, False, language
        login, person = found
        stale = login.seen < now() - SEEN_EVERY
        prices = settings.crew.designers_see_prices == "yes"
        proved = login.proved is not None and abs(now() - login.proved) < PROOF_LASTS
        actor = Actor(person.name, person.role, person.id, prices, proved)
    if stale:
        with desk.database.writing() as session:
            again = People(session).login_session(session_token)
            if again is not None:
                again[0].seen = now()
    return actor, False, language


def _needs(allowed: Callable[[Actor], bool], who: str) -> Any:
    async def check(found: Annotated[RequestContext, Depends(context)]) -> RequestContext:
        if not allowed(found.actor):
            raise Refused(
                message("This page is for {who}.", who=who),
                message("Ask the owner of this desk if you need it."),
            )
        return found

    return check


SignedIn = Annotated[RequestContext, Depends(context)]
"""Anybody with a way in."""

ByDesigner = Annotated[
    RequestContext, Depends(_needs(lambda actor: actor.designs, message("designers and owners")))
]
"""Those who may change jobs."""

BySeller = Annotated[
    RequestContext,
    Depends(
        _needs(
            lambda actor: actor.designs and actor.sees_price, message("those who may see prices")
        )
    ),
]
"""Those who may send offers: designers where the owner lets them see prices, and owners."""

ByOwner = Annotated[RequestContext, Depends(_needs(lambda actor: actor.owns, message("owners")))]
"""Those who may see cost and margin, and change settings and accounts."""

Stranger = Annotated[RequestContext, Depends(stranger)]
"""Anybody at all."""
