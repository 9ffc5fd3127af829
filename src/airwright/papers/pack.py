"""The whole job pack: every document of a plan, and the folder it is written into."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping
from importlib import import_module
from pathlib import Path
from typing import Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.request import Request, request_for
from airwright.papers.publish import PackError, prepare, publish
from airwright.plan import export
from airwright.plan.values import Plan

Progress = Callable[[int, int, str], None]
"""Called with (documents done, documents in all, name of the next one)."""

DOCUMENTS: Final = (
    "proposal",
    "make_sheet",
    "sizing_card",
    "shopping",
    "load_list",
    "safety_sheet",
    "calendar",
    "gallery",
)
"""Subpackages that make documents, in the order the files are listed. Each is imported when its
turn comes, and offers `make(request) -> tuple[Paper, ...]`."""


def documents_for(
    plan: Plan,
    *,
    today: dt.date,
    photos: Mapping[str, Path] | None = None,
    progress: Progress | None = None,
) -> tuple[Paper, ...]:
    """Make every document of a plan, without writing any.

    Args:
        plan: from `airwright.plan.planning.make_plan`.
        today: the day the papers are made.
        photos: option name → photograph (PNG or JPEG); drawings stand in for those left out.
        progress: told before each document.

    Returns:
        plan.json first; each paper carries the findings of its own making.
    """
    request = request_for(plan, today, photos)
    papers = [_plan_file(plan)]
    for done, name in enumerate(DOCUMENTS):
        if progress is not None:
            progress(done, len(DOCUMENTS), name.replace("_", " "))
        papers += _make(name, request)
    return tuple(papers)


def write_pack(
    plan: Plan,
    out_dir: Path,
    *,
    today: dt.date,
    photos: Mapping[str, Path] | None = None,
    progress: Progress | None = None,
) -> tuple[Path, ...]:
    """Make every document and write all of them into a folder, or none.

    Returns:
        The files written.

    Raises:
        PackError: the folder cannot take them; it is as it was before.
    """
    prepare(out_dir)
    papers = documents_for(plan, today=today, photos=photos, progress=progress)
    return publish(papers, out_dir)


def _make(name: str, request: Request) -> tuple[Paper, ...]:
    made: tuple[Paper, ...] = import_module(f"airwright.papers.{name}").make(request)
    return made


def _plan_file(plan: Plan) -> Paper:
    data = export.dumps(plan).encode()
    return Paper("plan.json", data, fingerprint({"plan": data}))


__all__ = ["DOCUMENTS", "PackError", "Progress", "documents_for", "publish", "write_pack"]
