"""Two folders change places: in one step where the system has one, else in two."""

from __future__ import annotations

import ctypes
import errno
import os
import sys
from pathlib import Path
from typing import Final

AT_FDCWD: Final = -100
RENAME_EXCHANGE: Final = 2
"""Linux, renameat2(2)."""


def exchange(first: Path, second: Path) -> None:
    """Swap two folders on one disk.

    Where the system cannot swap in one step, `second` is missing for an instant; when the second
    half fails, the first is undone.

    Raises:
        OSError: both are as they were.
    """
    if not _in_one_step(first, second):
        aside = first.with_name(f"{first.name}-old")
        second.rename(aside)
        try:
            first.rename(second)
        except OSError:
            aside.rename(second)
            raise
        aside.rename(first)


def _in_one_step(first: Path, second: Path) -> bool:
    """Try the system's own swap; False where there is none."""
    if not sys.platform.startswith("linux"):
        return False
    try:
        rename = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    done = rename(AT_FDCWD, os.fsencode(first), AT_FDCWD, os.fsencode(second), RENAME_EXCHANGE)
    if done == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    raise OSError(number, os.strerror(number), str(second))
