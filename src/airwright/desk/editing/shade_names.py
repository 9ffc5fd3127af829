"""Where a piece's table names shades of the job, and putting another name there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from airwright.decor.pieces import KINDS

PARTS = ("inner", "inside", "outside")
"""Keys of a shade that name another one."""


def shade_keys(piece: Any) -> frozenset[str]:
    """Keys of a piece, at any depth, that name shades of the job; those of all kinds where its
    own is not known."""
    kind = KINDS.get(str(piece.get("kind"))) if isinstance(piece, Mapping) else None
    if kind is not None:
        return kind.shade_keys
    return frozenset().union(*(known.shade_keys for known in KINDS.values()))


def with_parts(names: Iterable[str], shades: Mapping[str, Any]) -> set[str]:
    """Names of shades, and of those that shades of two balloons are made of."""
    found = set(names)
    for name in names:
        value = shades.get(name)
        if isinstance(value, Mapping):
            parts = (value.get(key) for key in PARTS)
            found |= {str(part) for part in parts if isinstance(part, str)}
    return found


def shades_named(piece: Any) -> set[str]:
    """Every shade a piece's table names, wherever in it."""
    return _named_in(piece, shade_keys(piece))


def _named_in(value: Any, keys: frozenset[str]) -> set[str]:
    found: set[str] = set()
    if isinstance(value, Mapping):
        for key, inner in value.items():
            found |= _texts(inner) if key in keys else _named_in(inner, keys)
    elif isinstance(value, list):
        for inner in value:
            found |= _named_in(inner, keys)
    return found


def _texts(value: Any) -> set[str]:
    if isinstance(value, str):
        return {str(value)}
    if isinstance(value, Mapping):  # { "5in" = ["white"] }, or parts of a mix: { sage = 3 }
        return {
            name
            for key, inner in value.items()
            for name in ({str(key)} if isinstance(inner, int | float) else _texts(inner))
        }
    if isinstance(value, list):
        return set().union(*(_texts(inner) for inner in value)) if value else set()
    return set()


def swap_in(value: Any, old: str, new: str, keys: frozenset[str]) -> None:
    """Put one shade in place of another wherever a table names it, in place.

    Args:
        value: a piece, or what stands in one.
        old: the shade named now.
        new: the one to name.
        keys: those that name shades; see `shade_keys`.
    """
    if isinstance(value, Mapping):
        for key in list(value):
            if key not in keys:
                swap_in(value[key], old, new, keys)
            elif value[key] == old:
                value[key] = new  # type: ignore[index]
            else:
                _swap_texts(value[key], old, new)
    elif isinstance(value, list):
        for inner in value:
            swap_in(inner, old, new, keys)


def _swap_texts(value: Any, old: str, new: str) -> None:
    if isinstance(value, Mapping) and isinstance(value.get(old), int | float):
        parts = value[old] + value.get(new, 0)
        del value[old]  # type: ignore[attr-defined]
        value[new] = parts  # type: ignore[index]
    if not isinstance(value, list | Mapping):
        return
    for at in range(len(value)) if isinstance(value, list) else list(value):
        if value[at] == old:
            value[at] = new  # type: ignore[index]
        elif isinstance(value[at], list | Mapping):
            _swap_texts(value[at], old, new)
