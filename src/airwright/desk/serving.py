"""Starting the desk: on loopback, or on a network once it has accounts."""

from __future__ import annotations

import errno
import socket
import threading
import time
import webbrowser
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from airwright.desk.config import DeskSettings
from airwright.desk.patience import KEEP_ALIVE_S, patient_protocol
from airwright.store import StoreError
from airwright.store.people import People


class NotOpen(StoreError):
    """The desk would be open to strangers, or its place is taken."""


def serve(settings: DeskSettings, say: Callable[[str], None] = lambda _text: None) -> None:
    """Serve the desk until interrupted.

    Args:
        settings: how and where.
        say: told the address once the desk can be reached.

    Raises:
        NotOpen: others could come and there are no accounts, or the port is taken.
        StoreError: the database does not open.
    """
    import uvicorn

    from airwright.desk.app import create_app

    listener = _listen(settings)
    port = int(listener.getsockname()[1])
    settings = replace(settings, port=port)
    try:
        app = create_app(settings)
        if not settings.private:
            with app.state.desk.database.reading() as session:
                guarded = People(session).any()
            if not guarded:
                app.state.desk.database.close()
                raise NotOpen(
                    "Without accounts everybody who can reach this desk could change jobs.",
                    "Start the desk on this machine alone first (without --host, --name and "
                    "--proxy), make accounts under Team, then try again.",
                )
        shown = "127.0.0.1" if settings.host in ("", "0.0.0.0", "::") else settings.host
        scheme = "http" if settings.certificate is None else "https"
        address = f"{scheme}://{f'[{shown}]' if ':' in shown else shown}:{port}/"
        say(address)
        if settings.open_browser:
            threading.Thread(target=_open_later, args=(address,), daemon=True).start()
        config = uvicorn.Config(
            app,
            http=patient_protocol(),
            log_level="warning",
            access_log=False,
            server_header=False,
            # A visitor's address and scheme are taken from a header only when a proxy that was
            # named sent it; anybody else could write anything there.
            proxy_headers=bool(settings.proxies),
            forwarded_allow_ips=list(settings.proxies),
            timeout_keep_alive=KEEP_ALIVE_S,
            **_tls(settings),
        )
        _server(config, app.state.desk.news.close).run(sockets=[listener])
    finally:
        listener.close()


def _server(config: Any, ending: Callable[[], None]) -> Any:
    import uvicorn

    class Server(uvicorn.Server):
        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            ending()  # streams of news would be waited for
            await super().shutdown(sockets)

    return Server(config)


def _tls(settings: DeskSettings) -> dict[str, Any]:
    if settings.certificate is None:
        return {}
    certificate, key = settings.certificate
    return {"ssl_certfile": str(certificate), "ssl_keyfile": str(key)}


def work(settings: DeskSettings) -> None:
    """Do background work for a desk until interrupted: any number of these share one queue.

    Raises:
        StoreError: the database does not open.
    """
    from airwright.desk.tasks.worker_pool import Workers
    from airwright.store import default_address, open_database

    database = open_database(settings.database or default_address(settings.folder))
    try:
        Workers(database, settings.today, 1).serve_here()
    finally:
        database.close()


def _listen(settings: DeskSettings) -> socket.socket:
    family = socket.AF_INET6 if ":" in settings.host else socket.AF_INET
    # The protocol is named so that answers go out at once: asyncio switches Nagle's waiting off
    # (40 ms an answer) only on sockets that say they are TCP.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((settings.host, settings.port))
        listener.listen()  # who comes before the server runs waits instead of being refused
    except (OSError, OverflowError) as problem:
        listener.close()
        why = getattr(problem, "strerror", None) or str(problem)
        mend = "Perhaps a desk is open already. Use another port (--port 0 finds a free one)."
        number = getattr(problem, "errno", None)
        if isinstance(problem, socket.gaierror) or number == errno.EADDRNOTAVAIL:
            mend = "Use an address of this very machine, or leave --host out."
        elif number == errno.EACCES:
            mend = "Use a port above 1023 (--port 0 finds a free one)."
        raise NotOpen(
            f"The desk cannot listen on {settings.host}, port {settings.port}: {why}.", mend
        ) from problem
    listener.set_inheritable(False)
    return listener


def _open_later(address: str) -> None:
    time.sleep(0.8)
    webbrowser.open(address)
