"""tools.tidy finds what it is meant to find, and nothing in the repository itself."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest

from tools import tidy

ROOT = Path(__file__).resolve().parents[2]


def repository(root: Path, name: str, text: str) -> Path:
    subprocess.run(["git", "init", "-q", str(root)], check=True)
    (root / name).write_text(text)
    subprocess.run(["git", "-C", str(root), "add", name], check=True)
    return root


@pytest.mark.parametrize(
    ("line", "complaint"),
    [
        ("see https://" + "pypi" + ".org/simple", "names a package registry"),
        ('"resolved": "https://registry.' + 'npmjs.org/x/-/x.tgz"', "names a package registry"),
        ('DATA = "/wo' + 'rk/main/data.csv"', "names a folder of one machine"),
        ("cd /ro" + "ot/project", "names a folder of one machine"),
        ("(/ho" + "me/kim/notes)", "names a folder of one machine"),
        ("-----BEGIN RSA " + "PRIVATE KEY-----", "looks like a secret"),
        ("key = AKIA" + "ABCDEFGHIJKLMNOP", "looks like a secret"),
        ("<" * 7 + " HEAD", "holds the mark of a merge that nobody finished"),
    ],
)
def test_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str, complaint: str
) -> None:
    assert tidy.main([str(repository(tmp_path, "notes.md", f"fine\n{line}\n"))]) == 1
    assert f"notes.md:2: {complaint}" in capsys.readouterr().err


@pytest.mark.parametrize(
    "line", ["https://example.org/work/x", "out/work/y", "/usr/bin/chromium", "the root/stem"]
)
def test_accepted(tmp_path: Path, line: str) -> None:
    assert tidy.main([str(repository(tmp_path, "notes.md", line + "\n"))]) == 0


def test_a_long_file_says_why(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    body = "x = 1\n" * (tidy.LONG_FILE + 1)
    assert tidy.main([str(repository(tmp_path, "a.py", body))]) == 1
    assert "a.py: 501 lines" in capsys.readouterr().err
    (tmp_path / "a.py").write_text('"""Long because one table is one table."""\n' + body)
    assert tidy.main([str(tmp_path)]) == 0


def test_this_repository_is_tidy(capsys: pytest.CaptureFixture[str]) -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("not a git clone: the tracked files are unknown")
    status = tidy.main([])
    assert status == 0, capsys.readouterr().err


def test_the_lock_has_hashes_and_no_address() -> None:
    lines = (ROOT / "requirements.lock").read_text().splitlines()
    pins = [n for n, line in enumerate(lines) if "==" in line]
    assert len(pins) > 100
    for n in pins:
        assert lines[n].endswith("\\"), lines[n]
        assert lines[n + 1].lstrip().startswith("--hash=sha256:"), lines[n]
    assert not [line for line in lines if "://" in line or line.startswith("-")]
