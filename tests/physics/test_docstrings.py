"""Every public physics function documents itself in the six parts, and tells the truth.

Checked by reading: sections present and filled, parameters in the text equal those in the
signature (names and order), and every float parameter carries a [unit].
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable
from typing import Any

import pytest

import airwright.physics

SECTIONS = ("Parameters", "Returns", "Validity", "References")
ENTRY = re.compile(r"^([a-z_][a-z0-9_, ]*) : (.+)$")


def public_functions() -> list[Callable[..., Any]]:
    found = []
    for info in pkgutil.iter_modules(airwright.physics.__path__, "airwright.physics."):
        module = importlib.import_module(info.name)
        for name, value in vars(module).items():
            own = getattr(value, "__module__", None) == module.__name__
            if own and not name.startswith("_") and callable(value) and not inspect.isclass(value):
                found.append(value)
    return [f for f in found if f.__module__ != "airwright.physics.errors"]


def sections(text: str) -> dict[str, list[str]]:
    """Split a docstring at its underlined headings; the part before is 'Summary'."""
    lines = inspect.cleandoc(text).splitlines()
    parts: dict[str, list[str]] = {"Summary": []}
    current = "Summary"
    for number, line in enumerate(lines):
        following = lines[number + 1] if number + 1 < len(lines) else ""
        if following and set(following) == {"-"} and len(following) == len(line):
            current = line
            parts[current] = []
        elif not (line and set(line) == {"-"}):
            parts[current].append(line)
    return parts


def entries(lines: list[str]) -> dict[str, str]:
    """name -> type text of a Parameters or Returns section."""
    out: dict[str, str] = {}
    for line in lines:
        match = ENTRY.match(line)
        if match:
            for name in match.group(1).split(","):
                out[name.strip()] = match.group(2)
    return out


def problems(function: Callable[..., Any]) -> list[str]:
    text = function.__doc__ or ""
    parts = sections(text)
    found = []
    if not any(line.startswith("Formula: ") for line in parts["Summary"]):
        found.append("no 'Formula:' line")
    signature = inspect.signature(function)
    for heading in SECTIONS:
        if heading == "Parameters" and not signature.parameters:
            continue
        if not any(line.strip() for line in parts.get(heading, [])):
            found.append(f"section {heading} missing or empty")
    told = entries(parts.get("Parameters", []))
    if list(told) != list(signature.parameters):
        found.append(f"text names {list(told)}, signature {list(signature.parameters)}")
    for name, parameter in signature.parameters.items():
        kind = str(parameter.annotation)
        measured = "Real" in kind or "float" in kind or "Floats" in kind
        if measured and not re.search(r"\[[^\]]+\]", told.get(name, "")):
            found.append(f"{name} has no [unit]")
    returned = entries(parts.get("Returns", []))
    if not returned:
        found.append("Returns names nothing")
    if not re.search(r"^\[1\] \S", "\n".join(parts.get("References", [])), re.M):
        found.append("no numbered reference")
    return found


def test_there_are_functions_to_read() -> None:
    assert len(public_functions()) > 20


@pytest.mark.parametrize(
    "function", public_functions(), ids=lambda f: f"{f.__module__}.{f.__name__}"
)
def test_docstring_is_complete_and_true(function: Callable[..., Any]) -> None:
    assert problems(function) == []


def test_reader_sees_a_missing_unit_and_a_wrong_name() -> None:
    def bad(height: float, width: float) -> float:
        """Summary.

        Formula: a = h w.

        Parameters
        ----------
        height : float
            No unit here.
        breadth : float, [m]
            Wrong name.

        Returns
        -------
        area : float, [m²]
            Area.

        Validity
        --------
        Any.

        References
        ----------
        [1] None needed.
        """
        return height * width

    found = problems(bad)
    assert any("height has no [unit]" in line for line in found)
    assert any("signature" in line for line in found)
