"""The desk as a web application."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from threading import Thread

from fastapi import FastAPI
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import FileResponse, Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

from airwright.desk import error_handlers, seed
from airwright.desk.account.routes import router as account
from airwright.desk.api.routes import router as api
from airwright.desk.backups import Backups
from airwright.desk.buying.routes import router as buying
from airwright.desk.calendar.routes import router as calendar
from airwright.desk.catalog.routes import router as catalog
from airwright.desk.client.routes import router as client
from airwright.desk.config import DeskSettings
from airwright.desk.contacts.routes import router as contacts
from airwright.desk.day.routes import router as day
from airwright.desk.design.routes import router as design
from airwright.desk.editing.builder import Builder
from airwright.desk.enquiry.routes import router as enquiry
from airwright.desk.guard import Guard
from airwright.desk.invoices.routes import router as invoices
from airwright.desk.jobs.routes import router as jobs
from airwright.desk.keeping.routes import router as keeping
from airwright.desk.mail.routes import router as mail
from airwright.desk.mailing import mailbox, outbox
from airwright.desk.mailing.sender import Mailer
from airwright.desk.mailing.server import server_of
from airwright.desk.offer.routes import router as offer
from airwright.desk.once import Once
from airwright.desk.outcome.routes import router as outcome
from airwright.desk.pages import STATIC
from airwright.desk.papers.routes import router as papers
from airwright.desk.room.routes import router as room
from airwright.desk.state import Desk, desk_key
from airwright.desk.stock.routes import router as stock
from airwright.desk.studio.routes import router as studio
from airwright.desk.tasks.worker_pool import Workers
from airwright.desk.team.routes import router as team
from airwright.desk.warming import warm_likely, warm_pictures
from airwright.desk.workshop.routes import router as workshop
from airwright.job.business import MailServer
from airwright.store import default_address, open_database
from airwright.store.studio import StudioFile
from airwright.store.watch import Watch

HASHED = re.compile(r"-[A-Z0-9]{8}\.js$")
"""Parts of scripts; the bundler names them after their content."""


class LastingFiles(StaticFiles):
    """Our own files: their addresses change with their content, so browsers may keep them."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        """The file, to be kept when it was asked for by its full address."""
        answer = await super().get_response(path, scope)
        if b"v=" in scope.get("query_string", b"") or HASHED.search(path):
            answer.headers["cache-control"] = "public, max-age=31536000, immutable"
        else:
            answer.headers["cache-control"] = "no-cache"
        return answer


def open_desk(settings: DeskSettings) -> Desk:
    """Open the database and everything else a desk holds; raises StoreError."""
    address = settings.database
    database = open_database(default_address(settings.folder) if address is None else address)
    with database.alone():
        desk = Desk(settings, database, Builder(settings.today), desk_key(database))
        seed.seed(desk)
    if settings.workers:
        desk.workers = Workers(database, settings.today, settings.workers)
        settings_now = partial(mail_server, desk)
        chores = (partial(outbox.tend, desk), mailbox.watcher(database, settings_now))
        desk.mailer = Mailer(database, settings_now, chores)
    if settings.backups is not None:
        desk.backups = Backups(database, settings.backups)
    return desk


def mail_server(desk: Desk) -> tuple[MailServer, str]:
    """The studio's mail server and its password, as they stand now."""
    with desk.database.reading() as session:
        return server_of(session, desk.builder.studio(StudioFile(session).get()[0]))


def create_app(settings: DeskSettings | None = None) -> FastAPI:
    """The application, its database opened and brought up to date.

    Raises:
        StoreError: the database does not open.
    """
    settings = settings or DeskSettings()
    desk = open_desk(settings)

    @asynccontextmanager
    async def lifespan(_app: FastAPI) -> AsyncIterator[None]:
        watch = Watch(desk.database, desk.news.tell)
        watch.start()
        if desk.workers is not None:
            desk.workers.start()
        if desk.mailer is not None:
            desk.mailer.start()
        if desk.backups is not None:
            desk.backups.start()
        Thread(target=_warm, args=(desk,), daemon=True).start()
        yield
        await run_in_threadpool(watch.stop)
        if desk.backups is not None:
            await run_in_threadpool(desk.backups.stop)
        if desk.mailer is not None:
            await run_in_threadpool(desk.mailer.stop)
        if desk.workers is not None:
            await run_in_threadpool(desk.workers.stop)
        desk.database.close()

    app = FastAPI(
        title="Airwright desk",
        version="1",
        openapi_url=None,  # told to those who are signed in: see the API's routes
        docs_url=None,
        redoc_url=None,
        lifespan=lifespan,
        middleware=[
            Middleware(Guard, settings=settings),
            Middleware(error_handlers.Catcher),
            Middleware(GZipMiddleware, minimum_size=1024, compresslevel=4),
            Middleware(Once),
        ],
    )
    app.state.desk = desk
    error_handlers.install(app)
    for router in (
        jobs,
        enquiry,
        design,
        offer,
        papers,
        room,
        day,
        outcome,
        studio,
        catalog,
        stock,
        buying,
        invoices,
        mail,
        team,
        account,
        keeping,
        client,
        calendar,
        contacts,
        workshop,
    ):
        app.include_router(router, include_in_schema=False)
    app.include_router(api)
    app.add_api_route("/sw.js", _service_worker, include_in_schema=False)
    app.mount("/static", LastingFiles(directory=str(STATIC), check_dir=False), name="static")
    return app


def _service_worker(request: Request) -> Response:
    """The offline helper; it must come from the top to look after the day's pages."""
    path = STATIC.joinpath("dist", "sw.js")
    if not path.is_file():
        return Response(status_code=404)
    return FileResponse(
        str(path), media_type="text/javascript", headers={"cache-control": "no-cache"}
    )


def _warm(desk: Desk) -> None:
    """Load what the first visit to a design would otherwise wait for."""
    desk.builder.evaluate(seed.demo_text(), "")
    warm_likely(desk)
    warm_pictures(desk)
