"""A safety sheet as a PDF of one page."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any, Final

from airwright.language import Text, counted, listing, message
from airwright.papers.common.document import Paper, fingerprint
from airwright.papers.common.mark import PaperMark
from airwright.papers.common.page import Page
from airwright.papers.common.request import Request
from airwright.papers.common.trade_words import item_word, people
from airwright.papers.common.typeset import typeset
from airwright.papers.common.words import shortened
from airwright.papers.safety_sheet.model import Heavy, Held, Hung, SafetySheet, safety_sheet_of
from airwright.plan.cautions import REACH_M
from airwright.plan.wording import Words
from airwright.units import Shown, System

PATH: Final = "safety-sheet.pdf"
MOST_HELD: Final = 9
MOST_HUNG: Final = 4
MOST_HEAVY: Final = 4
"""Rows that fit the page; what is left out is told, and is never the weakest."""


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
        "job": {key: str(value) for key, value in asdict(model.occasion).items()},
        "palette": [swatch.colour for swatch in model.swatches],
        "outdoors": model.outdoors,
        "indoors": model.indoors,
        "gust": words.speed(model.gust_m_s),
        "gust_said": model.gust_said,
        "factor": Shown(f"{model.factor:g}"),
        "held": [_held(row, words) for row in model.held[:MOST_HELD]],
        "held_more": _more(sum(len(row.pieces) for row in model.held[MOST_HELD:])),
        "hung": [_hung(row, words) for row in model.hung[:MOST_HUNG]],
        "hung_more": _more(len(model.hung[MOST_HUNG:])),
        "limit": "" if model.take_in_gust_m_s is None else words.limit(model.take_in_gust_m_s),
        "beaufort": model.take_in_beaufort,
        "work": words.sizes(model.work_m),
        "ladder": _ladder(model, words),
        "built": model.work_m > 0.0,
        "high": model.work_m > REACH_M,
        "cylinders": [
            message(
                "{n} × {name}, {mass} each",
                n=row.count,
                name=item_word(row.name),
                mass=words.mass(row.mass_kg),
            )
            for row in model.cylinders[:3]
        ],
        "oxygen": _oxygen(model),
        "lift_limit": words.mass(model.lift_limit_kg),
        "heavy": [_heavy(row, model.lift_limit_kg, words) for row in model.heavy[:MOST_HEAVY]],
        "everyday": [{"what": row.what, "do": row.do} for row in model.everyday],
        "author": model.masthead.studio,
    }
    title = message("Safety sheet: {title}", title=model.occasion.title)
    print_of = fingerprint(model)
    return typeset(
        "safety_sheet", PATH, data, page=page, title=title, fingerprint=print_of, mark=mark
    )


def _held(row: Held, words: Words) -> dict[str, Any]:
    tie: Text | str = ""
    if not row.holds:
        tie = (
            message(
                "Full bases are too light: on the base of each one lay {bags} of sandbags, "
                "{needed} with the filling.",
                bags=words.mass(row.sandbags_kg),
                needed=words.mass(row.needed_kg),
            )
            if row.bases == 1
            else message(
                "Full bases are too light: on the {n} bases of each one lay {bags} of sandbags in "
                "all, {needed} with the filling.",
                n=row.bases,
                bags=words.mass(row.sandbags_kg),
                needed=words.mass(row.needed_kg),
            )
        )
    load = words.mass(row.ballast_kg / row.bases) if row.ballast_kg > 0 else message("none needed")
    if row.floats:
        how: Text = message("weight on the floor")
    elif row.bases == 1:
        how = message("in its base")
    else:
        how = message("in each of {n} bases", n=row.bases)
    return {
        "names": _names(row.pieces),
        "load": load,
        "none": row.ballast_kg <= 0,
        "how": how,
        "limit": "" if row.take_in_gust_m_s is None else words.limit(row.take_in_gust_m_s),
        "tie": tie,
    }


def _names(pieces: tuple[tuple[str, int], ...]) -> str:
    """ "2 × Swirl column, Gate": all of them, whole."""
    return ", ".join(name if count == 1 else f"{count} × {name}" for name, count in pieces)


def _hung(row: Hung, words: Words) -> dict[str, Any]:
    return {
        "name": row.name if row.count == 1 else f"{row.count} × {row.name}",
        "points": counted("{n} point", "{n} points", row.points),
        "hold": message("each to hold {hold}", hold=words.force(row.should_hold_n)),
    }


def _more(count: int) -> str:
    """How many rows are left out; never the weakest."""
    if count == 0:
        return ""
    return counted(
        "and {n} more piece, none weaker: see its make sheet",
        "and {n} more pieces, none weaker: see their make sheets",
        count,
    )


def _ladder(model: SafetySheet, words: Words) -> dict[str, str] | None:
    if model.ladder is None:
        return None
    return {
        "support": words.sizes(model.ladder.support_m),
        "length": words.sizes(model.ladder.length_m),
        "out": words.sizes(model.ladder.foot_out_m),
    }


def _oxygen(model: SafetySheet) -> str:
    spots = (
        (model.van_oxygen, message("{share} % in the van", share=_whole(model.van_oxygen))),
        (model.room_oxygen, message("{share} % in the room", share=_whole(model.room_oxygen))),
    )
    low = [words for share, words in spots if share is not None and share < model.oxygen_limit]
    if not low:
        return ""
    return message(
        "If one empties behind closed doors, oxygen may fall to {spots}; below {limit} % nobody "
        "may stay.",
        spots=listing(low),
        limit=round(100 * model.oxygen_limit, 1),
    )


def _whole(share: float | None) -> int:
    return round(100 * (share or 0.0))


def _heavy(row: Heavy, limit: float, words: Words) -> dict[str, Any]:
    word = item_word(row.name)
    name = word if row.count == 1 else message("{n} × {name}", n=row.count, name=word)
    hands = 1 if row.mass_kg <= limit else -int(-row.mass_kg // limit)
    how = message("trolley, or empty it") if row.filled else message("trolley")
    if hands < 3:
        how = people(hands)
    return {"name": name, "mass": words.mass(row.mass_kg), "how": how}
