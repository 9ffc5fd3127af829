"""Where a database file must not lie: SQLite's log and locks do not work over a network.

"All processes using a database must be on the same host computer; WAL does not work over a network
filesystem" (sqlite.org, Write-Ahead Logging).
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Final

SHARES: Final = frozenset(
    {"nfs", "nfs4", "cifs", "smb3", "smbfs", "ncpfs", "afs", "9p", "ceph", "glusterfs",
     "fuse.sshfs", "fuse.rclone", "fuse.davfs", "davfs", "webdav", "afpfs"}
)  # fmt: skip
"""Kinds of file systems that lie on another machine."""

MOUNTS: Final = Path("/proc/mounts")

REMOTE_DRIVE: Final = 4
"""What Windows calls a drive of another machine (GetDriveTypeW)."""


def on_a_share(file: Path, mounts: Path = MOUNTS) -> bool:
    """Whether a file lies, or would lie, on another machine's disk; False where nobody knows."""
    if sys.platform == "win32":
        return _on_windows_share(file)
    return file_system_of(file.absolute(), mounts) in SHARES


def file_system_of(file: Path, mounts: Path = MOUNTS) -> str:
    """The kind of file system a path lies on, by the longest mount above it; "" if unknown."""
    try:
        lines = mounts.read_text(encoding="utf-8", errors="replace").splitlines()
    except OSError:
        return ""
    found, longest = "", -1
    folder = _nearest(file)
    for line in lines:
        words = line.split(" ")
        if len(words) < 3:
            continue
        at = Path(words[1].replace("\\040", " "))
        if folder.is_relative_to(at) and len(at.parts) >= longest:
            found, longest = words[2], len(at.parts)
    return found


def _nearest(path: Path) -> Path:
    """The nearest folder or file above a path that is there, with its links followed."""
    while not path.exists() and path != path.parent:
        path = path.parent
    return path.resolve()


def _on_windows_share(file: Path) -> bool:
    if sys.platform == "win32":
        import ctypes

        root = file.absolute().anchor
        return root.startswith("\\\\") or ctypes.windll.kernel32.GetDriveTypeW(root) == REMOTE_DRIVE
    return False
