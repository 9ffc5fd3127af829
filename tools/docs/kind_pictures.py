"""Photographs of the kinds of piece for the documentation: the examples that the desk offers.

    python -m tools.docs.kind_pictures [KIND …]

Writes docs/pictures/kind-KIND.webp, at proposal quality; every kind without names. Takes a few
minutes. Look at each picture before it is committed.
"""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from airwright.decor.assembly import Assembly

PICTURES: Final = Path(__file__).resolve().parents[2] / "docs" / "pictures"
WIDE, TALL = (640, 500), (420, 540)
WEBP_QUALITY: Final = 86
SECOND: Final = {"ceiling": "Ceiling swags"}
"""A second example of a kind that looks quite different, shown below the first."""
GAP_PX: Final = 6


def main(wanted: list[str]) -> None:
    """Photograph the first example of each kind."""
    from airwright.decor.engine import build
    from airwright.decor.pieces import SPECS
    from airwright.job import Studio, read_job
    from airwright.job.examples import example_text

    job = read_job(example_text("starts"), SPECS).job
    assert job is not None
    studio = Studio()
    built = build(job, studio.catalog(), studio).assemblies
    first: dict[str, str] = {}
    for piece in job.pieces:
        first.setdefault(piece.kind, piece.name)
    for kind, name in first.items():
        if wanted and kind not in wanted:
            continue
        shown = [built[name], *(built[other] for other in [SECOND.get(kind)] if other)]
        _written(kind, shown)
        print(kind, flush=True)


def _written(kind: str, shown: list[Assembly]) -> None:
    import numpy as np
    from PIL import Image

    from airwright.pictures.photo import photograph
    from airwright.pictures.tables import on_its_table

    rows = []
    for made in shown:
        stood = on_its_table(made)
        size = WIDE if stood.width_m > 0.8 * stood.own_height_m else TALL
        if len(shown) > 1:
            size = (WIDE[0], round(0.55 * WIDE[1]))
        rows += [photograph(stood, "bright hall", "proposal", size).pixels]
        rows += [np.full((GAP_PX, size[0], 3), 255, np.uint8)]
    picture = Image.fromarray(np.concatenate(rows[:-1]))
    picture.save(PICTURES / f"kind-{kind}.webp", quality=WEBP_QUALITY, method=6)


if __name__ == "__main__":
    main(sys.argv[1:])
