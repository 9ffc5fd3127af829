"""Files written whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

from airwright.pictures.photo.errors import PhotoError


def written_whole(path: Path, write: Callable[[Path], None]) -> Path:
    """Let `write` fill a file beside `path`, then move it there; nothing half is left behind."""
    path = Path(path)
    part: Path | None = None
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
        os.close(handle)
        part = Path(name)
        write(part)
        part.chmod(0o644)
        part.replace(path)
        part = None
    except OSError as error:
        raise PhotoError(
            "photo.disk",
            f"The picture could not be written to {path} ({error.strerror or error}).",
            "Free some space or choose a folder you may write to.",
        ) from error
    finally:
        if part is not None:
            part.unlink(missing_ok=True)
    return path
