"""What the marks' form may say."""

from __future__ import annotations

import json
import re
from typing import Any

from airwright.desk.access import RequestContext
from airwright.desk.editing.edits import EditError
from airwright.language import message
from airwright.units import System

LIGHTS: tuple[tuple[str, str], ...] = (
    ("lamps", message("lamps")),
    ("overcast", message("an overcast sky")),
    ("left", message("sun from the left")),
    ("right", message("sun from the right")),
    ("behind", message("sun from behind you")),
    ("ahead", message("sun from ahead")),
)
FLOORS: tuple[tuple[str, str], ...] = (
    ("dull", message("dull")),
    ("usual", message("as floors are")),
    ("glossy", message("glossy")),
)
TYPED = ("width", "depth", "facing", "light", "floor")
MOST_POINTS = 100_000
_UNIT = re.compile(r"\d\s*([A-Za-z]+|['\"′″])\s*$")
_BARE = re.compile(r"[+-]?\d+(?:[.,]\d+)?$")


def typed_of(context: RequestContext) -> dict[str, str]:
    """The fields as they were typed."""
    return {name: context.text(name, 60) for name in TYPED}


def raw_marks(context: RequestContext, system: System) -> dict[str, Any]:
    """The marks as the file of a room's photo has them. Raises EditError."""
    typed = typed_of(context)
    raw: dict[str, Any] = {
        "corners": points(context.text("corners", MOST_POINTS)),
        "in_front": outlines(context.text("in_front", MOST_POINTS)),
    }
    unit = _UNIT.search(typed["width"])
    usual = unit[1] if unit else "ft" if in_feet(system) else "m"
    for side in ("width", "depth"):
        if typed[side]:
            raw[side] = with_unit(typed[side], usual)
    if _BARE.match(typed["facing"]):
        raw["facing"] = float(typed["facing"].replace(",", "."))
    elif typed["facing"]:
        raw["facing"] = typed["facing"]
    for name in ("light", "floor"):
        if typed[name]:
            raw[name] = typed[name]
    return raw


def in_feet(system: System) -> bool:
    """Whether the studio measures rooms in feet."""
    return system is not System.METRIC


def with_unit(text: str, unit: str) -> str:
    """A bare number takes the unit of the other side, or the studio's."""
    return f"{text} {unit}" if _BARE.match(text) else text


def points(text: str) -> list[list[float]]:
    """Points [px] from a script of ours: "[[812, 1490], …]". Raises EditError."""
    found = _read(text)
    if not isinstance(found, list) or not all(_is_point(point) for point in found):
        raise _broken()
    return [[round(float(value), 1) for value in point] for point in found]


def outlines(text: str) -> list[list[list[float]]]:
    """Rings of points. Raises EditError."""
    found = _read(text)
    if not isinstance(found, list):
        raise _broken()
    return [points(json.dumps(ring)) for ring in found]


def _read(text: str) -> Any:
    try:
        return json.loads(text or "[]")
    except (ValueError, RecursionError) as problem:
        raise _broken() from problem


def _is_point(point: Any) -> bool:
    return (
        isinstance(point, list)
        and len(point) == 2
        and all(isinstance(v, int | float) and not isinstance(v, bool) for v in point)
        and all(abs(v) < 1e6 for v in point)
    )


def _broken() -> EditError:
    return EditError(
        message("The marks could not be read."), message("Load the page again and mark anew.")
    )
