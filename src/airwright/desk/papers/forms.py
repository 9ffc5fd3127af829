"""What may be asked for."""

from __future__ import annotations

from collections.abc import Collection
from typing import Any

from airwright.desk.access import Visit
from airwright.desk.live.edits import EditError


def order_of(
    visit: Visit, documents: Collection[str], subjects: Collection[str]
) -> tuple[str, dict[str, Any]]:
    """A task's kind and details. Raises EditError."""
    if visit.text("kind") == "photo":
        name = visit.text("name", 120)
        if name not in subjects:
            raise EditError("There is nothing of that name to photograph.", "Pick one of the list.")
        return "photo", {"name": name}
    wanted = [w for w in visit.form.getlist("papers") if isinstance(w, str)]
    unknown = [name for name in wanted if name not in documents]
    if unknown:
        raise EditError(f'There is no paper "{unknown[0][:40]}".', "Pick one of the list.")
    return "papers", {"papers": wanted}
