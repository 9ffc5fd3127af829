"""Opening a database, bringing its tables up to date, and one transaction at a time."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, func, select, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolIsEmpty
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store.errors import StoreError, Unavailable
from airwright.store.migrating import HEAD, bring_up
from airwright.store.news import CHANNEL, Collector, News
from airwright.store.places import on_a_share

BUSY_MS = 15_000
"""How long a writer waits for another one in SQLite."""

TURN_S = 60.0
"""How long a writer waits for its turn among the others of this process."""

START_KEY = 20270523
"""Key of the PostgreSQL lock that lets one desk at a time make what an empty one begins with."""

CONNECT_S = 5
"""How long a PostgreSQL server may take to answer the door."""


def default_address(folder: Path | None = None) -> str:
    """The address of the studio's own SQLite file, in the user's data folder."""
    if folder is None:
        from platformdirs import user_data_path

        folder = user_data_path("airwright", appauthor=False)
    return f"sqlite:///{folder / 'desk.db'}"


def missing_file(address: str) -> Path | None:
    """The SQLite file of an address, if there is none yet; None otherwise."""
    try:
        url = make_url(address)
    except (ArgumentError, ValueError):
        return None
    if not url.drivername.startswith("sqlite") or not url.database:
        return None
    return None if Path(url.database).exists() else Path(url.database)


class Database:
    """One database, open. Make it with `open_database`."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._writer = engine.execution_options(airwright_writes=True)
        # SQLite lets one writer in and makes the others ask again and again, and now and then one
        # of many is never lucky. Writers of this process therefore queue up here first.
        self._turn = threading.Lock()
        self.listeners: list[Callable[[News], None]] = []
        """Told of each transaction of this process that was kept (SQLite); see `Watch`."""
        self.commits = 0
        """Transactions this process has kept."""

    @property
    def is_sqlite(self) -> bool:
        """Whether this is the file on this machine rather than a server."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One consistent look at the data; nothing is written. Raises Unavailable."""
        with _in_reach(), self.engine.connect() as connection:
            if not self.is_sqlite:
                connection = connection.execution_options(isolation_level="REPEATABLE READ")
            with Session(connection, expire_on_commit=False, autoflush=False) as session:
                yield session
                session.expunge_all()  # rows stay readable after the look has ended
                session.rollback()

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One transaction: all of it is kept, or none of it.

        Raises:
            Unavailable: the database is out of reach, or others have been writing for a minute
                without a break (SQLite).
        """
        with self._in_turn():
            with (
                _in_reach(),
                Session(self._writer, expire_on_commit=False) as session,
                session.begin(),
            ):
                collected = Collector(session)
                yield session
                session.flush()
                news = collected.news
                if news and not self.is_sqlite:
                    session.execute(select(func.pg_notify(CHANNEL, news.to_json())))
            self.commits += 1
        if news and self.is_sqlite:
            for tell in self.listeners:
                tell(news)

    @property
    def is_writing(self) -> bool:
        """Whether a transaction of this process is under way (SQLite)."""
        return self._turn.locked()

    @contextmanager
    def alone(self) -> Iterator[None]:
        """Hold the start against other machines: what an empty database begins with is made once.

        On a server by its own lock; on a file the turn of its one process and the write lock do.
        """
        if self.is_sqlite:
            yield
            return
        with _in_reach(), self.engine.connect() as connection:
            connection.execute(text("SELECT pg_advisory_lock(:key)"), {"key": START_KEY})
            connection.commit()
            try:
                yield
            finally:
                connection.execute(text("SELECT pg_advisory_unlock(:key)"), {"key": START_KEY})
                connection.commit()

    @contextmanager
    def _in_turn(self) -> Iterator[None]:
        if not self.is_sqlite:
            yield  # the server keeps its own queue, row by row
            return
        if not self._turn.acquire(timeout=TURN_S):
            raise Unavailable(
                message("Too many are writing just now."), message("Try again in a moment.")
            )
        try:
            yield
        finally:
            self._turn.release()

    def close(self) -> None:
        """Let go of all connections."""
        self.engine.dispose()


@contextmanager
def _in_reach() -> Iterator[None]:
    try:
        yield
    except PoolIsEmpty as problem:
        raise Unavailable(
            message("Too many are at work just now."), message("Try again in a moment.")
        ) from problem
    except DBAPIError as problem:
        if _out_of_reach(problem):
            raise Unavailable from problem
        if _disk_is_full(problem):
            raise Unavailable(
                message("The disk with the database is full; nothing was changed."),
                message("Make room on it, then try again."),
            ) from problem
        raise


_SQLITE_PASSES = ("locked", "busy", "disk i/o", "unable to open")
"""What SQLite says of things that another moment may mend."""

_SERVER_PASSES = ("08", "57P0", "53300")
"""Beginnings of SQLSTATE: connection lost, server ends or starts, too many connections."""


def _out_of_reach(problem: DBAPIError) -> bool:
    if problem.connection_invalidated:
        return True
    said = str(problem.orig).lower()
    if not hasattr(problem.orig, "sqlstate"):  # SQLite
        return isinstance(problem, OperationalError) and any(w in said for w in _SQLITE_PASSES)
    state = _state_of(problem)
    if state is None:  # the server said nothing: it was never reached
        return isinstance(problem, OperationalError)
    return state.startswith(_SERVER_PASSES)


def _state_of(problem: DBAPIError) -> str | None:
    state = getattr(problem.orig, "sqlstate", None)
    return state if isinstance(state, str) else None


def _disk_is_full(problem: DBAPIError) -> bool:
    return str(problem.orig).startswith("database or disk is full") or (
        _state_of(problem) == "53100"
    )


def open_database(address: str, *, migrate: bool = True, revision: str = HEAD) -> Database:
    """Open a database and bring its tables up to date.

    Args:
        address: "sqlite:///PATH" or "postgresql+psycopg://USER@HOST/NAME".
        migrate: whether to bring the tables up to date.
        revision: which step of the migrations that is; an older one only to read an old backup.

    Raises:
        StoreError: the address is none of ours, nobody answers there, or the tables could not be
            brought up to date without losing anything.
    """
    engine = _engine(address)
    try:
        if migrate:
            bring_up(engine, revision)
        else:
            engine.connect().close()
    except StoreError:
        engine.dispose()
        raise
    except DBAPIError as problem:
        engine.dispose()
        raise StoreError(
            message(
                "The database does not open: {value}",
                value=str(problem.orig).strip().splitlines()[0],
            ),
            message("Name a file that a desk has made, or a new one, where you may write.")
            if engine.dialect.name == "sqlite"
            else message(
                "Check the address, that the server runs, and that this user may write there."
            ),
        ) from problem
    return Database(engine)


def _engine(address: str) -> Engine:
    mend = "Use sqlite:///FILE or postgresql+psycopg://USER@HOST/NAME."
    try:
        url = make_url(address)
    except (ArgumentError, ValueError):  # a port that is no number, say
        raise StoreError(message("This is no database address."), mend) from None
    if url.drivername == "postgresql":
        url = url.set(drivername="postgresql+psycopg")
    if url.drivername not in ("sqlite", "sqlite+pysqlite", "postgresql+psycopg"):
        raise StoreError(
            message('"{drivername}" is no database we can use.', drivername=url.drivername), mend
        )
    if url.drivername.startswith("postgresql"):
        return create_engine(
            url,
            pool_pre_ping=True,
            pool_size=10,
            max_overflow=20,
            connect_args={} if "connect_timeout" in url.query else {"connect_timeout": CONNECT_S},
        )
    if not url.database or url.database == ":memory:":
        raise StoreError(
            message("A database in memory would lose everything."), message("Name a file for it.")
        )
    try:
        Path(url.database).parent.mkdir(parents=True, exist_ok=True)
    except OSError as problem:
        raise StoreError(
            message(
                "There is no folder for {database}, and none can be made: {strerror}.",
                database=url.database,
                strerror=problem.strerror,
            ),
            message("Name a file in a folder where you may write."),
        ) from problem
    if on_a_share(Path(url.database)):
        raise StoreError(
            f"{url.database} lies on a network share, where a desk would lose what it writes.",
            "Name a file on this machine's own disk, or a PostgreSQL server for several machines.",
        )
    _keep_private(Path(url.database))
    engine = create_engine(
        url, connect_args={"timeout": BUSY_MS / 1000}, pool_size=10, max_overflow=40
    )
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _keep_private(file: Path) -> None:
    """Only the person at this machine may read the file; its log and index take after it."""
    try:
        os.close(os.open(file, os.O_CREAT | os.O_RDWR, 0o600))
        for name in (file, Path(f"{file}-wal"), Path(f"{file}-shm")):
            if name.exists():
                name.chmod(0o600)
    except OSError:
        pass  # a folder, or another person's file: opening it says so in words


def _prepare_sqlite(connection: Any, _record: Any) -> None:
    # The driver must not begin transactions on its own, or DDL and reads escape ours.
    connection.isolation_level = None
    for pragma in (
        "journal_mode=WAL",
        "synchronous=FULL",  # what was confirmed survives even a power cut
        "foreign_keys=ON",
        f"busy_timeout={BUSY_MS}",
    ):
        connection.execute(f"PRAGMA {pragma}")
    connection.create_function("lower", 1, _lower, deterministic=True)  # its own knows only ASCII


def _lower(value: Any) -> Any:
    return value.lower() if isinstance(value, str) else value


def _begin_sqlite(connection: Connection) -> None:
    # A writer takes its lock at once: a reader that turned writer could only fail.
    writes = connection.get_execution_options().get("airwright_writes")
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
