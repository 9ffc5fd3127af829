"""One supplier written into the suppliers' file, everything else in it left as it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from airwright.operations.buying.supplier_file import SUPPLIERS_FORMAT


@dataclass(frozen=True, slots=True)
class SupplierEdit:
    """A supplier as a form has it.

    Attributes:
        terms: keys of the supplier's table; None takes a key out.
        offers: lines of its price list that stay or come: the number a line has in the file
            (None: a line that is added) and its keys. Lines that are not named are taken out;
            None for all leaves the price list alone.
    """

    terms: Mapping[str, Any]
    offers: Sequence[tuple[int | None, Mapping[str, Any]]] | None


def with_supplier(text: str, was: str, edit: SupplierEdit, currency: str) -> str:
    """The text of a suppliers' file with one supplier changed or added.

    Args:
        text: the file; "" for one that begins with this supplier.
        was: the name it has in the file; "" for one that is added.
        edit: what it says.
        currency: of a file that begins.

    Raises:
        KeyError: the file names no such supplier.
    """
    import tomlkit

    document = tomlkit.parse(text)
    if not text.strip():
        document["format"], document["currency"] = SUPPLIERS_FORMAT, currency
    if "suppliers" not in document:
        document["suppliers"] = tomlkit.aot()
    rows: Any = document["suppliers"]
    if was:
        row = next((one for one in rows if one.get("name") == was), None)
        if row is None:
            raise KeyError(was)
    else:
        rows.append(tomlkit.table())
        row = rows[-1]
    _write(row, edit.terms)
    if edit.offers is not None:
        _write_offers(row, edit.offers)
    return tomlkit.dumps(document)


def without_supplier(text: str, name: str) -> str:
    """The text of a suppliers' file without one supplier; "" when it was the only one."""
    import tomlkit

    document = tomlkit.parse(text)
    rows: Any = document["suppliers"]
    for at in reversed(range(len(rows))):
        if rows[at].get("name") == name:
            del rows[at]
    return tomlkit.dumps(document) if len(rows) else ""


def _write(row: Any, values: Mapping[str, Any]) -> None:
    for key, value in values.items():
        if value is None:
            row.pop(key, None)
            continue
        old = row.get(key)
        if (old.unwrap() if hasattr(old, "unwrap") else old) != value:
            row[key] = _toml(value)


def _toml(value: Any) -> Any:
    """Tables within a line stay on it: { from = "0.00", price = "8.90" }."""
    import tomlkit

    if isinstance(value, Mapping):
        inner = tomlkit.inline_table()
        inner.update(value)
        return inner
    if isinstance(value, list):
        array = tomlkit.array()
        for entry in value:
            array.append(_toml(entry))
        return array
    return value


def _write_offers(row: Any, offers: Sequence[tuple[int | None, Mapping[str, Any]]]) -> None:
    import tomlkit

    if "offers" not in row:
        row["offers"] = tomlkit.aot()
    lines: Any = row["offers"]
    kept = {at for at, _ in offers if at is not None}
    for at, values in offers:
        if at is not None and at < len(lines):
            _write(lines[at], values)
    for at in reversed(range(len(lines))):
        if at not in kept:
            del lines[at]
    for at, values in offers:
        if at is None:
            fresh: Any = (
                tomlkit.table() if isinstance(lines, tomlkit.items.AoT) else tomlkit.inline_table()
            )
            _write(fresh, values)
            lines.append(fresh)
    if not len(lines):
        del row["offers"]
