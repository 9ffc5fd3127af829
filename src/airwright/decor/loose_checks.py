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
from airwright.params import WRITTEN

SHADE_KEYS = ("shade", "shades")


def check_broken(pieces: Sequence[Broken], ctx: Context) -> tuple[Finding, ...]:
    """Errors in the sizes and shades of pieces that have errors elsewhere.

    Args:
        pieces: as the reader found them.
        ctx: from `engine.context_for`.
    """
    found: list[Finding] = []
    for piece in pieces:
        own = [f for key, value in _readable(piece) for f in _look(key, value, ctx, piece.place)]
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


def _look(key: str, value: Any, ctx: Context, place: str) -> list[Finding]:
    """Everything in a value that has to be in the catalogue or among the shades."""
    here = f"{place}.{key}"
    if key in SHADE_KEYS:
        return _shades(value, ctx, here)
    if isinstance(value, Cluster):
        return checks.cluster(value, ctx, here)
    if isinstance(value, Inflated):
        return checks.inflated(value, ctx, here)
    if isinstance(value, BaseModel):
        inner = [(name, getattr(value, name)) for name in type(value).model_fields]
        return [f for name, one in inner for f in _look(name, one, ctx, here)]
    if isinstance(value, list | tuple):
        return [f for at, one in enumerate(value) for f in _item(key, at, one, ctx, place)]
    return []


def _item(key: str, at: int, value: Any, ctx: Context, place: str) -> list[Finding]:
    return _look(f"{key}[{at}]", value, ctx, place)


def _shades(value: Any, ctx: Context, place: str) -> list[Finding]:
    if isinstance(value, str):
        return checks.shades([value], ctx, place)
    if isinstance(value, Mapping):
        # By size each has a list of names; in a mix the keys are names, with their parts.
        mixed = [name for name, parts in value.items() if isinstance(parts, int | float)]
        listed = [names for names in value.values() if not isinstance(names, int | float)]
        return [f for names in (mixed, *listed) for f in checks.shades(names, ctx, place)]
    return checks.shades(value or (), ctx, place)
