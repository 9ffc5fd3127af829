"""Physics that no other part of the program reaches is not kept: a test alone is no use of it."""

from __future__ import annotations

import ast
from collections.abc import Iterable
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[2] / "src" / "airwright"
Definition = ast.FunctionDef | ast.ClassDef


def names_in(nodes: Iterable[ast.AST]) -> set[str]:
    """Every name and attribute that some code mentions."""
    inner = [found for node in nodes for found in ast.walk(node)]
    plain = {found.id for found in inner if isinstance(found, ast.Name)}
    return plain | {found.attr for found in inner if isinstance(found, ast.Attribute)}


def unreached(physics: list[str], others: list[str]) -> set[str]:
    """Functions and classes of physics modules that the other modules do not lead to."""
    bodies = [node for text in physics for node in ast.parse(text).body]
    made = {node.name: node for node in bodies if isinstance(node, Definition)}
    loose = [node for node in bodies if not isinstance(node, Definition | ast.ImportFrom)]
    todo = names_in([*loose, *(ast.parse(text) for text in others)])
    reached: set[str] = set()
    while todo:
        name = todo.pop()
        if name in made and name not in reached:
            reached.add(name)
            todo |= names_in([made[name]])
    return made.keys() - reached


def test_all_physics_is_reached() -> None:
    texts = {path: path.read_text(encoding="utf-8") for path in SOURCE.rglob("*.py")}
    physics = [text for path, text in texts.items() if SOURCE / "physics" in path.parents]
    others = [text for path, text in texts.items() if SOURCE / "physics" not in path.parents]
    assert len(physics) > 10
    assert unreached(physics, others) == set()


def test_what_only_itself_or_another_such_calls_is_found() -> None:
    physics = ["def lift(): return _air()\ndef _air(): return 1\n", "def drag(): return swirl()\n"
               "def swirl(): return drag()\n"]  # fmt: skip
    assert unreached(physics, ["lift()"]) == {"drag", "swirl"}
