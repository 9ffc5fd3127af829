"""The reference of plan.json, read off its JSON Schema."""

from __future__ import annotations

import json
from collections.abc import Iterator
from importlib.resources import files
from typing import Any

from airwright.plan.balloon_list import COLUMNS
from tools.docs.text import code, generated, table

INTRO = """# plan.json

What other programs read. Keys may be added in later versions; none is changed or dropped.
Money is text (`"184.50"`), so that no program rounds it by accident. Lengths are metres unless
the name says otherwise. For programs that check what they read: the
[JSON Schema](plan.schema.json).
"""

BALLOONS = """## balloons.csv

Every balloon of every copy of every piece, one a line, beside `plan.json` in the job pack. Places
are in the piece's own axes: the origin lies on the floor under its middle, and its front looks
towards the viewer. UTF-8, a comma between values, a point in numbers.
"""


def render() -> str:
    """The page, from the schema that ships in the package."""
    schema = json.loads(schema_text())
    rows = list(keys(schema, schema, ""))
    parts = [generated("the JSON Schema in the package"), INTRO.rstrip()]
    parts.append(table(("key", "holds", "meaning"), rows))
    parts.append(BALLOONS.rstrip())
    columns = [(code(name), meaning) for name, meaning in COLUMNS.items()]
    parts.append(table(("column", "meaning"), columns))
    return "\n\n".join(parts) + "\n"


def schema_text() -> str:
    """The schema as it ships, for the site to offer too."""
    source = files("airwright.plan") / "schema" / "plan.schema.json"
    return source.read_text(encoding="utf-8")


def keys(schema: dict[str, Any], node: dict[str, Any], place: str) -> Iterator[tuple[str, ...]]:
    """Every key below a node, depth first, lists written as `pieces[]`."""
    for name, raw in node.get("properties", {}).items():
        child = resolve(schema, raw)
        path = f"{place}.{name}".lstrip(".")
        while child.get("type") == "array":
            child, path = resolve(schema, child.get("items", {})), path + "[]"
        meaning = raw.get("description") or child.get("description", "")
        yield code(path), holds(schema, child), meaning
        yield from keys(schema, child, path)


def resolve(schema: dict[str, Any], node: dict[str, Any]) -> dict[str, Any]:
    """Follow a $ref, and a union with null to its other side."""
    if "$ref" in node:
        for part in node["$ref"].removeprefix("#/").split("/"):
            schema = schema[part]
        return schema
    sides = [side for side in node.get("anyOf", []) if side.get("type") != "null"]
    if len(sides) == 1:
        found = resolve(schema, sides[0])
        return {**found, "nullable": True}
    return node


def holds(schema: dict[str, Any], node: dict[str, Any]) -> str:
    """In words: text, number, one of ..."""
    if "enum" in node:
        text = " or ".join(code(value) for value in node["enum"] if value is not None)
    elif "const" in node:
        text = code(node["const"])
    else:
        kind = node.get("type", "")
        kinds = [kind] if isinstance(kind, str) else list(kind)
        plain = {
            "object": "table",
            "string": "text",
            "integer": "whole number",
            "boolean": "true or false",
        }
        text = " or ".join(plain.get(k, k) for k in kinds if k != "null")
        if "null" in kinds:
            text += " or null"
    return text + (" or null" if node.get("nullable") else "")
