"""Which hand movements a job needs, so that the last pages show those and no others."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from airwright.decor.assembly import Role
from airwright.plan.values import PiecePlan


def techniques_for(pieces: Iterable[PiecePlan]) -> tuple[str, ...]:
    """Names of techniques (see `pictures.drawing.hands`), in working order, each once."""
    wanted: set[str] = set()
    for piece in pieces:
        wanted |= _of(piece)
    order = ("size", "stuff", "duplet", "quad", "lock", "nest", "sleeve", "loop", "topper")
    return tuple(name for name in order if name in wanted)


def _of(piece: PiecePlan) -> set[str]:
    assembly = piece.assembly
    found: set[str] = set()
    if len(assembly):
        found.add("size")
    if (assembly.skins > 1).any():
        found.add("stuff")
    tied = [len(made.sizes) for made in assembly.clusters]
    if tied:
        found.add("duplet")
    if any(many >= 4 for many in tied):
        found.add("quad")
    carried = any(part.use in ("pole", "frame", "line") for part in assembly.hardware)
    carried |= any(strand.item == "garland line" for strand in assembly.strands)
    if carried and tied:
        found.add("lock")
    if carried and assembly.layers > 2:
        found.add("nest")
    if assembly.fabrics:
        found.add("sleeve")
    if any(strand.name == "260 loop" for strand in assembly.strands):
        found.add("loop")
    if np.any(assembly.role == int(Role.TOPPER)) and any(
        strand.name.endswith(" tie") for strand in assembly.strands
    ):
        found.add("topper")
    return found
