"""The last step of an organic piece: its small accents."""

from __future__ import annotations

from collections.abc import Sequence

from airwright.decor.draft import Draft
from airwright.language import Text, joined, message, sentences

GLUE_DOTS = "glue dots"
"""Catalogue item that holds accents; one a tied accent (common practice)."""


def from_list(draft: Draft, rows: Sequence[int]) -> Text:
    """Which clusters of the list in order a step takes: "Take clusters 4 to 9 of the list"."""
    if not rows:
        return joined([])
    first, last = draft.cluster_numbers(rows)
    if first == last:
        return message("Take cluster {n} of the list.", n=first)
    return message("Take clusters {first} to {last} of the list, in order.", first=first, last=last)


def add_accent_step(draft: Draft, rows: Sequence[int]) -> None:
    """Accents tucked between larger balloons, each small cluster on a glue dot."""
    draft.supply(GLUE_DOTS, draft.clusters_of(rows))
    draft.step(
        message("Tuck in the accents"),
        sentences(
            from_list(draft, rows),
            message(
                "Tuck each between two or three larger balloons where a gap or the line shows."
            ),
            message("Hold each with a glue dot. Do the front first, then the sides."),
        ),
        balloons=rows,
    )
