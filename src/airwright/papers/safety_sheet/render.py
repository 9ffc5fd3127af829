"""A safety sheet as a PDF of one page."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.safety_sheet.model import Heavy, Held, Hung, SafetySheet, safety_sheet_of
from airwright.plan.cautions import REACH_M
from airwright.plan.wording import Words
from airwright.units import System

PATH: Final = "safety-sheet.pdf"
MOST_HELD: Final = 9
MOST_HUNG: Final = 4
MOST_HEAVY: Final = 4
LONGEST_NAMES: Final = 84
"""Rows and letters that fit the page; what is left out is told, and is never the weakest."""


def make(request: Request) -> tuple[Paper, ...]:
    """safety-sheet.pdf for a request."""
    model = safety_sheet_of(request.plan)
    return (render(model, request.page, request.system, request.mark),)


def render(model: SafetySheet, page: Page, system: System, mark: PaperMark) -> Paper:
    """Typeset a safety sheet.

    Args:
        model: what it says.
        page: paper.
        system: the units that stand first.
        mark: number and day of the job's papers.
    """
    words = Words(system)
    data = {
        **asdict(model.masthead),
        "short": shortened(model.occasion.title),
        "job": {key: shortened(str(value), 110) for key, value in asdict(model.occasion).items()},
        "palette": [swatch.colour for swatch in model.swatches],
        "outdoors": model.outdoors,
        "indoors": model.indoors,
        "gust": words.speed(model.gust_m_s),
        "gust_said": model.gust_said,
        "factor": f"{model.factor:g}",
        "held": [_held(row, words) for row in model.held[:MOST_HELD]],
        "held_more": _more(sum(len(row.pieces) for row in model.held[MOST_HELD:])),
        "hung": [_hung(row, words) for row in model.hung[:MOST_HUNG]],
        "hung_more": _more(len(model.hung[MOST_HUNG:]), "with less pull"),
        "limit": "" if model.take_in_gust_m_s is None else words.limit(model.take_in_gust_m_s),
        "beaufort": model.take_in_beaufort,
        "work": words.sizes(model.work_m),
        "ladder": _ladder(model, words),
        "high": model.work_m > REACH_M,
        "cylinders": [
            f"{row.count} × {shortened(row.name, 30)}, {words.mass(row.mass_kg)} each"
            for row in model.cylinders[:3]
        ],
        "oxygen": _oxygen(model),
        "lift_limit": words.mass(model.lift_limit_kg),
        "heavy": [_heavy(row, model.lift_limit_kg, words) for row in model.heavy[:MOST_HEAVY]],
        "author": model.masthead.studio,
    }
    title = f"Safety sheet: {model.occasion.title}"
    print_of = fingerprint(model)
    return typeset(
        "safety_sheet", PATH, data, page=page, title=title, fingerprint=print_of, mark=mark
    )


def _held(row: Held, words: Words) -> dict[str, Any]:
    limit = ""
    if row.take_in_gust_m_s is not None:
        limit = f"{words.limit(row.take_in_gust_m_s)}, Beaufort {row.take_in_beaufort}"
    tie = ""
    if not row.holds:
        tie = (
            f"Too little for what is reckoned: it needs {words.mass(row.needed_kg)} in all. "
            "Add sandbags, or "
            f"tie back at {words.size(row.tie_back_height_m)} to anchors of "
            f"{words.force(row.tie_back_n)}."
        )
    load = "none needed" if row.ballast_kg <= 0 else words.mass(row.ballast_kg / row.bases)
    on = "in its base" if row.bases == 1 else f"in each of {row.bases} bases"
    return {
        "names": _names(row.pieces),
        "load": load,
        "how": "weight on the floor" if row.floats else on,
        "limit": limit,
        "tie": tie,
    }


def _names(pieces: tuple[tuple[str, int], ...]) -> str:
    """ "2 × Swirl column, Gate and 3 more", short enough for two lines."""
    told: list[str] = []
    for at, (name, count) in enumerate(pieces):
        word = shortened(name if count == 1 else f"{count} × {name}", 40)
        left = len(pieces) - at
        if told and len(", ".join([*told, word])) > LONGEST_NAMES:
            return f"{', '.join(told)} and {left} more"
        told.append(word)
    return ", ".join(told)


def _hung(row: Hung, words: Words) -> dict[str, Any]:
    name = row.name if row.count == 1 else f"{row.count} × {row.name}"
    return {
        "name": shortened(name, 44),
        "points": str(row.points),
        "hold": words.force(row.should_hold_n),
    }


def _more(count: int, how: str = "none of them weaker") -> str:
    if count == 0:
        return ""
    return f"and {count} more {'piece' if count == 1 else 'pieces'}, {how}"


def _ladder(model: SafetySheet, words: Words) -> dict[str, str] | None:
    if model.ladder is None:
        return None
    return {
        "support": words.sizes(model.ladder.support_m),
        "length": words.sizes(model.ladder.length_m),
        "out": words.sizes(model.ladder.foot_out_m),
    }


def _oxygen(model: SafetySheet) -> str:
    spots = (("the van", model.van_oxygen), ("the room", model.room_oxygen))
    low = [
        f"{100 * share:.0f} % in {spot}"
        for spot, share in spots
        if share is not None and share < model.oxygen_limit
    ]
    if not low:
        return ""
    return (
        f"If one empties behind closed doors, oxygen may fall to {' and '.join(low)}; below "
        f"{100 * model.oxygen_limit:.1f} % nobody may stay."
    )


def _heavy(row: Heavy, limit: float, words: Words) -> dict[str, Any]:
    name = shortened(row.name if row.count == 1 else f"{row.count} × {row.name}", 44)
    hands = 1 if row.mass_kg <= limit else -int(-row.mass_kg // limit)
    how = "one person" if hands == 1 else "two people" if hands == 2 else "trolley, or empty it"
    return {"name": name, "mass": words.mass(row.mass_kg), "how": how}
