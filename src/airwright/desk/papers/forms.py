"""What may be asked for."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message


def order_of(
    context: RequestContext, documents: Collection[str], subjects: Collection[str]
) -> tuple[str, dict[str, Any]]:
    """A task's kind and details. Raises EditError."""
    if context.text("kind") == "photo":
        name = context.text("name", 120)
        if name not in subjects:
            raise EditError(
                message("There is nothing of that name to photograph."),
                message("Pick one of the list."),
            )
        return "photo", {"name": name}
    wanted = [w for w in context.form.getlist("papers") if isinstance(w, str)]
    unknown = [name for name in wanted if name not in documents]
    if unknown:
        raise EditError(
            message('There is no paper "{value}".', value=unknown[0][:40]),
            message("Pick one of the list."),
        )
    return "papers", {"papers": wanted}
