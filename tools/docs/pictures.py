"""Pictures of the shipped example for the documentation, drawn by Airwright itself.

    python -m tools.docs.pictures

Not checked for freshness: the last bits of a drawing may differ between machines.  Run it
when the drawings have changed for the better.
"""

from __future__ import annotations

import sys
from pathlib import Path

DOCS = Path(__file__).resolve().parents[2] / "docs" / "pictures"
EXAMPLE = "ferry-terminal"


def main() -> int:
    from airwright.decor.pieces import SPECS
    from airwright.job import read_job
    from airwright.job.examples import example_text
    from airwright.pictures.drawing import Options, View, draw, draw_scene, to_svg
    from airwright.plan.planning import make_plan

    reading = read_job(example_text(EXAMPLE), SPECS)
    if reading.job is None:
        print("the example does not read", file=sys.stderr)
        return 1
    plan = make_plan(reading.job)
    assemblies = [piece.assembly for piece in plan.pieces]
    drawings = {
        "line-up": draw_scene(assemblies, View.FRONT),
        "swirl-column": draw(assemblies[0], View.FRONT, options=Options(dimensions=True)),
    }
    DOCS.mkdir(exist_ok=True)
    for name, drawing in drawings.items():
        path = DOCS / f"{name}.svg"
        path.write_text(to_svg(drawing), encoding="utf-8")
        print(f"docs/pictures/{path.name}: {path.stat().st_size / 1000:.0f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
