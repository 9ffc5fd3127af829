"""Each lint, proved by a text that must fail under the settings of this repository."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
BIN = Path(sys.executable).parent
GOOD = '"""A module."""\n\n\ndef double(x: float) -> float:\n    """Twice x."""\n    return 2 * x\n'
LONG = "def f(x: int) -> int:\n    '''F.'''\n" + "    x += 1\n" * 45 + "    return x\n"


def ruff(*arguments: str, text: str, name: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [BIN / "ruff", *arguments, "--no-cache", "--stdin-filename", name, "-"],
        input=text, cwd=ROOT, capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("rule", "text"),
    [
        ("T201", 'print("deep down")\n'),
        ("D100", "x = 1\n"),
        ("D103", GOOD.replace('    """Twice x."""\n', "")),
        ("DTZ005", "import datetime\n\nnow = datetime.datetime.now()\n"),
        ("BLE001", "try:\n    x = 1\nexcept Exception:\n    x = 2\n"),
        ("S301", "import pickle\n\nx = pickle.loads(b'')\n"),
        ("S608", 'q = "x"\ns = f"SELECT * FROM jobs WHERE name = {q}"\n'),
        ("F401", "import os\n"),
        ("PLR0915", LONG),
    ],
)
def test_ruff_refuses(rule: str, text: str) -> None:
    done = ruff("check", "--output-format=concise", text=text, name="src/airwright/physics/bad.py")
    assert done.returncode == 1
    assert f" {rule} " in done.stdout


def test_ruff_accepts_the_good_one() -> None:
    name = "src/airwright/physics/good.py"
    assert ruff("check", text=GOOD, name=name).returncode == 0
    assert ruff("format", "--check", text=GOOD, name=name).returncode == 0


def test_the_format_is_checked() -> None:
    bad = GOOD.replace("2 * x", "2*x")
    assert ruff("format", "--check", text=bad, name="src/airwright/bad.py").returncode == 1


def test_mypy_is_strict(tmp_path: Path) -> None:
    good, bad = tmp_path / "good.py", tmp_path / "bad.py"
    good.write_text(GOOD)
    bad.write_text("def f(x):\n    return x\n\n\ny: int = 'text'\n")
    done = subprocess.run(
        [BIN / "mypy", "--config-file", ROOT / "pyproject.toml", "--cache-dir", tmp_path / "cache",
         good, bad],
        cwd=tmp_path, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 1
    assert "bad.py:1: error: Function is missing a type annotation" in done.stdout
    assert "bad.py:5: error: Incompatible types" in done.stdout
    assert "good.py" not in done.stdout
