"""Every key a user may set, as flat records: what forms, docs and help are made from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo
from pydantic_core import PydanticUndefined

from airwright import units
from airwright.job.models import Job
from airwright.job.pieces import PieceSpec
from airwright.job.studio import Studio
from airwright.params import Param


@dataclass(frozen=True, slots=True)
class FieldSpec:
    """One key of the job or studio file.

    Attributes:
        path: "pieces.topper.lean"; lists and tables share the dots.
        name: the key itself.
        type: "length", "text", "number", "choice", "list", "table", …
        items: type of what a list holds, "" for what is no list.
        kind: the quantity it is, None for others.
        exact: whether a number is kept as it was typed: amounts of money.
        low, high: bounds as written, None where there are none.
        default: as written; None for a key that must be given or has no value.
        required: whether it must be given.
        choices: the words allowed, for a choice.
        help, example, group, rare, shades, label, words, widget, per: see `Param`.
    """

    path: str
    name: str
    type: str
    kind: units.Kind | None
    low: str | float | None
    high: str | float | None
    default: str | None
    required: bool
    choices: tuple[str, ...]
    help: str
    example: str
    group: str
    rare: bool
    shades: bool = False
    label: str = ""
    words: tuple[tuple[str, str], ...] = ()
    widget: str = ""
    per: float = 0.0
    exact: bool = False
    items: str = ""

    @property
    def is_share(self) -> bool:
        """Whether a number is a part of a whole, which people write as a percentage."""
        return self.type == "number" and self.high is not None and float(self.high) <= 1


def records(model: type[BaseModel], prefix: str = "") -> tuple[FieldSpec, ...]:
    """Records of one table and the tables in it."""
    return tuple(_walk(model, prefix))


def job_records(kinds: Mapping[str, type[PieceSpec]]) -> dict[str, tuple[FieldSpec, ...]]:
    """Records of the whole job file: heading → records, one heading a kind of piece."""
    head = tuple(row for row in records(Job) if not row.path.startswith("pieces"))
    tables: dict[str, tuple[FieldSpec, ...]] = {"job file": head}
    for name, spec in kinds.items():
        tables[name] = records(spec, "pieces.")
    return tables


def studio_records() -> tuple[FieldSpec, ...]:
    """Records of the studio file."""
    return records(Studio)


def _walk(model: type[BaseModel], prefix: str) -> Iterator[FieldSpec]:
    for name, field in model.model_fields.items():
        param = next((p for p in reversed(field.metadata) if isinstance(p, Param)), None)
        if param is not None:
            yield _record(name, field, param, prefix)
        for inner in _tables_in(field.annotation):
            yield from _walk(inner, f"{prefix}{name}.")


def _record(name: str, field: FieldInfo, param: Param, prefix: str) -> FieldSpec:
    choices = _choices(field.annotation)
    return FieldSpec(
        path=f"{prefix}{name}",
        name=name,
        type=_type_word(field.annotation, param, choices),
        kind=param.kind,
        low=param.low,
        high=param.high,
        default=_default(field, param),
        required=field.is_required(),
        choices=choices,
        help=param.help,
        example=param.example,
        group=param.group,
        rare=param.rare,
        shades=param.shades,
        label=param.label,
        words=param.words,
        widget=param.widget,
        per=param.per,
        exact=Decimal in _arms(field.annotation),
        items=_items(field.annotation),
    )


def _default(field: FieldInfo, param: Param) -> str | None:
    value = field.default
    if value is PydanticUndefined or value is None:
        return None
    if param.kind is not None and isinstance(value, float):
        return units.write(value * (param.per or 1.0), param.kind)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Enum):
        return str(value.value)
    if isinstance(value, list):
        return ", ".join(str(part) for part in value)
    if isinstance(value, BaseModel):
        return _table(type(value))
    return str(value)


def _table(model: type[BaseModel]) -> str:
    """A table left to its starting values, as TOML writes it on one line."""
    keys = (f'{row.name} = "{row.default}"' for row in records(model) if row.default)
    return f"{{ {', '.join(keys)} }}"


def _arms(annotation: Any) -> tuple[Any, ...]:
    """The types an annotation may take, `Annotated` and optional ones opened."""
    origin = get_origin(annotation)
    if origin is Annotated:
        return _arms(get_args(annotation)[0])
    if origin is Union or type(annotation).__name__ == "UnionType":
        return tuple(arm for part in get_args(annotation) for arm in _arms(part))
    return () if annotation is type(None) else (annotation,)


def _choices(annotation: Any) -> tuple[str, ...]:
    for arm in _arms(annotation):
        if get_origin(arm) is Literal:
            return tuple(str(word) for word in get_args(arm))
        if isinstance(arm, type) and issubclass(arm, Enum):
            return tuple(str(member.value) for member in arm)
    return ()


_WORDS = {
    "str": "text",
    "int": "whole number",
    "float": "number",
    "Decimal": "number",
    "bool": "yes or no",
    "date": "date",
    "Cluster": "cluster",
    "Inflated": "balloon",
    "list": "list",
    "tuple": "list",
    "dict": "table",
}


def _items(annotation: Any) -> str:
    """The word for what a list holds."""
    for arm in _arms(annotation):
        if get_origin(arm) in (list, tuple):
            inner = _arms(get_args(arm)[0])
            return _WORDS.get(getattr(inner[0], "__name__", ""), "") if inner else ""
    return ""


def _type_word(annotation: Any, param: Param, choices: tuple[str, ...]) -> str:
    if param.kind is not None:
        return param.kind.name
    if choices:
        return "choice"
    names = []
    for arm in _arms(annotation):
        plain = get_origin(arm) or arm
        name = getattr(plain, "__name__", str(plain))
        names.append(
            "table"
            if isinstance(plain, type) and issubclass(plain, BaseModel)
            else _WORDS.get(name, name)
        )
    return " or ".join(dict.fromkeys(names))


def _tables_in(annotation: Any) -> Iterator[type[BaseModel]]:
    """Tables nested in an annotation, base piece tables left out (each kind lists its own)."""
    for arm in _arms(annotation):
        if isinstance(arm, type) and issubclass(arm, BaseModel):
            if arm is not PieceSpec:
                yield arm
        else:
            for part in get_args(arm):
                if part is not arm:
                    yield from _tables_in(part)
