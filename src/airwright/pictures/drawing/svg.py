"""Writing SVG: numbers, text, paths, and whole drawings."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise

import numpy as np

from airwright.decor.assembly import Floats, Ints
from airwright.pictures.drawing.values import PREFIX_MARK, Drawing, DrawingError


def number(value: float, digits: int = 1) -> str:
    """A number without needless characters: "12", "-.5"."""
    text = f"{value:.{digits}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    if text in ("-0", ""):
        return "0"
    if text.startswith("0."):
        return text[1:]
    return text.replace("-0.", "-.", 1) if text.startswith("-0.") else text


def join(values: Iterable[str]) -> str:
    """Numbers one after another, a space only where none can be spared."""
    out: list[str] = []
    for text in values:
        if out and not text.startswith("-"):
            out.append(" ")
        out.append(text)
    return "".join(out)


def escape(text: str) -> str:
    """Text for XML: markup escaped, characters that XML forbids replaced by a space."""
    clean = "".join(c if _allowed(ord(c)) else " " for c in text)
    for plain, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        clean = clean.replace(plain, safe)
    return clean


def _allowed(code: int) -> bool:
    return (
        0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000
    ) and code not in range(0x7F, 0xA0)


def ref(name: str) -> str:
    """An id as it stands in attributes, before the prefix is known."""
    return f"{PREFIX_MARK}{name}"


def polyline(points: Floats, *, close: bool = False, digits: int = 1) -> str:
    """Path data through (n, 2) points, straight between them."""
    scaled = np.round(np.asarray(points, dtype=np.float64) * 10**digits).astype(int)
    steps = np.diff(scaled, axis=0)
    head = "M" + join(number(v / 10**digits, digits) for v in scaled[0])
    body = "l" + join(number(v / 10**digits, digits) for v in steps.ravel()) if len(steps) else ""
    return head + body + ("z" if close else "")


def smooth(
    points: Floats, corners: tuple[int, ...] = (), *, close: bool = True, digits: int = 0
) -> str:
    """Path data of a curve through (n, 2) points, bent only at `corners`.

    Catmull-Rom tangents; a corner has one tangent on each side. Points are rounded to `digits`
    decimals.
    """
    p = np.asarray(points, dtype=np.float64)
    if len(p) < 3:
        return polyline(p, close=close, digits=digits)
    p = p * 10**digits
    if not close:
        return _runs(p, [(0, len(p) - 1)], digits)
    if not corners:
        ring = np.concatenate([p[-1:], p, p[:2]])
        return _spline(ring[1:-1], (ring[2:] - ring[:-2])[: len(p) + 1] / 6.0, digits) + "z"
    turned = np.roll(p, -corners[0], axis=0)
    stops = [c - corners[0] for c in corners] + [len(p)]
    ring = np.concatenate([turned, turned[:1]])
    return _runs(ring, list(pairwise(stops)), digits) + "z"


def _runs(p: Floats, runs: list[tuple[int, int]], digits: int) -> str:
    parts: list[str] = []
    for start, stop in runs:
        run = p[start : stop + 1]
        padded = np.concatenate([_before(run), run, _before(run[::-1])])
        parts.append(_spline(run, (padded[2:] - padded[:-2]) / 6.0, digits, first=not parts))
    return "".join(parts)


def _before(run: Floats) -> Floats:
    """A point (1, 2) before a run, such that its curve starts as a parabola through three points.

    With two points, or with a first one too near to tell, it starts straight.
    """
    if len(run) > 2:
        first, second = np.hypot(*(run[1] - run[0])), np.hypot(*(run[2] - run[1]))
        if first > 0.55 * second:
            return np.asarray(3 * run[:1] - 3 * run[1:2] + run[2:3])
    return np.asarray(2 * run[:1] - run[1:2])


def _spline(p: Floats, arm: Floats, digits: int, first: bool = True) -> str:
    """Cubic pieces through p with half tangents `arm`; s commands where the arms mirror."""
    q = np.rint(p).astype(int)
    ends = np.diff(q, axis=0)
    leave = np.rint(arm[:-1]).astype(int)
    arrive = ends - np.rint(arm[1:]).astype(int)
    head = "M" + join(_decimals(q[0], digits)) if first else ""
    start = "c" + join(_decimals(np.concatenate([leave[0], arrive[0], ends[0]]), digits))
    rest = np.concatenate([arrive[1:], ends[1:]], axis=1).ravel()
    return head + start + ("s" + join(_decimals(rest, digits)) if len(rest) else "")


def _decimals(values: Ints, digits: int) -> list[str]:
    """Whole numbers of the last decimal as text."""
    if digits == 0:
        return [str(v) for v in values.tolist()]
    return [_decimal(v, digits) for v in values.tolist()]


@lru_cache(maxsize=1 << 14)
def _decimal(value: int, digits: int) -> str:
    """Few numbers, very often: a balloon's frame is small."""
    return number(value / 10**digits, digits)


def to_svg(drawing: Drawing, *, prefix: str = "", width_mm: float | None = None) -> str:
    """Write a drawing as an SVG document.

    Args:
        drawing: what to write.
        prefix: stands before every id, so that several drawings can share a page.
        width_mm: width on paper [mm]; None keeps the drawing's own scale.

    Returns:
        The document; equal drawings give equal text.

    Raises:
        DrawingError: for a prefix that cannot begin an id, or a width that is none.
    """
    if prefix and not _good_prefix(prefix):
        raise DrawingError(
            f'"{prefix}" cannot stand before an id.', "Use letters, digits, - and _."
        )
    canvas = drawing.canvas
    wide, high = drawing.paper_mm
    if width_mm is not None:
        if not 0.0 < width_mm < 1e5:
            raise DrawingError(f"A width of {width_mm} mm cannot be drawn.", "Give millimetres.")
        wide, high = width_mm, width_mm * canvas.height / max(canvas.width, 1e-9)
    box = " ".join(number(v) for v in (canvas.left, canvas.top, canvas.width, canvas.height))
    title = escape(drawing.title)
    parts = [
        '<svg xmlns="http://www.w3.org/2000/svg" '
        f'width="{number(wide, 2)}mm" height="{number(high, 2)}mm" viewBox="{box}" '
        f'role="img" aria-label="{title}">',
        f"<title>{title}</title>",
    ]
    if drawing.defs:
        parts.append("<defs>" + "".join(markup for _, markup in drawing.defs) + "</defs>")
    parts.extend(element.markup for element in drawing.elements)
    parts.append("</svg>\n")
    return "\n".join(parts).replace(PREFIX_MARK, prefix or "a")


def _good_prefix(prefix: str) -> bool:
    return (
        prefix[0].isalpha() and prefix.isascii() and all(c.isalnum() or c in "-_" for c in prefix)
    )
