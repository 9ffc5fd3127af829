"""How long a connection may keep the desk waiting before anything was asked."""

from __future__ import annotations

import asyncio
from functools import cache
from typing import Any, Final

KEEP_ALIVE_S: Final = 20
"""An open connection that asks nothing is closed after this [s]."""

FIRST_REQUEST_S: Final = 15.0
"""A new connection must have sent a whole request head by then [s]."""


@cache
def patient_protocol() -> type[asyncio.Protocol]:
    """The server's own protocol, with an end to the waiting for the first request.

    Without it a visitor who opens connections and sends half a request holds each of them for
    ever, until none is left for others.
    """
    from uvicorn.protocols.http.auto import AutoHTTPProtocol

    base: Any = AutoHTTPProtocol

    class Patient(base):  # type: ignore[misc]  # chosen at run time
        _deadline: asyncio.TimerHandle | None = None

        def connection_made(self, transport: Any) -> None:
            super().connection_made(transport)
            self._deadline = self.loop.call_later(FIRST_REQUEST_S, self._give_up)

        def _give_up(self) -> None:
            if self.cycle is None and not self.transport.is_closing():
                self.transport.close()

        def connection_lost(self, exc: Exception | None) -> None:
            if self._deadline is not None:
                self._deadline.cancel()
            super().connection_lost(exc)

    return Patient
