"""How long a person waits: whole commands, a new process each time, files cached.

Baselines, run in turn with the commands so that a busy machine slows both:
the same interpreter starting up and importing the libraries that the command is made with,
before any work is done: typer for `--help`; numpy, scipy.sparse, pydantic and rich for the
price; numpy, scipy.sparse, pydantic and typst for the pack.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

AIRWRIGHT = str(Path(sys.executable).parent / "airwright")
HELP_BASELINE = (sys.executable, "-c", "import typer")
PRICE_BASELINE = (sys.executable, "-c", "import numpy, scipy.sparse, pydantic, rich.console")
PACK_BASELINE = (sys.executable, "-c", "import numpy, scipy.sparse, pydantic, typst")


def once(*arguments: str) -> float:
    """Seconds from starting a program to its end; raises if it fails."""
    started = time.perf_counter()
    done = subprocess.run(
        arguments,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        timeout=600,
        check=False,
    )
    seconds = time.perf_counter() - started
    if done.returncode:
        raise RuntimeError(f"{' '.join(arguments)} ended with {done.returncode}: {done.stderr}")
    return seconds


def side_by_side(
    name: str,
    runs: int,
    ours: Callable[[], float],
    baseline: Callable[[], float],
    goal: float | None | None,
) -> dict[str, Any]:
    """Medians of alternating runs; the first pair only warms the file cache."""
    ours(), baseline()
    pairs = [(ours(), baseline()) for _ in range(runs)]
    mine, theirs = (statistics.median(column) for column in zip(*pairs, strict=True))
    return {
        "command": name,
        "runs": runs,
        "median s": mine,
        "slowest s": max(pair[0] for pair in pairs),
        "baseline s": theirs,
        "ratio": mine / theirs,
        "goal s": goal,
    }


def run(quick: bool) -> dict[str, Any]:
    """Measure `airwright --help`, the example's price and its whole pack."""
    with tempfile.TemporaryDirectory(prefix="airwright-bench-") as scratch:
        job = Path(scratch) / "example.toml"
        once(AIRWRIGHT, "new", str(job))

        def pack() -> float:
            with tempfile.TemporaryDirectory(dir=scratch) as out:
                return once(
                    AIRWRIGHT, "plan", str(job), "--no-photos", "--out", str(Path(out) / "pack")
                )

        rows = [
            side_by_side(
                "airwright --help",
                5 if quick else 15,
                lambda: once(AIRWRIGHT, "--help"),
                lambda: once(*HELP_BASELINE),
                0.3,
            ),
            side_by_side(
                "airwright price (example)",
                3 if quick else 9,
                lambda: once(AIRWRIGHT, "price", str(job)),
                lambda: once(*PRICE_BASELINE),
                None,
            ),
            side_by_side(
                "airwright plan (example)",
                2 if quick else 7,
                pack,
                lambda: once(*PACK_BASELINE),
                6.0,
            ),
        ]
    return {
        "title": "Whole commands",
        "baseline": "the same interpreter importing the libraries the command is made with, "
        "and doing nothing (which ones: bench/commands.py)",
        "rows": rows,
    }
