"""Types of the front end, made from the JSON schema of what the desk takes and answers."""

from __future__ import annotations

import json
from typing import Any

from pydantic import BaseModel
from pydantic.json_schema import models_json_schema

from airwright.desk.api.palette import Tone
from airwright.desk.editing.edits import Edit
from airwright.desk.editing.job_state import Conflict, Fault, JobState
from airwright.desk.editing.shapes import PackedMesh

HEAD = """// What the desk takes and answers. Made by tools/browser_types.py from the desk's models.
/* biome-ignore-all lint: written by a program */
"""
PLAIN = {"string": "string", "integer": "number", "number": "number", "boolean": "boolean",
         "null": "null"}  # fmt: skip


def render() -> str:
    """The file of types."""
    return HEAD + declared(JobState, Fault, Conflict, Edit, Tone, PackedMesh)


def declared(*models: type[BaseModel]) -> str:
    """Interfaces of some models and of all that stands in them."""
    _, schema = models_json_schema([(model, "validation") for model in models], by_alias=True)
    return "".join(f"\n{_declared(*row)}\n" for row in sorted(schema["$defs"].items()))


def _declared(name: str, table: dict[str, Any]) -> str:
    about = str(table.get("description", "")).partition("\n")[0]
    doc = f"/** {about} */\n" if about else ""
    if table.get("type") != "object" or "properties" not in table:
        return f"{doc}export type {name} = {_type(table)};"
    required = table.get("required", ())
    fields = [
        f"  {key}{'' if key in required else '?'}: {_type(row, optional=key not in required)};"
        for key, row in table["properties"].items()
    ]
    return "\n".join([f"{doc}export interface {name} {{", *fields, "}"])


def _type(row: dict[str, Any], *, optional: bool = False) -> str:
    """The type of one schema; an optional field is left out rather than null."""
    if "$ref" in row:
        return str(row["$ref"].rpartition("/")[2])
    choices = row.get("anyOf") or row.get("oneOf")
    if choices:
        words = [_type(choice) for choice in choices]
        return " | ".join(word for word in words if not (optional and word == "null"))
    if "const" in row or "enum" in row:
        return " | ".join(json.dumps(value) for value in row.get("enum", [row.get("const")]))
    if row.get("type") == "array":
        return _array(row)
    if row.get("type") == "object":
        return f"Record<string, {_type(row.get('additionalProperties') or {})}>"
    return PLAIN.get(str(row.get("type")), "unknown")


def _array(row: dict[str, Any]) -> str:
    if "prefixItems" in row:
        return f"[{', '.join(_type(item) for item in row['prefixItems'])}]"
    inner = _type(row.get("items", {}))
    return f"({inner})[]" if " | " in inner else f"{inner}[]"
