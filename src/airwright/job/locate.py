"""Where each key and value of a TOML text stands, so that findings can name line and column.

The text has already been accepted by tomllib; this scanner only follows its layout.
"""

from __future__ import annotations

import re
from bisect import bisect_right

from airwright.params import MOST_ENTRIES

Path = tuple[str | int, ...]
Position = tuple[int, int]

DEEPEST = 40
"""Parts of a dotted key that are followed; no key of ours has more than five."""

_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE = re.compile(r"[A-Za-z0-9_-]+")
_PLAIN = re.compile(r"[^,\]}\n#]+")
_NUMBERS = re.compile(r"(?:[^\[\]{}\"'#,\n]*+[,\n])*+")
"""Plain entries of a list that is longer than any that is told about."""

_STRINGS = (
    re.compile(r'"""(?:\\.|[^\\])*?"{3,5}', re.DOTALL),
    re.compile(r"'''.*?'{3,5}", re.DOTALL),
    re.compile(r'"(?:\\.|[^"\\\n])*"'),
    re.compile(r"'[^'\n]*'"),
)


def positions(text: str) -> dict[Path, Position]:
    """Path → (line, column) of its key or element, both counted from 1."""
    return _Scanner(text).run()


class _Scanner:
    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.lines = [0] + [i + 1 for i, char in enumerate(text) if char == "\n"]
        self.found: dict[Path, Position] = {}
        self.arrays: dict[Path, int] = {}

    def run(self) -> dict[Path, Position]:
        table: Path = ()
        while True:
            self._skip_blank()
            if self.at >= len(self.text):
                return self.found
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)

    def _skip_blank(self) -> None:
        match = _BLANK.match(self.text, self.at)
        assert match is not None
        self.at = match.end()

    def _mark(self, path: Path, at: int) -> None:
        line = bisect_right(self.lines, at)
        self.found.setdefault(path, (line, at - self.lines[line - 1] + 1))

    def _header(self) -> Path:
        start = self.at
        is_array = self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        keys = self._keys()
        self.at = self.text.index("]", self.at) + (2 if is_array else 1)
        path: Path = ()
        for key in keys[:-1]:
            path += (key,)
            if path in self.arrays:
                path += (self.arrays[path],)
        path += (keys[-1],)
        if is_array:
            self._mark(path, start)
            self.arrays[path] = self.arrays.get(path, -1) + 1
            path += (self.arrays[path],)
        self._mark(path, start)
        return path

    def _keys(self) -> list[str]:
        keys = []
        while True:
            self._skip_space()
            keys.append(self._key())
            self._skip_space()
            if not self.text.startswith(".", self.at):
                return keys
            if len(keys) == DEEPEST:
                raise ValueError("keys too deep to follow")
            self.at += 1

    def _skip_space(self) -> None:
        while self.at < len(self.text) and self.text[self.at] in " \t":
            self.at += 1

    def _key(self) -> str:
        bare = _BARE.match(self.text, self.at)
        if bare is not None:
            self.at = bare.end()
            return bare[0]
        quoted = _STRINGS[2 if self.text[self.at] == '"' else 3].match(self.text, self.at)
        if quoted is None:
            raise ValueError("no key here")
        self.at = quoted.end()
        return quoted[0][1:-1]

    def _pair(self, table: Path) -> None:
        start = self.at
        path = table
        for key in self._keys():
            path += (key,)
            self._mark(path, start)
        self.at = self.text.index("=", self.at) + 1
        self._skip_space()
        self._value(path)

    def _value(self, path: Path) -> None:
        char = self.text[self.at]
        if char == "[":
            self._items(path, "]")
        elif char == "{":
            self._items(path, "}")
        else:
            for pattern in (*_STRINGS, _PLAIN):
                match = pattern.match(self.text, self.at)
                if match is not None:
                    self.at = match.end()
                    return
            raise ValueError("no value here")

    def _items(self, path: Path, closing: str) -> None:
        self.at += 1
        index = 0
        while True:
            if index > MOST_ENTRIES:
                self.at = _NUMBERS.match(self.text, self.at).end()  # type: ignore[union-attr]
            self._skip_blank()
            if self.text[self.at] == closing:
                self.at += 1
                return
            if self.text[self.at] == ",":
                self.at += 1
            elif closing == "]":
                self._mark((*path, index), self.at)
                self._value((*path, index))
                index += 1
            else:
                self._pair(path)
