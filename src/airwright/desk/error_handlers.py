"""Every mishap as an answer with place and cure, as a page or as JSON; never a traceback."""

from __future__ import annotations

import logging
from dataclasses import dataclass, replace
from typing import ClassVar

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from airwright.desk.access import Actor, MustEnter, Refused, RequestContext, busy
from airwright.desk.editing.edits import EditError
from airwright.desk.editing.job_state import Conflict
from airwright.desk.guard import form_token
from airwright.desk.job_changes import Clash
from airwright.desk.limits import Busy
from airwright.desk.once import FIELD
from airwright.desk.pages import Page, render
from airwright.desk.proof import MustProve
from airwright.desk.state import desk_of
from airwright.desk.studio_changes import StillProving
from airwright.language import message, say
from airwright.store import Missing, Overtaken, StoreError, Unavailable

log = logging.getLogger("airwright.desk")

PLAIN = {
    400: (message("This cannot be read."), message("Go back and try again.")),
    404: (message("There is nothing here."), message("Go back to the jobs.")),
    405: (message("That cannot be done here."), message("Go back to the jobs.")),
    413: (message("That is too large."), message("Send a smaller file.")),
}


@dataclass(frozen=True)
class FaultPage(Page):
    """Something went wrong: what, and what to do."""

    template: ClassVar[str] = "error.html"
    what: str
    mend: str
    status: int


@dataclass(frozen=True)
class ProvePage(Page):
    """The present password is asked for; `fields` is the form that waits for it."""

    template: ClassVar[str] = "prove.html"
    action: str
    fields: tuple[tuple[str, str], ...]
    wrong: bool


@dataclass(frozen=True)
class ProvingPage(Page):
    """New settings are being tried on the jobs in hand; `fields` is the form that goes on."""

    template: ClassVar[str] = "proving.html"
    action: str
    fields: tuple[tuple[str, str], ...]
    done: int
    count: int


def install(app: FastAPI) -> None:
    """Answer every kind of mishap."""
    app.add_exception_handler(MustEnter, _enter)
    app.add_exception_handler(Refused, _refused)
    app.add_exception_handler(MustProve, _prove)
    app.add_exception_handler(StillProving, _still_proving)
    app.add_exception_handler(Busy, _busy)
    app.add_exception_handler(EditError, _wrong_edit)
    app.add_exception_handler(StoreError, _store)
    app.add_exception_handler(RequestValidationError, _invalid)
    app.add_exception_handler(HTTPException, _http)


class Catcher:
    """Middleware that turns what nobody foresaw into a page, inside the guard's headers."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer 500 when nothing was sent yet; else let the connection break."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        started = False

        async def send_on(message: Message) -> None:
            nonlocal started
            started = True
            await send(message)

        try:
            await self.app(scope, receive, send_on)
        except Exception as problem:
            if started:
                raise
            answer = await _unexpected(Request(scope, receive), problem)
            await answer(scope, receive, send)


async def _enter(request: Request, _problem: Exception) -> Response:
    if _is_api(request):
        return problem_response(
            request, message("Nobody is signed in."), message("Sign in first."), 401
        )
    if request.headers.get("hx-request") == "true":
        return Response(status_code=401, headers={"hx-redirect": "/sign-in"})
    return RedirectResponse("/sign-in", 303)


async def _refused(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, Refused)
    answer = problem_response(request, problem.what, problem.mend, problem.status)
    if problem.wait_s:
        answer.headers["retry-after"] = str(max(1, round(problem.wait_s)))
    return answer


async def _busy(request: Request, _problem: Exception) -> Response:
    return await _refused(request, busy())


async def _prove(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, MustProve)
    context = problem.context
    page = ProvePage(request.url.path, _fields(context), problem.wrong)
    return await run_in_threadpool(render, context, page, status=403)


def _fields(context: RequestContext) -> tuple[tuple[str, str], ...]:
    """What a form said, to be sent once more."""
    return tuple(
        (name, value)
        for name, value in context.form.multi_items()
        if isinstance(value, str) and name not in ("token", FIELD, "present")
    )


async def _still_proving(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, StillProving)
    context = problem.context
    page = ProvingPage(request.url.path, _fields(context), problem.done, problem.count)
    return await run_in_threadpool(render, context, page, status=202)


async def _wrong_edit(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, EditError)
    return problem_response(request, problem.what, problem.mend, 422)


async def _store(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, StoreError)
    if isinstance(problem, Unavailable):
        log.warning("the database is out of reach: %s", _why(problem))
        answer = problem_response(request, problem.what, problem.mend, 503)
        answer.headers["retry-after"] = "5"
        return answer
    if isinstance(problem, Clash) and _is_api(request):
        told = Conflict(
            what=say(problem.what),
            mend=say(problem.mend),
            rivals=[replace(rival, what=say(rival.what)) for rival in problem.rivals],
            others=list(problem.others),
        )
        return Response(told.as_json(), 409, media_type="application/json")
    status = 404 if isinstance(problem, Missing) else 409 if isinstance(problem, Overtaken) else 400
    return problem_response(request, problem.what, problem.mend, status)


def _why(problem: StoreError) -> str:
    cause = getattr(problem.__cause__, "orig", None) or problem.__cause__ or problem.what
    return str(cause).strip().splitlines()[0] if str(cause).strip() else type(cause).__name__


async def _invalid(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, RequestValidationError)
    first = problem.errors()[0] if problem.errors() else {"loc": (), "msg": ""}
    place = ".".join(str(step) for step in first["loc"] if step not in ("body", "query", "path"))
    what = (
        message('What was sent does not fit at "{place}": {problem}.', place=place[:80],
                problem=first["msg"])
        if place
        else message("What was sent does not fit: {problem}.", problem=first["msg"])
    )  # fmt: skip
    return problem_response(request, what, message("Correct it."), 422)


async def _http(request: Request, problem: Exception) -> Response:
    assert isinstance(problem, HTTPException)
    fallback = (message("That did not work."), message("Go back and try again."))
    what, mend = PLAIN.get(problem.status_code, fallback)
    answer = problem_response(request, what, mend, problem.status_code)
    for name, value in (problem.headers or {}).items():
        answer.headers[name] = value
    return answer


async def _unexpected(request: Request, problem: Exception) -> Response:
    log.error("a request failed: %s %s", request.method, request.url.path, exc_info=problem)
    return problem_response(
        request,
        message("Something went wrong on our side; nothing was changed."),
        message("Try again. If it stays so, send us the last lines of the desk's window."),
        500,
    )


def problem_response(request: Request, what: str, mend: str, status: int) -> Response:
    """A mishap as JSON for programs, as a page for people."""
    if _is_api(request):
        return JSONResponse({"what": say(what), "mend": say(mend)}, status)
    desk = desk_of(request)
    token = form_token(desk.key, str(getattr(request.state, "session_token", "")))
    context = RequestContext(request, desk, Actor("", ""), False, token)
    return render(context, FaultPage(what=what, mend=mend, status=status), status=status)


def _is_api(request: Request) -> bool:
    return request.url.path.startswith("/api/")
