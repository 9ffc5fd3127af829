"""The last step of an organic piece: its small accents."""

from __future__ import annotations

from collections.abc import Sequence

from airwright.decor.draft import Draft
from airwright.language import message, sentences

GLUE_DOTS = "glue dots"
"""Catalogue item that holds accents; one a tied accent (common practice)."""


def add_accent_step(draft: Draft, rows: Sequence[int]) -> None:
    """Accents tucked between larger balloons, each small cluster on a glue dot."""
    draft.supply(GLUE_DOTS, draft.clusters_of(rows))
    draft.step(
        message("Tuck in the accents"),
        sentences(
            message("Take the small clusters at the end of the list."),
            message(
                "Tuck each between two or three larger balloons where a gap or the line shows."
            ),
            message("Hold each with a glue dot. Do the front first, then the sides."),
        ),
        balloons=rows,
    )
