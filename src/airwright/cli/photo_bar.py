"""A progress bar for photographs: what is taken now, how far, and the time left."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

Tell = Callable[[float, float, str], None]
"""Called with the share done (0..1), the seconds left and what is taken now."""


@contextmanager
def photo_bar(what: str = "Photographing") -> Iterator[Tell]:
    """A bar on a terminal once there is something to wait for, nothing in a pipe."""
    if not sys.stderr.isatty():
        yield lambda share, left, name: None
        return
    from rich.progress import BarColumn, Progress, TextColumn

    from airwright.cli.show import console

    columns = (TextColumn("{task.description}"), BarColumn(), TextColumn("{task.fields[left]}"))
    with Progress(*columns, console=console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=1.0, left="")
        yield lambda share, left, name: bar.update(
            task, completed=share, description=f"{what}: {name}", left=left_in_words(left)
        )


def left_in_words(seconds: float) -> str:
    """Time left, no finer than anyone can use: "about 20 s", "about 3 min"."""
    if seconds < 1:
        return ""
    if seconds < 90:
        return f"about {max(5, 5 * round(seconds / 5))} s left"
    if seconds < 5400:
        return f"about {round(seconds / 60)} min left"
    return f"about {seconds / 3600:.1f} h left"
