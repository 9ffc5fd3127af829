"""How tasks come to a worker: from the table (SQLite), or from the engine (PostgreSQL).

Both call `take_one` with nothing or with a task's id; what happens then is the same.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from airwright.store import Database, StoreError
from airwright.store.queue import QUEUE, TASK, engine_app, mend
from airwright.store.tasks import LEASE, Tasks

if TYPE_CHECKING:
    from procrastinate import App

log = logging.getLogger("airwright.desk.tasks")

LOOK_EVERY_S = 2.0
"""How often an idle worker looks for work that another process has put into the table."""

MEND_EVERY_S = 5.0
"""How often a worker looks for tasks of dead workers with the engine."""

HEARTBEAT_S = 4.0
"""How often a worker tells the engine that it lives; well within the lease."""


def from_table(
    ending: threading.Event, woken: threading.Event, take_one: Callable[[], bool]
) -> None:
    """Look into the table until told to end; `take_one` says whether there was something."""
    while not ending.is_set():
        if not take_one():
            woken.wait(LOOK_EVERY_S)
            woken.clear()


def from_engine(
    database: Database, ending: threading.Event, count: int, take_one: Callable[[str], object]
) -> None:
    """Let the engine bring up to `count` tasks at a time, until told to end.

    A server that goes away for a while is waited for.
    """
    import psycopg
    from procrastinate.exceptions import ConnectorException
    from psycopg_pool import PoolTimeout

    while not ending.is_set():
        try:
            asyncio.run(_engaged(database, ending, count, take_one))
        except (ConnectorException, psycopg.Error, PoolTimeout, OSError) as problem:
            log.warning("the queue is out of reach, trying again: %s", _why(problem))
            ending.wait(LOOK_EVERY_S)


def _why(problem: BaseException) -> str:
    root = problem
    while root.__cause__ is not None:
        root = root.__cause__
    return (str(root).strip() or type(root).__name__).splitlines()[0]


async def _engaged(
    database: Database, ending: threading.Event, count: int, take_one: Callable[[str], object]
) -> None:
    app = engine_app(database.engine.url)

    @app.task(name=TASK, queue=QUEUE)
    def carry_out(task_id: str) -> None:
        take_one(task_id)

    async with app.open_async():
        works = asyncio.create_task(
            app.run_worker_async(
                queues=[QUEUE],
                concurrency=count,
                delete_jobs="always",  # the rows of `tasks` keep the story
                install_signal_handlers=False,
                fetch_job_polling_interval=LOOK_EVERY_S,
                update_heartbeat_interval=HEARTBEAT_S,
                stalled_worker_timeout=LEASE.total_seconds(),
            )
        )
        mends = asyncio.create_task(_mend_often(app, database))
        ends = asyncio.create_task(_until(ending))
        all_three = {works, mends, ends}
        ended, _ = await asyncio.wait(all_three, return_when=asyncio.FIRST_COMPLETED)
        for task in all_three:
            task.cancel()
        await asyncio.gather(*all_three, return_exceptions=True)
        for task in ended:
            task.result()


async def _mend_often(app: App, database: Database) -> None:
    while True:
        try:
            owed = await asyncio.to_thread(_owed, database)
        except StoreError:
            owed = []
        await mend(app, owed, LEASE.total_seconds())
        await asyncio.sleep(MEND_EVERY_S)


def _owed(database: Database) -> list[str]:
    with database.reading() as session:
        return Tasks(session).owed()


async def _until(ending: threading.Event) -> None:
    while not ending.is_set():
        await asyncio.sleep(0.2)
