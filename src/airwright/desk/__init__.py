"""The decorator's desk: the whole job in the browser.

`create_app(settings)` makes the web application, `serve(settings, say)` runs it, and
`work(settings)` does background work for it from another process or machine.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from airwright.desk.config import DeskSettings

if TYPE_CHECKING:
    from airwright.desk.app import create_app
    from airwright.desk.serving import serve, work

__all__ = ["DeskSettings", "create_app", "serve", "work"]


def __getattr__(name: str) -> object:
    """Load the web only when it is asked for: `airwright --help` must not wait for it."""
    if name == "create_app":
        from airwright.desk.app import create_app

        return create_app
    if name in ("serve", "work"):
        from airwright.desk import serving

        return getattr(serving, name)
    raise AttributeError(name)
