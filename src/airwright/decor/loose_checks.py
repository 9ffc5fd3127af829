"""Checks of a piece that could not be read whole: whatever of it can be read is still looked at,
so that somebody mending a file hears of an unknown size and a wrong height in the same breath."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from airwright.decor import checks
from airwright.decor.context import Context
from airwright.job.cluster import Cluster, Inflated
from airwright.job.findings import Finding, naming
from airwright.job.reading import Broken
from airwright.job.records import records
from airwright.params import WRITTEN


def check_broken(pieces: Sequence[Broken], ctx: Context) -> tuple[Finding, ...]:
    """Errors in the sizes and shades of pieces that have errors elsewhere.

    Args:
        pieces: as the reader found them.
        ctx: from `engine.context_for`.
    """
    found: list[Finding] = []
    for piece in pieces:
        keys = frozenset(row.name for row in records(piece.spec) if row.shades)
        own = [f for k, value in _readable(piece) for f in _look(k, value, ctx, piece.place, keys)]
        name = piece.table.get("name")
        found += [naming(f, piece.place, str(name)) if name else f for f in own]
    return tuple(f for f in found if f.severity == "error")


def _readable(piece: Broken) -> Iterator[tuple[str, Any]]:
    """Keys of a piece and their values, where these can be read by themselves."""
    for key, field in piece.spec.model_fields.items():
        if key not in piece.table:
            continue
        # A None is added because Annotated wants at least one word beside the type.
        wanted: Any = Annotated[field.annotation, *field.metadata, None]
        adapter: TypeAdapter[Any] = TypeAdapter(wanted)
        try:
            yield key, adapter.validate_python(piece.table[key], context=WRITTEN)
        except ValidationError:
            continue  # the reader has said what is wrong with it


def _look(key: str, value: Any, ctx: Context, place: str, keys: frozenset[str]) -> list[Finding]:
    """Everything in a value that has to be in the catalogue or among the shades."""
    here = f"{place}.{key}"
    if key in keys:
        return _shades(value, ctx, here)
    if isinstance(value, Cluster):
        return checks.cluster(value, ctx, here)
    if isinstance(value, Inflated):
        return checks.inflated(value, ctx, here)
    if isinstance(value, BaseModel):
        inner = [(name, getattr(value, name)) for name in type(value).model_fields]
        return [f for name, one in inner for f in _look(name, one, ctx, here, keys)]
    if isinstance(value, list | tuple):
        items = [(f"{key}[{at}]", one) for at, one in enumerate(value)]
        return [f for name, one in items for f in _look(name, one, ctx, place, keys)]
    return []


def _shades(value: Any, ctx: Context, place: str) -> list[Finding]:
    return checks.shades(list(_names(value)), ctx, place)


def _names(value: Any) -> Iterator[str]:
    """Names of shades in a value: one, a list of them, lists by size, or a mix with its parts."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for key, inner in value.items():
            yield from [str(key)] if isinstance(inner, int | float) else _names(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _names(inner)
