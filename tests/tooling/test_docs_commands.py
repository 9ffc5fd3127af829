"""Every command that the docs, the README and the container files show is one that there is."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import typer
from typer.testing import CliRunner

from airwright.cli.app import app
from airwright.desk.pages import environment
from tests.services import find_chromium

ROOT = Path(__file__).resolve().parents[2]
# commands.md shows usage, not commands, and is made from the parser itself.
PAGES = [
    ROOT / "README.md",
    *(page for page in sorted((ROOT / "docs").glob("*.md")) if page.name != "commands.md"),
]
FENCE = re.compile(r"^( *)```[a-z]*\n(.*?)^\1```", re.MULTILINE | re.DOTALL)
SHOWN = re.compile(r"(?:\.venv/bin/)?airwright [a-z].*")
QUICK = (
    "installing.md",
    "desk.md",
    "several-machines.md",
    "safe-keeping.md",
    "trouble-shooting.md",
)


def commands_of(text: str) -> Iterator[str]:
    for _, block in FENCE.findall(text):
        for line in block.replace("\\\n", " ").splitlines():
            line = line.strip().removeprefix("$ ")
            if SHOWN.fullmatch(line):
                yield line.split("   #")[0].split("  # ")[0].strip()


ALL = sorted({(page.name, line) for page in PAGES for line in commands_of(page.read_text("utf-8"))})


def misread(line: str) -> str:
    """What a command says of its own words, without doing anything; "" when it takes them."""
    words = shlex.split(line)[1:]
    found: Any = typer.main.get_command(app)
    while hasattr(found, "get_command"):
        inner = found.get_command(None, words[0]) if words else None
        if inner is None:
            return f"no such command: {line}"
        found, words = inner, words[1:]
    try:
        found.make_context(line, words)
    except Exception as problem:  # noqa: BLE001  the framework's own, wherever it keeps it
        return str(getattr(problem, "message", problem)) or type(problem).__name__
    return ""


def test_commands_were_found() -> None:
    assert len(ALL) > 25
    assert {page for page, _ in ALL} >= set(QUICK)


@pytest.mark.parametrize(("page", "line"), ALL)
def test_a_command_of_the_docs_is_understood(page: str, line: str) -> None:
    # The docs' own files are not here; everything else must fit.
    said = misread(line)
    assert not said or "does not exist" in said, said


@pytest.mark.parametrize(
    "line", ["airwright tidyup", "airwright tidy --lock", "airwright desk --port x"]
)
def test_the_check_above_can_fail(line: str) -> None:
    assert misread(line)


def test_keeping_safe_as_the_docs_say(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The commands of that page, run one after the other in a fresh studio."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.chdir(tmp_path)
    run = CliRunner()
    first = run.invoke(app, ["account", "ada"], input="seven quiet lighthouses\n")
    assert first.exit_code == 0, first.output
    assert "ada can sign in" in first.output.lower()
    page = (ROOT / "docs" / "safe-keeping.md").read_text("utf-8")
    lines = [line for line in commands_of(page) if not line.startswith("airwright desk")]
    assert len(lines) >= 4
    for line in lines:
        done = run.invoke(app, shlex.split(line)[1:])
        assert done.exit_code == 0, (line, done.output)
    again = run.invoke(app, ["account", "ada"], input="eight quiet lighthouses\n")
    assert "new password" in again.output
    for wrong, words in ((["ada", "--role", "king"], "no role"), (["ada"], "too short")):
        refused = run.invoke(app, ["account", *wrong], input="short\n")
        assert refused.exit_code == 2
        assert words in refused.output


def test_messages_of_the_trouble_page_are_ours() -> None:
    """What the left column quotes is said somewhere in the code or its templates."""
    page = (ROOT / "docs" / "trouble-shooting.md").read_text("utf-8")
    quoted = re.findall(r"^\| ([^|]+) \| [^|]+ \| [^|]+ \|$", page, re.MULTILINE)[2:]
    assert len(quoted) >= 8
    files = [*(ROOT / "src").rglob("*.py"), *(ROOT / "src").rglob("*.html")]
    source = " ".join(path.read_text("utf-8") for path in files)
    said = re.sub(r'"\s+f?"', "", source)
    for message in quoted:
        words = message.replace("127.0.0.1, port 8471", "").strip()
        assert words in said, message


def test_the_container_files_start_what_there_is() -> None:
    text = (ROOT / "containers" / "compose.yml").read_text("utf-8")
    lines = re.findall(r"command: (airwright .+)", text)
    assert len(lines) == 3
    for line in lines:
        words = re.sub(r"\$\{NAME[^}]*\}", "desk.example", line)
        assert misread(words) == ""
    file = (ROOT / "containers" / "Containerfile").read_text("utf-8")
    start = json.loads(re.findall(r"^CMD (\[.+\])$", file, re.MULTILINE)[0])
    assert misread(shlex.join(start)) == ""
    assert re.search(r"--proxy ([\d.]+)", text)[1] == re.search(r"ipv4_address: ([\d.]+)", text)[1]  # type: ignore[index]
    for service in ("database", "desk", "worker", "proxy", "owner"):
        assert f"\n  {service}:\n" in text


@pytest.mark.browser
@pytest.mark.slow
def test_the_built_pages_are_searched_and_fit_a_phone(tmp_path: Path) -> None:
    import sys

    from playwright.sync_api import sync_playwright

    from tests.services import CHROMIUM_ARGS

    site = tmp_path / "site"
    build = [
        sys.executable,
        "-m",
        "mkdocs",
        "build",
        "--strict",
        "--quiet",
        "--site-dir",
        str(site),
    ]
    subprocess.run(build, cwd=ROOT, check=True, timeout=120)
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=find_chromium(), args=list(CHROMIUM_ARGS))
        page = browser.new_page(viewport={"width": 390, "height": 800})
        page.goto(f"file://{site}/decisions/0001-record-decisions.html")
        assert not page.locator("nav.shelf li a").first.is_visible()  # the menu is folded
        page.click("summary:has-text('All pages')")
        assert page.locator("nav.shelf li a").first.is_visible()
        page.fill("#find", "erase CLIENTS data")
        page.click("#found a:has-text('Backups, updates')")
        page.wait_for_selector("h1:has-text('Backups, updates')")
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        browser.close()


def test_templates_are_there_to_be_quoted() -> None:
    assert environment().list_templates()
