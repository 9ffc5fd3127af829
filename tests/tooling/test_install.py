"""`pip wheel .` of a clean clone brings a working desk; so does a source archive."""

from __future__ import annotations

import shutil
import socket
import subprocess
import sys
import sysconfig
import time
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def clean_clone(into: Path) -> Path:
    """What is tracked and nothing else, but for the front end's packages, which need a network."""
    names = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True, text=True
    ).stdout.split("\0")
    for name in filter(None, names):
        if name.startswith(("tests/", "docs/", "bench/")) or not (ROOT / name).is_file():
            continue
        target = into / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(ROOT / name, target)
    (into / "frontend" / "node_modules").symlink_to((ROOT / "frontend" / "node_modules").resolve())
    return into


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return int(found.getsockname()[1])


def answer(url: str, patience_s: float = 60.0) -> tuple[int, str]:
    """Status and text of an address, asked until somebody answers."""
    end = time.monotonic() + patience_s
    while True:
        try:
            with urllib.request.urlopen(url, timeout=20) as found:
                return found.status, found.read().decode("utf-8", "replace")
        except OSError:
            if time.monotonic() > end:
                raise
            time.sleep(0.2)


@pytest.mark.slow
@pytest.mark.skipif(
    not (ROOT / "frontend" / "node_modules").exists(), reason="front-end packages not installed"
)
def test_a_wheel_of_a_clean_clone_serves_the_desk(tmp_path: Path) -> None:
    clone = clean_clone(tmp_path / "clone")
    assert not (clone / "src/airwright/desk/static/dist").exists()
    made = subprocess.run(
        [sys.executable, "-c",
         "import sys, hatchling.build as b; print(b.build_sdist(sys.argv[1])); "
         "print(b.build_wheel(sys.argv[1]))", str(tmp_path)],
        cwd=clone, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert made.returncode == 0, made.stderr[-2000:]
    sdist, wheel = (tmp_path / name for name in made.stdout.split()[-2:])
    listed = subprocess.run(
        ["tar", "tzf", str(sdist)], capture_output=True, text=True, check=True
    ).stdout
    for name in ("static/dist/desk.css", "frontend/package-lock.json", "tools/build_hook.py"):
        assert name in listed
    assert "node_modules" not in listed

    env = tmp_path / "env"
    subprocess.run([sys.executable, "-m", "venv", "--without-pip", str(env)], check=True)
    python = env / "bin" / "python"
    site = next((env / "lib").glob("python3*")) / "site-packages"
    subprocess.run(
        [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--no-index",
         "--target", str(site), str(wheel)], check=True,
    )  # fmt: skip
    # Dependencies as they are; a path file of theirs (an editable install of ours) is not followed.
    (site / "dependencies.pth").write_text(sysconfig.get_paths()["purelib"] + "\n")
    port = free_port()
    desk = subprocess.Popen(
        [str(python), "-m", "airwright", "desk", "--no-browser", "--port", str(port),
         "--database", f"sqlite:///{tmp_path / 'desk.db'}"],
        cwd=tmp_path, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        env={"PATH": "/usr/bin:/bin", "HOME": str(tmp_path)},
    )  # fmt: skip
    try:
        status, page = answer(f"http://127.0.0.1:{port}/")
        assert status == 200
        address = page.split('<script type="module" src="')[1].split('"')[0]
        assert "desk.js" in address
        status, script = answer(f"http://127.0.0.1:{port}{address}")
        assert status == 200
        assert len(script) > 1000
    finally:
        desk.terminate()
        desk.wait(30)
