"""The whole job pack: every document of a plan, and the folder it is written into."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from importlib import import_module
from pathlib import Path
from typing import Final

from airwright.job.findings import Finding, in_order
from airwright.language import speaking
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.request import Request, request_for
from airwright.papers.publish import PackError, prepare, publish
from airwright.plan import export
from airwright.plan.balloon_list import balloon_list
from airwright.plan.values import Plan

Progress = Callable[[int, int, str], None]
"""Called with (documents done, documents in all, name of the next one), by the thread that asked
for the pack."""

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
turn comes, and offers `make(request) -> tuple[Paper, ...]` and `AUDIENCE`, whom they are for."""

MOST_AT_ONCE: Final = 4
"""Documents made at once at the most: the typesetter works outside Python's lock."""


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
        plan.json and balloons.csv first; each paper carries the findings of its own making.
        Documents are made side by side, but stand in their order; what fails first in that
        order is raised.
    """
    request = request_for(plan, today, photos)
    papers = [_plan_file(plan), _balloon_file(plan)]
    hands = ThreadPoolExecutor(min(MOST_AT_ONCE, os.cpu_count() or 1), "airwright-paper")
    try:
        making = [hands.submit(_make, name, request) for name in DOCUMENTS]
        for done, (name, made) in enumerate(zip(DOCUMENTS, making, strict=True)):
            if progress is not None:
                progress(done, len(DOCUMENTS), name.replace("_", " "))
            papers += made.result()
    finally:
        hands.shutdown(cancel_futures=True)
    return tuple(papers)


def write_pack(
    plan: Plan,
    out_dir: Path,
    *,
    today: dt.date,
    photos: Mapping[str, Path] | None = None,
    progress: Progress | None = None,
    found: Callable[[Finding], None] | None = None,
) -> tuple[Path, ...]:
    """Make every document and write all of them into a folder, or none.

    Args:
        plan, today, photos, progress: see `documents_for`.
        out_dir: made if missing; what is not ours in it stays.
        found: told what could not be printed as wished: glyphs, photographs, a full van.

    Returns:
        The files written.

    Raises:
        PackError: the folder cannot take them; it is as it was before.
    """
    prepare(out_dir)
    papers = documents_for(plan, today=today, photos=photos, progress=progress)
    written = publish(papers, out_dir)
    if found is not None:
        for finding in in_order(finding for paper in papers for finding in paper.findings):
            found(finding)
    return written


def _make(name: str, request: Request) -> tuple[Paper, ...]:
    with speaking(request.language_of(name)):
        made: tuple[Paper, ...] = import_module(f"airwright.papers.{name}").make(request)
    return made


def _plan_file(plan: Plan) -> Paper:
    data = export.dumps(plan).encode()
    return Paper("plan.json", data, fingerprint({"plan": data}))


def _balloon_file(plan: Plan) -> Paper:
    data = balloon_list(plan).encode()
    return Paper("balloons.csv", data, fingerprint({"balloons": data}))


__all__ = ["DOCUMENTS", "PackError", "Progress", "documents_for", "publish", "write_pack"]
