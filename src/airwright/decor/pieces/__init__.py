"""The kinds of piece, registered in this one place."""

from __future__ import annotations

from typing import Any

from airwright.decor.kinds import PieceKind
from airwright.decor.pieces import (
    arch,
    backdrop,
    bouquet,
    ceiling,
    centrepiece,
    cloud,
    column,
    drop,
    flower,
    foils,
    garland,
    half_arch,
    hoop,
    letters,
    topiary,
    wall,
)
from airwright.job.pieces import PieceSpec

KINDS: dict[str, PieceKind[Any]] = {
    kind.name: kind
    for kind in (
        column.KIND,
        arch.KIND,
        garland.KIND,
        bouquet.KIND,
        cloud.KIND,
        drop.KIND,
        wall.KIND,
        letters.KIND,
        hoop.KIND,
        foils.KIND,
        centrepiece.KIND,
        topiary.KIND,
        flower.KIND,
        half_arch.KIND,
        backdrop.KIND,
        ceiling.KIND,
    )
}
"""Every kind by the name its job-file table gives."""

SPECS: dict[str, type[PieceSpec]] = {name: kind.spec for name, kind in KINDS.items()}
"""The job-file tables by kind, as `airwright.job.read_job` wants them."""
