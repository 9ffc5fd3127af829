"""British spelling of our own sentences, which are written in American English.

Only sentences of ours pass here, never a name that somebody typed.
"""

from __future__ import annotations

import re
from typing import Final

PAIRS: Final[dict[str, str]] = {
    "aluminum": "aluminium",
    "analyze": "analyse",
    "apologize": "apologise",
    "behavior": "behaviour",
    "canceled": "cancelled",
    "canceling": "cancelling",
    "catalog": "catalogue",
    "center": "centre",
    "centered": "centred",
    "centers": "centres",
    "centimeter": "centimetre",
    "centimeters": "centimetres",
    "color": "colour",
    "colored": "coloured",
    "coloring": "colouring",
    "colors": "colours",
    "customize": "customise",
    "favor": "favour",
    "favorite": "favourite",
    "fiber": "fibre",
    "gray": "grey",
    "grays": "greys",
    "harbor": "harbour",
    "inquiries": "enquiries",
    "inquiry": "enquiry",
    "kilometer": "kilometre",
    "kilometers": "kilometres",
    "labeled": "labelled",
    "labor": "labour",
    "liter": "litre",
    "liters": "litres",
    "meter": "metre",
    "meters": "metres",
    "millimeter": "millimetre",
    "millimeters": "millimetres",
    "modeling": "modelling",
    "mold": "mould",
    "neighbor": "neighbour",
    "neighbors": "neighbours",
    "organization": "organisation",
    "organize": "organise",
    "recognize": "recognise",
    "traveled": "travelled",
    "traveling": "travelling",
}
"""American word to British one, lower case."""

_WORD: Final = re.compile(
    r"(?<![{\w])(?<!%\()(" + "|".join(sorted(PAIRS, key=len)[::-1]) + r")(?![\w}])(?!\)s\b)", re.I
)


def british(sentence: str) -> str:
    """A sentence of ours in British spelling; capitals stay where they were."""
    return _WORD.sub(_swap, sentence)


def _swap(found: re.Match[str]) -> str:
    word = found[0]
    swapped = PAIRS[word.lower()]
    if word.isupper():
        return swapped.upper()
    return swapped.capitalize() if word[0].isupper() else swapped
