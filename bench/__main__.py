"""Runs every module of this folder that has a `run(quick)` and prints its tables.

    python -m bench [--quick] [--json FILE] [NAME ...]

`run(quick: bool) -> dict` returns ``{"title": str, "baseline": str, "rows": [dict, ...]}``
and may add ``"note": str``; rows share their keys, which become the columns.  A module that
raises is reported and the others still run; the exit code then is 1.
"""

from __future__ import annotations

import argparse
import importlib
import json
import os
import pkgutil
import platform
import sys
import time
import traceback
from pathlib import Path
from typing import Any

import bench


def modules(wanted: list[str]) -> list[str]:
    """Names of the measuring modules, all or the wanted ones, in alphabetical order."""
    found = sorted(
        entry.name for entry in pkgutil.iter_modules(bench.__path__) if entry.name[0] != "_"
    )
    unknown = sorted(set(wanted) - set(found))
    if unknown:
        raise SystemExit(f"no bench named {', '.join(unknown)}; there are: {', '.join(found)}")
    return [name for name in found if not wanted or name in wanted]


def machine() -> str:
    """What the figures were measured on, so that nobody compares across machines."""
    model = platform.processor() or platform.machine()
    try:
        text = Path("/proc/cpuinfo").read_text(encoding="utf-8")
        model = next(
            line.split(":", 1)[1].strip()
            for line in text.splitlines()
            if line.startswith("model name")
        )
    except (OSError, StopIteration):
        pass
    return f"{model}, {os.cpu_count()} cores, Python {platform.python_version()}"


def show(value: Any) -> str:
    """Three significant digits for measured numbers, the rest as it is."""
    if isinstance(value, float):
        return f"{value:.3g}" if abs(value) < 1000 else f"{value:,.0f}"
    return "" if value is None else str(value)


def table(result: dict[str, Any]) -> str:
    """The result as a Markdown table, aligned for a terminal."""
    rows: list[dict[str, Any]] = result["rows"]
    heads = list(rows[0]) if rows else []
    grid = [heads, *[[show(row.get(head)) for head in heads] for row in rows]]
    widths = [max(len(line[i]) for line in grid) for i in range(len(heads))]
    numeric = [all(isinstance(row.get(head), int | float | None) for row in rows) for head in heads]

    def line(cells: list[str]) -> str:
        padded = (
            text.rjust(width) if right else text.ljust(width)
            for text, width, right in zip(cells, widths, numeric, strict=True)
        )
        return f"| {' | '.join(padded)} |"

    rule = "|" + "|".join(
        "-" * (width + 1) + (":" if right else "-")
        for width, right in zip(widths, numeric, strict=True)
    )
    lines = [f"## {result['title']}", "", f"Baseline: {result['baseline']}.", ""]
    lines += [line(grid[0]), rule + "|", *map(line, grid[1:])]
    if result.get("note"):
        lines += ["", result["note"]]
    return "\n".join(lines)


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="python -m bench", description=__doc__)
    parser.add_argument("names", nargs="*", metavar="NAME")
    parser.add_argument("--quick", action="store_true", help="a short run, coarser figures")
    parser.add_argument("--json", type=Path, metavar="FILE", help="also write the results here")
    options = parser.parse_args(arguments)

    print(f"Measured on {machine()}.\n", flush=True)
    results, failed = {}, 0
    for name in modules(options.names):
        module = importlib.import_module(f"bench.{name}")
        if not hasattr(module, "run"):
            print(f"({name} has no run(quick): python -m bench.{name})\n", flush=True)
            continue
        started = time.perf_counter()
        try:
            result = module.run(options.quick)
        except Exception:  # noqa: BLE001 - the other measurements still run, the exit code tells
            failed += 1
            print(f"## {name} failed\n", flush=True)
            traceback.print_exc()
            continue
        results[name] = result
        took = time.perf_counter() - started
        print(f"{table(result)}\n\n({name}: {took:.0f} s)\n", flush=True)
    if options.json:
        options.json.write_text(json.dumps(results, indent=1), encoding="utf-8")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
