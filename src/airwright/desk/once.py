"""A form sent twice counts once: a double click, an impatient second press, a reload of the answer.

Every page gives its forms a number of its own (`Frame.once`). The same form of the same page, sent
again with the same values by the same browser, waits for the first answer and gets that very
answer; nothing is done a second time. What a script sends carries its token in a header and is
its own affair, and what was refused may be tried again as it is.
"""

from __future__ import annotations

import asyncio
import hashlib
import re
from collections import OrderedDict
from concurrent.futures import Future
from dataclasses import dataclass, field

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

FIELD = "once"
_NUMBER = re.compile(rb'(?:^|&)once=([0-9a-z]{8,40})|name="once"\r\n\r\n([0-9a-z]{8,40})\r\n')
_BOUNDARY = re.compile(r'boundary="?([^";,]+)')
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")
MOST_KEPT = 100
LARGEST_KEPT = 1_000_000
"""Bytes of an answer that is kept for a second press; nearly all are a redirection."""


@dataclass(slots=True)
class _Press:
    """One form on its way, later with its answer; None stays where it may be sent again."""

    done: Future[None] = field(default_factory=Future)
    answer: list[Message] | None = None


class Once:
    """Middleware that gives the second press of a button the answer to the first."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        self._presses: OrderedDict[str, _Press] = OrderedDict()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Do what the form asks, or answer as before."""
        if not _is_form(scope):
            await self.app(scope, receive, send)
            return
        body, receive = await _whole(receive)
        key = _key(scope, body)
        while key is not None and (earlier := self._presses.get(key)) is not None:
            await asyncio.shield(asyncio.wrap_future(earlier.done))
            if earlier.answer is not None:
                for message in earlier.answer:
                    await send(message)
                return
        if key is None:
            await self.app(scope, receive, send)
        else:
            await self._first(key, scope, receive, send)

    async def _first(self, key: str, scope: Scope, receive: Receive, send: Send) -> None:
        press, said = _Press(), list[Message]()
        self._presses[key] = press
        session_token = scope["state"].get("session_token")

        async def send_noted(message: Message) -> None:
            said.append(message)
            await send(message)

        try:
            await self.app(scope, receive, send_noted)
            # another one than before was handed out by this very answer
            same_session = scope["state"].get("session_token") == session_token
            if same_session and said and said[0]["status"] < 400:
                press.answer = said
        finally:
            press.done.set_result(None)
            size = sum(len(message.get("body", b"")) for message in said)
            if press.answer is None or size > LARGEST_KEPT:
                self._presses.pop(key, None)
            while len(self._presses) > MOST_KEPT:
                self._presses.popitem(last=False)


def _is_form(scope: Scope) -> bool:
    if scope["type"] != "http" or scope["method"] != "POST":
        return False
    headers = Headers(scope=scope)
    return "x-desk-token" not in headers and headers.get("content-type", "").startswith(FORMS)


async def _whole(receive: Receive) -> tuple[bytes, Receive]:
    """The body, and a `receive` that gives it once more."""
    heard: list[Message] = []
    while True:
        heard.append(await receive())
        if not heard[-1].get("more_body"):
            break
    body = b"".join(message.get("body", b"") for message in heard)
    again = iter(heard)

    async def receive_again() -> Message:
        return next(again, None) or await receive()

    return body, receive_again


def _key(scope: Scope, body: bytes) -> str | None:
    """What makes a press the same press; None for a form without a number."""
    if _NUMBER.search(body) is None:
        return None
    found = _BOUNDARY.search(Headers(scope=scope).get("content-type", ""))
    if found is not None:  # new with every press
        body = body.replace(found[1].encode(), b"")
    about = f"{scope['state'].get('session_token')}\n{scope['path']}\n".encode()
    return hashlib.sha256(about + scope.get("query_string", b"") + b"\n" + body).hexdigest()
