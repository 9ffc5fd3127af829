"""Gathers our sentences, and keeps the books of translations in step.

    python -m tools.sentences           write new sentences into the books
    python -m tools.sentences --check   write nothing; exit 1 when a book lacks a sentence of the
                                        code, and list how much of each room is translated

Sentences are `message("…")` and `counted("…", "…", n)` in Python, `{% trans %}` and `_("…")` in
templates of the desk, `t("…")` in Typst templates and in scripts of the desk. Those of the scripts
also go into `desk/browser_words.json`, from where a page takes them along. Keys and choices of our
files that a form shows come from their records.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

from airwright.desk.field_groups import words_shown
from airwright.language.catalogs import BOOKS
from airwright.language.text import only_frames

ROOT = Path(__file__).resolve().parents[1]
SOURCE = ROOT / "src" / "airwright"
BOOK = SOURCE / "language" / "translations"
PYTHON_WORDS: dict[str, Any] = {"message": None, "counted": (1, 2), "_": None, "ngettext": (1, 2)}
SCRIPTS = ROOT / "frontend" / "src"
CARRIED = SOURCE / "desk" / "browser_words.json"
SAID = re.compile(r'(?<![\w.])t\("((?:[^"\\]|\\.)*)"')

Sentence = tuple[str | tuple[str, str], str]
"""A message, or its two forms, and the file it stands in."""


def sentences() -> Iterator[Sentence]:
    """Every sentence of the code, with its file from the top of the project."""
    for file in sorted(SOURCE.rglob("*")):
        if "dist" in file.parts or "translations" in file.parts:
            continue
        if file.suffix == ".py":
            yield from _extracted(file, "python")
        elif file.suffix == ".html":
            yield from _extracted(file, "jinja2.ext:babel_extract")
        elif file.suffix == ".typ":
            name = _name(file)
            lines = file.read_text(encoding="utf-8").splitlines()
            code = "\n".join(line for line in lines if not line.lstrip().startswith("//"))
            for found in SAID.finditer(code):
                yield found[1].replace('\\"', '"'), name
    yield from script_sentences()
    yield from ((word, "src/airwright/job/records.py") for word in words_shown())


def script_sentences() -> Iterator[Sentence]:
    """Sentences of the desk's scripts."""
    for file in sorted(SCRIPTS.rglob("*.ts")):
        for found in SAID.finditer(file.read_text(encoding="utf-8")):
            yield found[1].replace('\\"', '"'), _name(file)


def carried() -> str:
    """What the pages take along for the scripts, as the file holds it."""
    forms = dict.fromkeys(form for form, _ in script_sentences())
    return json.dumps(list(forms), ensure_ascii=False, indent=0) + "\n"


def _extracted(file: Path, method: str) -> Iterator[Sentence]:
    from babel.messages.extract import extract

    options = {} if method == "python" else {"trimmed": "true", "newstyle_gettext": "true"}
    words = PYTHON_WORDS if method == "python" else {"_": None, "gettext": None, "ngettext": (1, 2)}
    for row in extract(method, BytesIO(file.read_bytes()), words, options=options):
        message = row[1]
        if isinstance(message, tuple):
            one, many = message[0], message[1]
            if isinstance(one, str) and isinstance(many, str):
                yield (one, many), _name(file)
        elif isinstance(message, str) and message and not only_frames(message):
            yield message, _name(file)


def _name(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()


def template() -> Any:
    """All sentences as an empty catalogue."""
    from babel.messages.catalog import Catalog

    made = Catalog(project="airwright", charset="utf-8")
    for message, file in sentences():
        made.add(message, locations=[(file, 0)])
    return made


def book(language: str) -> Any:
    """The translations of a language as they stand."""
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import read_po

    file = BOOK / f"{language}.po"
    if not file.is_file():
        return Catalog(locale=language, project="airwright", charset="utf-8")
    with file.open("rb") as source:
        return read_po(source, locale=language)


def main(arguments: list[str]) -> int:
    """Write or check the books."""
    check = "--check" in arguments
    wanted = template()
    stale = check and CARRIED.read_text(encoding="utf-8") != carried()
    if not check:
        CARRIED.write_text(carried(), encoding="utf-8")
    for language in BOOKS:
        found = book(language)
        lacking = [row.id for row in wanted if row.id and row.id not in found]
        if check:
            stale = stale or bool(lacking)
            _report(language, wanted, found, lacking)
            continue
        found.update(wanted, no_fuzzy_matching=True)
        found.obsolete.clear()
        _write(language, found)
    if stale:
        print("Run 'python -m tools.sentences' and translate what is new.", file=sys.stderr)
    return int(stale)


def _report(language: str, wanted: Any, found: Any, lacking: list[Any]) -> None:
    rooms: dict[str, list[int]] = {}
    for row in wanted:
        if not row.id:
            continue
        here = found.get(row.id)
        done = here is not None and bool(here.string) and all(_forms(here.string))
        for room in {_room(file) for file, _ in row.locations}:
            counts = rooms.setdefault(room, [0, 0])
            counts[0] += int(done)
            counts[1] += 1
    said = ", ".join(f"{room} {done}/{all_}" for room, (done, all_) in sorted(rooms.items()))
    print(f"{language}: {said or 'no sentences'}")
    for message in lacking[:10]:
        print(f"  not in the book: {message}", file=sys.stderr)


def _room(file: str) -> str:
    return "scripts" if file.startswith("frontend/") else file.split("/")[2]


def _forms(string: str | tuple[str, ...]) -> tuple[str, ...]:
    return string if isinstance(string, tuple) else (string,)


def _write(language: str, found: Any) -> None:
    from babel.messages.pofile import write_po

    BOOK.mkdir(exist_ok=True)
    with (BOOK / f"{language}.po").open("wb") as target:
        write_po(target, found, width=100, sort_output=True, omit_header=True, include_lineno=False)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
