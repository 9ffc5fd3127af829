"""The reference of buying's files, read off their models and the schema of the answer."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from tools.docs.plan_file import holds, resolve
from tools.docs.text import code, generated, table

INTRO = """# Files of buying

Suppliers and stock are TOML, needs are CSV, the answer is JSON. What they are for stands under
[Buying](buying.md). Amounts may be written as text (`"16.50"`) or as numbers; in the answer they
are text, so that no program rounds them. For programs that check what they read or write: the
schemas of the [suppliers' file](suppliers.schema.json), the [stock file](stock.schema.json) and
the [answer](buying.schema.json).
"""


def render() -> str:
    """The page."""
    parts = [generated("the models and the JSON Schema in the package"), INTRO.rstrip()]
    for title, schema in (
        ("`airwright-suppliers/1`", suppliers()),
        ("`airwright-stock/1`", stock()),
        ("`airwright-buying/1`", answer()),
    ):
        rows = list(_keys(schema, schema, ""))
        parts += [f"## {title}", table(("key", "holds", "meaning"), rows)]
    return "\n\n".join(parts) + "\n"


def suppliers() -> dict[str, Any]:
    """JSON Schema of the suppliers' file."""
    from airwright.operations.buying.supplier_file import SuppliersFile

    return _dated(SuppliersFile.model_json_schema(), "airwright-suppliers/1")


def stock() -> dict[str, Any]:
    """JSON Schema of the stock file."""
    from airwright.operations.stock.stock_file import StockFile

    return _dated(StockFile.model_json_schema(), "airwright-stock/1")


def answer() -> dict[str, Any]:
    """JSON Schema of the answer."""
    from airwright.operations.buying.export import schema

    return schema()


def suppliers_text() -> str:
    """The schema as a file."""
    return json.dumps(suppliers(), indent=1) + "\n"


def stock_text() -> str:
    """The schema as a file."""
    return json.dumps(stock(), indent=1) + "\n"


def answer_text() -> str:
    """The schema as a file."""
    return json.dumps(answer(), indent=1) + "\n"


def _dated(schema: dict[str, Any], title: str) -> dict[str, Any]:
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": title}


def _keys(schema: dict[str, Any], node: dict[str, Any], place: str) -> Iterator[tuple[str, ...]]:
    for name, raw in node.get("properties", {}).items():
        if name == "format":
            continue
        child, path = resolve(schema, raw), f"{place}.{name}".lstrip(".")
        while child.get("type") == "array":
            child, path = resolve(schema, child.get("items", {})), path + "[]"
        meaning = raw.get("description") or child.get("description", "")
        yield code(path), _holds(schema, child), meaning
        for side in [child, *(resolve(schema, one) for one in child.get("anyOf", []))]:
            yield from _keys(schema, side, path)


def _holds(schema: dict[str, Any], node: dict[str, Any]) -> str:
    sides = [resolve(schema, side) for side in node.get("anyOf", [])]
    if sides:
        return " or ".join(dict.fromkeys(_holds(schema, side) for side in sides))
    return "nothing" if node.get("type") == "null" else holds(schema, node)
