"""What a kind of piece is: one value that ties its job-file keys to its building.

A new kind is one new file in `build/pieces/` that makes a `PieceKind`, plus one line in
`build/pieces/__init__.py`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Generic, TypeVar

from airwright.decor.assembly import Assembly
from airwright.decor.context import Context
from airwright.job.findings import Finding
from airwright.job.pieces import PieceSpec

Spec = TypeVar("Spec", bound=PieceSpec)


@dataclass(frozen=True, slots=True)
class PieceKind(Generic[Spec]):
    """One kind of piece.

    Attributes:
        name: what `kind = "…"` says.
        summary: one sentence for forms and docs.
        spec: its keys in the job file.
        build: spec and context → Assembly; called only when `check` found no error.
        estimate: about how many balloons one takes, cheaply, before anything is built.
        check: spec, context and place ("pieces[2]") → findings no single key can make.
        example: a TOML table body that runs, for forms and docs.
        walked_through: whether people walk through it, so that pairs of others flank it.
    """

    name: str
    summary: str
    spec: type[Spec]
    build: Callable[[Spec, Context], Assembly]
    estimate: Callable[[Spec, Context], int]
    check: Callable[[Spec, Context, str], list[Finding]]
    example: str
    walked_through: bool = False


class BuildError(ValueError):
    """A piece that cannot be built; carries the finding that says why."""

    def __init__(self, finding: Finding) -> None:
        super().__init__(finding.what)
        self.finding = finding
