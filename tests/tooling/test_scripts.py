"""The scripts around the tests: a red run stays red, and set-up never stops a test run."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CLOSING = "=== 2 passed, 1 skipped in 0.10s ==="


@pytest.mark.parametrize(
    ("recipe", "status", "last"),
    [
        (f"@echo '{CLOSING}'; echo 'more talk'", 0, CLOSING),
        ("@echo '=== 1 failed, 2 passed in 0.10s ==='; exit 1", 2,
         "=== 1 failed, 2 passed in 0.10s ==="),
        ("@echo 'no network'; exit 3", 2, "The tests did not run to their end."),
    ],
)  # fmt: skip
def test_ci_passes_on_the_verdict(tmp_path: Path, recipe: str, status: int, last: str) -> None:
    (tmp_path / ".ci").mkdir()
    shutil.copy(ROOT / ".ci" / "run", tmp_path / ".ci" / "run")
    (tmp_path / "Makefile").write_text(f"test:\n\t{recipe}\n")
    environment = {k: v for k, v in os.environ.items() if not k.startswith("MAKE")}
    done = subprocess.run(
        ["bash", ".ci/run"], cwd=tmp_path, capture_output=True, text=True, timeout=60,
        check=False, stdin=subprocess.DEVNULL, env=environment,
    )  # fmt: skip
    assert done.returncode == status
    assert done.stdout.splitlines()[-1] == last


def test_missing_packages_are_no_error(tmp_path: Path) -> None:
    """With nothing on the path it says what will skip, and ends well."""
    for name in ("bash", "id"):
        (tmp_path / name).symlink_to(shutil.which(name) or name)
    done = subprocess.run(
        [tmp_path / "bash", ROOT / "tools" / "system_packages.sh"],
        env={"PATH": str(tmp_path)}, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip
    assert done.returncode == 0
    assert "chromium" in done.stdout
    assert "will skip" in done.stdout
