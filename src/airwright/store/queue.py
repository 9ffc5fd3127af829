"""The engine that carries tasks to workers where the database is a PostgreSQL server.

The rows of `tasks` stay the truth: what is waiting, who works on it, how far it is. The engine
(procrastinate) only carries a row's id to whichever worker is free, and wakes it at once. Should
the two ever disagree (a restored backup, a worker that died at a bad moment), `mend` sends what
the rows still owe once more; a task that comes twice is taken once, because taking asks the row.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, text
from sqlalchemy.engine import URL
from sqlalchemy.orm import Session

if TYPE_CHECKING:
    from procrastinate import App

QUEUE = "airwright"
TASK = "airwright.task"

STEP_MARK = "airwright: at "
"""The comment on the engine's table begins so; what follows is the last script that was run."""


def prepare(connection: Connection) -> None:
    """Bring the engine's own tables up to date; the caller holds the lock for migrations.

    The engine ships its tables as one script and later changes as scripts with sortable names.
    A comment on its table says up to which of them this database has come.
    """
    from procrastinate.schema import SchemaManager, migrations_path

    steps = sorted(path.name for path in migrations_path.glob("*.sql"))
    driver: Any = connection.connection.driver_connection
    table = connection.scalar(text("SELECT to_regclass('procrastinate_jobs')::text"))
    if table is None:
        driver.execute(SchemaManager.get_schema())
    else:
        comment = connection.scalar(
            text("SELECT obj_description('procrastinate_jobs'::regclass, 'pg_class')")
        )
        if not str(comment).startswith(STEP_MARK):
            return  # made by somebody else's program in the same database: theirs to look after
        stands = str(comment).removeprefix(STEP_MARK)
        if stands >= steps[-1]:
            return
        for step in steps:
            if step > stands:
                driver.execute((migrations_path / step).read_text(encoding="utf-8"))
    driver.execute(f"COMMENT ON TABLE procrastinate_jobs IS '{STEP_MARK}{steps[-1]}'")


def engine_app(url: URL) -> App:
    """The engine, not yet opened, for a database address."""
    from procrastinate import App, PsycopgConnector

    plain = url.set(drivername="postgresql").render_as_string(hide_password=False)
    return App(connector=PsycopgConnector(conninfo=plain, min_size=1, max_size=4, timeout=10))


def send(session: Session, task_id: str) -> None:
    """Hand a task to the engine in this very transaction; SQLite has none, its table is asked."""
    bind = session.connection()
    if bind.dialect.name != "postgresql":
        return
    driver = bind.connection.driver_connection
    _deferrer(engine_app(bind.engine.url), task_id, connection=driver).defer(task_id=task_id)


async def mend(app: App, owed: list[str], dead_after_s: float) -> int:
    """Take up the work of dead workers, and send what nobody carries; how many were sent.

    Args:
        app: the engine, open.
        owed: ids of tasks whose rows wait, or whose workers have not been heard of.
        dead_after_s: a worker silent for this long [s] is dead.
    """
    from procrastinate.exceptions import AlreadyEnqueued, ConnectorException

    sent = 0
    jobs = app.job_manager
    for job in await jobs.get_stalled_jobs(queue=QUEUE, seconds_since_heartbeat=dead_after_s):
        try:
            await jobs.retry_job(job)
            sent += 1
        except ConnectorException:
            continue  # another worker was faster
    for task_id in owed:
        if not list(await jobs.list_jobs_async(queue=QUEUE, lock=task_id)):
            try:
                await _deferrer(app, task_id).defer_async(task_id=task_id)
                sent += 1
            except AlreadyEnqueued:
                continue
    return sent


def _deferrer(app: App, task_id: str, **more: Any) -> Any:
    # The locks see to it that a task waits once and is worked on once.
    return app.configure_task(TASK, queue=QUEUE, lock=task_id, queueing_lock=task_id, **more)
