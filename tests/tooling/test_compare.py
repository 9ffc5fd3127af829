"""The compare fixture fails when it must, records what it saw, and wants an origin."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]


def session(root: Path, body: str, *options: str) -> tuple[subprocess.CompletedProcess[str], Any]:
    """Run one validation file in a copy of our test set-up; give the outcome and the rows."""
    (root / "tests" / "validation").mkdir(parents=True)
    for name in ("pyproject.toml", "tests/__init__.py", "tests/conftest.py", "tests/services.py",
                 "tests/validation/__init__.py", "tests/validation/conftest.py"):  # fmt: skip
        shutil.copy(ROOT / name, root / name)
    (root / "tests" / "validation" / "test_it.py").write_text(
        "import numpy as np\nimport pytest\n" + body
    )
    rows = root / "rows.json"
    environment = {k: v for k, v in os.environ.items() if not k.startswith("PYTEST_")}
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "-p", "no:schemathesis",
         f"--validation-out={rows}", *options],
        cwd=root, env=environment, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    return done, json.loads(rows.read_text()) if rows.exists() else None


def compared(arguments: str, marker: str = "published", name: str = "test_it") -> str:
    return (
        f"@pytest.mark.{marker}\ndef {name}(compare):\n"
        f"    compare({arguments}, source='a book', what='a thing', unit='m')\n"
    )


@pytest.mark.parametrize("options", [(), ("-n", "2")])
def test_rows_are_recorded(tmp_path: Path, options: tuple[str, ...]) -> None:
    body = (
        "pytestmark = pytest.mark.closed_form\n"
        + compared("[1.0, 2.001], [1.0, 2.0], rtol=1e-3")
        + "def test_module_marker(compare):\n    compare(1, 1, source='a', what='b')\n"
    )
    done, rows = session(tmp_path, body, *options)
    assert done.returncode == 0, done.stdout
    assert rows[0] == {
        "test": "tests/validation/test_it.py::test_it", "order": 0, "marker": "published",
        "source": "a book", "what": "a thing", "unit": "m", "ours": 2.001, "published": 2.0,
        "tolerance": "0.1 %", "values": 2, "ok": True,
    }  # fmt: skip
    assert [row["marker"] for row in rows] == ["published", "closed_form"]


def test_each_difference_fails_and_is_recorded(tmp_path: Path) -> None:
    differing = [
        "1.01, 1.0, rtol=1e-3", "float('nan'), 1.0, rtol=1.0", "1.0, float('nan'), rtol=1.0",
        "float('inf'), float('inf'), rtol=1.0", "[1.0, 2.0], [1.0, 3.0], atol=0.5",
        "4, 5", "'a', 'b'",
    ]  # fmt: skip
    body = "".join(compared(text, name=f"test_{n}") for n, text in enumerate(differing))
    done, rows = session(tmp_path, body)
    assert done.returncode == 1
    assert f"{len(differing)} failed" in done.stdout
    assert "passed" not in done.stdout
    assert [row["ok"] for row in rows] == [False] * len(differing)


def test_an_empty_comparison_is_refused(tmp_path: Path) -> None:
    empty = ["1.0, 1.0", "[], [], rtol=1.0", "[1.0], [1.0, 1.0], rtol=1.0"]
    body = "".join(compared(text, name=f"test_{n}") for n, text in enumerate(empty))
    done, rows = session(tmp_path, body)
    assert done.returncode == 1
    assert f"{len(empty)} failed" in done.stdout
    assert "passed" not in done.stdout
    assert rows == []


def test_an_origin_is_wanted(tmp_path: Path) -> None:
    done, _ = session(tmp_path, "def test_it():\n    assert True\n")
    assert done.returncode == 4
    assert "test_it.py::test_it" in done.stderr


def test_an_unknown_marker_is_refused(tmp_path: Path) -> None:
    done, _ = session(tmp_path, compared("1, 1", marker="publishd"))
    assert done.returncode != 0
    assert "'publishd' not found" in done.stdout
