"""Background work: who does it, how far it is, and what happens when a worker dies."""

from __future__ import annotations

import datetime as dt
from typing import Any

from sqlalchemy import ColumnElement, or_, select
from sqlalchemy.orm import Session

from airwright.language import message
from airwright.store import queue
from airwright.store.errors import Missing
from airwright.store.tables import TaskRow
from airwright.store.types import now

WAITING, WORKING, DONE, FAILED, CANCELLED = "waiting", "working", "done", "failed", "cancelled"

LEASE = dt.timedelta(seconds=20)
"""A worker that has not been heard of for this long is dead; its task waits again."""

CLOCKS_DIFFER = dt.timedelta(seconds=5)
"""A beat further ahead of this machine's clock than this is none: one of the clocks was set, and
waiting for it to come true might take for ever."""

MOST_TRIES = 3


def _owed() -> ColumnElement[bool]:
    silent = or_(TaskRow.beat < now() - LEASE, TaskRow.beat > now() + CLOCKS_DIFFER)
    return or_(TaskRow.state == WAITING, (TaskRow.state == WORKING) & silent)


class Tasks:
    """The queue, within one transaction."""

    def __init__(self, session: Session) -> None:
        self.session = session

    def add(self, job_id: str, kind: str, order: dict[str, Any]) -> TaskRow:
        """Put work into the queue."""
        task = TaskRow(job_id=job_id, kind=kind, order=order, made=now())
        self.session.add(task)
        self.session.flush()
        queue.send(self.session, task.id)
        return task

    def get(self, task_id: str) -> TaskRow:
        """One task. Raises Missing."""
        task = self.session.get(TaskRow, task_id)
        if task is None:
            raise Missing("task")
        return task

    def of_job(self, job_id: str, limit: int = 10) -> list[TaskRow]:
        """A job's tasks, newest first."""
        query = select(TaskRow).where(TaskRow.job_id == job_id)
        return list(self.session.scalars(query.order_by(TaskRow.made.desc()).limit(limit)))

    def claim(self, worker: str) -> TaskRow | None:
        """Take the oldest task nobody works on; tasks of dead workers count."""
        query = select(TaskRow).where(_owed()).order_by(TaskRow.made).limit(1)
        return self._taken(self.session.scalar(query.with_for_update(skip_locked=True)), worker)

    def take(self, task_id: str, worker: str) -> TaskRow | None:
        """Take this task; None when somebody works on it, or it has ended."""
        query = select(TaskRow).where(TaskRow.id == task_id, _owed())
        return self._taken(self.session.scalar(query.with_for_update()), worker)

    def _taken(self, task: TaskRow | None, worker: str) -> TaskRow | None:
        if task is None:
            return None
        if task.cancel or task.tries >= MOST_TRIES:
            task.state = CANCELLED if task.cancel else FAILED
            task.note = task.note if task.cancel else message("It stopped the worker three times.")
            task.ended = now()
            return None
        task.state, task.worker, task.beat = WORKING, worker[:80], now()
        task.tries += 1
        return task

    def owed(self) -> list[str]:
        """Ids of the tasks nobody works on, oldest first; tasks of dead workers count."""
        return list(self.session.scalars(select(TaskRow.id).where(_owed()).order_by(TaskRow.made)))

    def release(self, task_id: str, worker: str) -> bool:
        """Give a task back untouched, because the worker is told to end; False if not ours."""
        task = self.session.get(TaskRow, task_id, with_for_update=True)
        if task is None or task.state != WORKING or task.worker != worker[:80]:
            return False
        task.state, task.worker, task.beat = WAITING, "", None
        task.tries -= 1  # it was not the task that stopped the worker
        queue.send(self.session, task_id)
        return True

    def beat(self, task_id: str, worker: str, done: int, total: int, note: str) -> bool:
        """Say how far it is; False when the work should stop (cancelled, or taken over)."""
        task = self.session.get(TaskRow, task_id, with_for_update=True)
        if task is None or task.state != WORKING or task.worker != worker[:80] or task.cancel:
            return False
        task.beat, task.done, task.total, task.note = now(), done, total, note[:300]
        return True

    def finish(self, task_id: str, worker: str, state: str, note: str = "") -> bool:
        """End a task; False when somebody else has it by now."""
        task = self.session.get(TaskRow, task_id, with_for_update=True)
        if task is None or task.state != WORKING or task.worker != worker[:80]:
            return False
        task.state, task.note, task.ended = state, note[:300], now()
        if state == DONE:
            task.done = task.total
        return True

    def stop(self, task_id: str) -> TaskRow:
        """Ask for a task to be stopped."""
        task = self.get(task_id)
        task.cancel = True
        if task.state == WAITING:
            task.state, task.ended = CANCELLED, now()
        return task
