"""Looks through every tracked file for what does not belong in the repository.

    python -m tools.tidy [ROOT]

Finds: addresses of package registries (a lock names packages and hashes, never
a place), folders of one particular machine, keys and tokens, merges that were
not finished, and long source files that do not say why they are long.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

# Put together from parts, so that this file passes its own check.
REGISTRY_HOSTS = tuple(
    ".".join(parts)
    for parts in (
        ("pypi", "org"), ("files", "pythonhosted", "org"), ("registry", "npmjs", "org"),
        ("registry", "yarnpkg", "com"), ("deb", "debian", "org"), ("archive", "ubuntu", "com"),
        ("proxy", "golang", "org"), ("crates", "io"), ("repo", "anaconda", "com"),
    )
)  # fmt: skip
MACHINE_FOLDERS = tuple(
    "/" + name + "/" for name in ("work", "root", "home/[a-z][a-z0-9_-]*", "Users/[A-Za-z]+", "opt")
)
SECRETS = (
    r"-----BEGIN [A-Z ]*PRIVATE KEY-----",
    r"\bAKIA[0-9A-Z]{16}\b",
    r"\bgh[pousr]_[A-Za-z0-9]{36}\b",
    r"\bxox[abprs]-[A-Za-z0-9-]{10,}",
)
RULES = (
    ("names a package registry", re.compile("|".join(map(re.escape, REGISTRY_HOSTS)))),
    # Only at the start of a path: "open/work/x" and "https://host/opt/x" are fine.
    ("names a folder of one machine", re.compile(rf"(?<![\w./~-])(?:{'|'.join(MACHINE_FOLDERS)})")),
    ("looks like a secret", re.compile("|".join(SECRETS))),
    ("holds the mark of a merge that nobody finished", re.compile(r"^(?:<{7}|>{7}) \S")),
)
LONG_FILE = 500
HEAD = 40
REASON = re.compile(r"\blong(?:er)?\b.*\bbecause\b|\bwhy this file is long\b", re.IGNORECASE)


def tracked(root: Path) -> list[Path]:
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=root, capture_output=True, check=True
    ).stdout
    return [root / name for name in listing.decode().split("\0") if name]


def complaints(path: Path, shown: str) -> Iterator[str]:
    """What is wrong with one file, one line each; nothing for binary files."""
    try:
        text = path.read_text(encoding="utf-8")
    except (UnicodeDecodeError, FileNotFoundError, IsADirectoryError):
        return
    lines = text.splitlines()
    for number, line in enumerate(lines, start=1):
        for what, pattern in RULES:
            if match := pattern.search(line):
                yield f"{shown}:{number}: {what}: {match.group()}"
    if (
        path.suffix == ".py"
        and len(lines) > LONG_FILE
        and not REASON.search(" ".join(lines[:HEAD]))
    ):
        yield (
            f"{shown}: {len(lines)} lines; split it, or say in its head "
            "that it is 'long because ...'"
        )


def main(arguments: list[str]) -> int:
    root = Path(arguments[0]) if arguments else Path(__file__).resolve().parents[1]
    found = [
        line
        for path in tracked(root)
        for line in complaints(path, path.relative_to(root).as_posix())
    ]
    for line in found:
        print(line, file=sys.stderr)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
