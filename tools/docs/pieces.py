"""The kinds of piece side by side: what each takes, beside what decorators commonly count."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, Final

from tools.docs.text import code, generated, table

if TYPE_CHECKING:
    from airwright.decor.assembly import Assembly

FOOT_M: Final = 0.3048

INTRO = """# What each kind takes

Every kind of piece with an example that can be added at the desk ("Add a piece"), what it takes,
and what decorators commonly count on for it. What is said to be common practice has no source; the
bands are from the trade's own talk and partly from memory. Every count is read off the balloons
as they are placed; the [job file](job-file.md) lists the keys of each kind, and numbers, names and
table pieces have [a page of their own](kinds.md).
"""

FOOT_PRACTICE = "6 to 10 a foot"
PRACTICE: Final = {
    "garland": FOOT_PRACTICE,
    "hoop": f"{FOOT_PRACTICE} of dressed ring",
    "half-arch": f"{FOOT_PRACTICE}; more where small ones lead",
    "backdrop": f"{FOOT_PRACTICE}; less behind, where a panel stands",
    "ceiling": "loose: one to each 1 to 2 square feet (from memory)",
}
"""By kind; others are held by tests named on the validation page."""

ABOUT: Final = {
    "column": "Clusters of four on a pole, nested in each other's gaps so that their shades swirl "
    "up, and a jumbo on top.",
    "arch": "The same clusters along a half circle, from foot plate to foot plate.",
    "garland": "Balloons of three sizes along a swag, hung on a wall, small ones tucked between.",
    "hoop": "A ring dressed along an arc: dense at one place, light at its ends, leaves running "
    "out beyond them, a sign hung in the middle.",
    "half-arch": "A way drawn in the front view, before a wall: jumbos and dark shades at the "
    "foot, small and light ones at the end.",
    "backdrop": "Two arched panels on stays, one printed, with a garland from the foot up and over "
    "the taller one, leaves at its ends.",
    "ceiling": "Loose helium balloons in bunches of three, their ribbons ending above heads; "
    "below, link balloons in swags from the middle to the edges.",
    "wall": "Balloons in a square grid, pressed on each other, row by row in a pattern of shades.",
    "bouquet": "Latex and a foil in rows on ribbons, from one weight.",
    "cloud": "An organic cloud on strings under the ceiling.",
    "drop": "A net full of balloons under the ceiling, opened by one cord.",
}
"""What a picture shows; those of `python -m tools.docs.kind_pictures`."""


def render() -> str:
    """The page; counts are those of this version."""
    parts = [generated("the pieces to begin with"), INTRO.rstrip()]
    head = ("kind", "example", "balloons", "of them", "density", "common practice")
    parts.append(table(head, _rows()))
    for name, told in ABOUT.items():
        parts += [f"## {name.replace('-', ' ').capitalize()}", told]
        parts.append(f"![{told}](pictures/kind-{name}.webp)")
    return "\n\n".join(parts) + "\n"


def _rows() -> Iterator[tuple[str, ...]]:
    from airwright.decor.engine import build
    from airwright.decor.pieces import SPECS
    from airwright.job import Studio, read_job
    from airwright.job.examples import example_text

    job = read_job(example_text("starts"), SPECS).job
    assert job is not None
    studio = Studio()
    built = build(job, studio.catalog(), studio)
    for piece in job.pieces:
        made = built.assemblies[piece.name]
        yield (
            code(piece.kind),
            piece.name,
            str(len(made)),
            _sizes(made),
            _density(piece, made),
            PRACTICE.get(piece.kind, "") if _density(piece, made) else "",
        )


def _sizes(made: Assembly) -> str:
    counts = Counter(made.stocks[stock].size for stock in made.stock)
    return ", ".join(f"{many} × {size}" for size, many in counts.most_common())


def _density(piece: Any, made: Assembly) -> str:
    """Balloons a foot of line, or a square foot of ceiling."""
    if piece.kind == "ceiling" and piece.form == "loose":
        area = piece.width * piece.length / FOOT_M**2
        return f"one to each {area / len(made):.1f} square feet"
    if piece.kind == "cloud" or piece.kind not in PRACTICE:
        return ""
    if piece.kind == "ceiling":
        return ""
    long = sum(row.quantity for row in made.operations if row.operation == "hang garland")
    return f"{len(made) / (long / FOOT_M):.1f} a foot" if long else ""
