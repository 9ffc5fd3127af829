"""Marks in a photo of the client's room: from the command line, or from a file beside it.

`hall.jpg` has its marks in `hall.marks.toml`:

    format  = "airwright-room/1"
    corners = [[812, 1490], [1720, 1502], [1515, 1102], [905, 1098]]
    width   = "3 m"      # near side of that rectangle on the floor
    depth   = "2 m"
    right   = "0 m"      # where the decor stands, from the rectangle's middle
    away    = "0.5 m"
    facing  = 0          # degrees its front is turned, anticlockwise from above

or, instead of corners, width and depth, two upright things of known height; together with a
rectangle, one or two of them hold the decor better:

    uprights = [
      { foot = [420, 1480], head = [420, 610], height = "2.03 m" },
      { foot = [1690, 1400], head = [1694, 860], height = "4 ft 3 in" },
    ]

What stands before the decor, how the room is lit, and its floor:

    in_front = [[[300, 1500], [420, 1500], [430, 900], [310, 890]]]   # outlines in the photo
    light    = "left"      # the sun from the left, right, behind or ahead; overcast; lamps
    shadow   = { foot = [900, 1300], tip = [1200, 1350], height = "1.7 m" }   # one that is seen
    floor    = "glossy"    # dull, usual or glossy
"""

from __future__ import annotations

import re
from pathlib import Path

from pydantic import ValidationError

from airwright.job.findings import Finding, error
from airwright.job.translate import findings_of
from airwright.params import WRITTEN
from airwright.pictures.photo.marks import Marks, read_marks

SUFFIX = ".marks.toml"
POINT = r"(-?\d+(?:\.\d+)?)\s*,\s*(-?\d+(?:\.\d+)?)"
GivenMarks = tuple[str | None, str | None, str | None, float, str | None]
"""Corners, sides, stand, facing and uprights as typed on the command line."""

__all__ = ["Marks", "marks_beside", "marks_given", "read_marks"]


def marks_beside(photo: Path) -> Path:
    """Where the marks of a photo are looked for."""
    return photo.with_name(photo.stem + SUFFIX)


def _upright(text: str) -> dict[str, object] | None:
    """One upright thing: "420,1480 420,610 2.03 m"."""
    match = re.fullmatch(rf"\s*{POINT}\s+{POINT}\s+(\S.*?)\s*", text)
    if match is None:
        return None
    x, y, u, v = (float(number) for number in match.groups()[:4])
    return {"foot": (x, y), "head": (u, v), "height": match[5]}


def marks_given(
    corners: str | None,
    sides: str | None,
    stand: str | None,
    facing: float,
    uprights: str | None = None,
) -> tuple[Marks | None, tuple[Finding, ...]]:
    """Marks from the command line: "812,1490 1720,1502 …", "3 m x 2 m", "0 m, 0.5 m"."""
    raw: dict[str, object] = {"facing": facing}
    if corners is not None:
        points = re.findall(POINT, corners)
        if len(points) != 4:
            what = f'--corners "{corners[:60]}" are not four points.'
            mend = 'Write pixels like "812,1490 1720,1502 1515,1102 905,1098", near left first.'
            return None, (error("room-corners", "", what, mend),)
        raw["corners"] = [(float(x), float(y)) for x, y in points]
    if uprights is not None:
        standing = [_upright(part) for part in uprights.split(";")]
        if None in standing:
            what = f'--uprights "{uprights[:60]}" are not foot, head and height.'
            mend = 'Write --uprights "420,1480 420,610 2.03 m; 1690,1400 1694,860 4 ft 3 in".'
            return None, (error("room-uprights", "", what, mend),)
        raw["uprights"] = standing
    for option, text, sign, keys in (
        ("--sides", sides, r"\s*[x×]\s*", ("width", "depth")),
        ("--stand", stand, r"\s*,\s*", ("right", "away")),
    ):
        if text is None:
            continue
        parts = re.split(sign, text.strip())
        if len(parts) != 2:
            mend = 'Write --sides "3 m x 2 m" and --stand "0.5 m, 1 m".'
            return None, (error("room-sides", "", f'{option} "{text[:60]}" are not two.', mend),)
        raw.update(zip(keys, parts, strict=True))
    try:
        marks = Marks.model_validate(raw, context=WRITTEN)
    except ValidationError as problem:
        return None, tuple(findings_of(problem, (), Marks))
    lacking = marks.lacks()
    return (marks, ()) if lacking is None else (None, (lacking,))
