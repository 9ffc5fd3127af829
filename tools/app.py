"""A folder that holds everything, Python too: its program starts the desk and opens the browser.

    python -m tools.app [--out out/app]

Built for the system it is built on (PyInstaller). Photographs and USDZ stay out: they are an extra,
and more than half of the size.
"""

from __future__ import annotations

import argparse
import re
import subprocess
import sys
import tempfile
import urllib.request
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "airwright"

START = '''"""What the icon starts: the desk, or whatever command is named."""

import sys
from multiprocessing import freeze_support

if __name__ == "__main__":
    freeze_support()  # papers are made in processes of their own
    from airwright.cli import main

    if len(sys.argv) == 1:
        sys.argv.append("desk")
    main()
'''

WHOLE = (
    "airwright", "alembic", "babel", "ezdxf", "facturx", "fluids", "holidays",
    "icalendar", "procrastinate", "psycopg", "psycopg_binary", "psycopg_pool", "stdnum", "typst",
    "tzdata", "uvicorn", "webauthn", "zxcvbn", "highspy", "coloraide", "segno", "skimage",
    "fontTools", "xlsxwriter", "trustme", "vobject", "lxml",
)  # fmt: skip
"""Packages that bring data or load parts of themselves by name."""

EXTRA = ("mitsuba", "mitsuba_oidn", "drjit", "cv2", "pxr", "tkinter", "matplotlib", "pytest",
         "IPython", "PIL.ImageTk", "playwright", "mypy")  # fmt: skip
"""Left out: the photographs, and what only we use."""


def build(out: Path) -> Path:
    """Build the folder; the program in it.

    Args:
        out: where to; an `airwright` folder is made in it.
    """
    from PyInstaller.__main__ import run

    with tempfile.TemporaryDirectory(prefix="airwright-app-") as folder:
        start = Path(folder) / "start.py"
        start.write_text(START, encoding="utf-8")
        run([
            str(start), "--name", "airwright", "--onedir", "--noconfirm", "--clean",
            "--log-level", "WARN", "--distpath", str(out), "--workpath", folder,
            "--specpath", folder, "--paths", str(ROOT / "src"),
            *(word for name in WHOLE if _is_here(name) for word in ("--collect-all", name)),
            *(word for name in EXTRA for word in ("--exclude-module", name)),
            # The steps of the migrations are read as files.
            "--add-data", f"{SOURCE / 'store' / 'migrations'}:airwright/store/migrations",
        ])  # fmt: skip
    return out / "airwright" / ("airwright.exe" if sys.platform == "win32" else "airwright")


def _is_here(name: str) -> bool:
    from importlib.util import find_spec

    return find_spec(name) is not None


def prove(program: Path) -> None:
    """Start it as its icon would, where no Python is on the path, and open the example job.

    Raises:
        RuntimeError: it did not start, or a page did not come.
    """
    with tempfile.TemporaryDirectory(prefix="airwright-app-") as home:
        bare = {"HOME": home, "XDG_DATA_HOME": home, "PATH": "", "USERPROFILE": home}
        command = [str(program), "desk", "--port", "0", "--no-browser"]
        started = subprocess.Popen(
            command, env=bare, cwd=home, text=True, stdout=subprocess.PIPE, stderr=subprocess.STDOUT
        )
        try:
            assert started.stdout is not None
            first = started.stdout.readline()
            found = re.search(r"http://[\d.:]+/", first)
            if found is None:
                raise RuntimeError(f"it said: {first}{started.stdout.read()}")
            jobs = _page(found[0])
            job = re.search(r'href="/(jobs/[a-z0-9]{13})', jobs)
            if job is None or "balloons" not in _page(found[0] + job[1]):
                raise RuntimeError("the example job does not open")
            _page(f"{found[0]}{job[1]}/offer")
        finally:
            started.terminate()
            started.wait(timeout=30)


def _page(address: str) -> str:
    with urllib.request.urlopen(address, timeout=120) as answer:
        return str(answer.read().decode())


def main(arguments: list[str] | None = None) -> int:
    """Build, and say how large it is."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else "")
    parser.add_argument("--out", type=Path, default=ROOT / "out" / "app")
    program = build(parser.parse_args(arguments).out)
    prove(program)
    size = sum(file.lstat().st_size for file in program.parent.rglob("*") if file.is_file())
    sys.stdout.write(f"{program} ({size / 1e6:.0f} MB with all beside it)\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
