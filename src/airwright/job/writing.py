"""Writing job files: from a Job without loss, and edits that keep comments and layout."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.items import AoT

from airwright.job.models import Job


def write_job(job: Job) -> str:
    """A job as TOML text that `read_job` reads back to the same Job."""
    values = job.model_dump(mode="json", exclude_defaults=True)
    document = tomlkit.document()
    document["format"] = job.format
    document["job"] = _table({**values["job"], "date": job.job.date})
    for name in ("venue", "shades"):
        if values.get(name):
            document[name] = _table(values[name])
    for name in ("pieces", "options"):
        if values.get(name):
            rows = tomlkit.aot()
            for model, row in zip(getattr(job, name), values[name], strict=True):
                if name == "pieces":
                    row = {"name": model.name, "kind": model.kind, **row}
                rows.append(_table(row))
            document[name] = rows
    return tomlkit.dumps(document)


def _table(values: dict[str, Any]) -> Any:
    table = tomlkit.table()
    for key, value in values.items():
        if value is not None:
            table[key] = _item(value)
    return table


def _item(value: Any) -> Any:
    if isinstance(value, dict):
        inline = tomlkit.inline_table()
        for key, inner in value.items():
            if inner is not None:
                inline[key] = _item(inner)
        return inline
    if isinstance(value, list):
        array = tomlkit.array()
        for inner in value:
            array.append(_item(inner))
        return array
    return value


def with_value(text: str, path: Sequence[str | int], value: Any) -> str:
    """Job text with one value set (or taken out, for None), comments and layout kept.

    Args:
        text: a job file that parses as TOML.
        path: ("pieces", 0, "topper", "shade"); missing tables on the way are made.
        value: text, number, list or dict; None removes the key.

    Raises:
        KeyError, IndexError: a list index on the path does not exist.
    """
    document = tomlkit.parse(text)
    spot: Any = document
    for part, following in pairwise(path):
        if isinstance(part, str) and part not in spot:
            spot[part] = tomlkit.array() if isinstance(following, int) else tomlkit.inline_table()
        spot = spot[part]
    last = path[-1]
    if value is None:
        if isinstance(last, int) or last in spot:
            del spot[last]
    elif isinstance(spot, AoT) and isinstance(last, int):
        spot[last] = _table(value)
    else:
        spot[last] = _item(value)
    return tomlkit.dumps(document)


def write_atomically(path: Path, data: bytes) -> None:
    """Write a file so that a crash leaves the old one or the new one, never half of each.

    Raises:
        OSError: the folder cannot be written, or the disk is full; the old file stays.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        if path.exists():
            Path(name).chmod(path.stat().st_mode & 0o777)
        else:
            umask = os.umask(0)
            os.umask(umask)
            Path(name).chmod(0o666 & ~umask)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
