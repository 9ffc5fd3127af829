"""Small line charts as SVG: axes with round steps, curves with their names at their ends."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from xml.sax.saxutils import escape

WIDE, HIGH = 640, 380
LEFT, RIGHT, TOP, BOTTOM = 64, 132, 44, 52
INK, SOFT, GRID = "#22303a", "#5d6b75", "#e3e1dc"
FONTS = "'Source Sans 3', Helvetica, Arial, sans-serif"
COLOURS = ("#1f7a7a", "#d4573c", "#b58a1f", "#5b5f97", "#7a8b99")


@dataclass(frozen=True)
class Curve:
    """One curve, its name, and perhaps a band between two others round it."""

    name: str
    x: Sequence[float]
    y: Sequence[float]
    low: Sequence[float] = ()
    high: Sequence[float] = ()
    dashed: bool = False
    name_on_top: bool = False


@dataclass(frozen=True)
class Chart:
    """A chart: title, axis names with units, curves, level lines (y, name)."""

    title: str
    x_name: str
    y_name: str
    curves: Sequence[Curve]
    levels: Sequence[tuple[float, str]] = ()
    log_y: bool = False
    from_zero: bool = True
    square: bool = False
    y_most: float | None = field(default=None)


def round_step(span: float, about: int = 6) -> float:
    """1, 2 or 5 times a power of ten, so that some `about` steps cover the span."""
    raw = span / about
    power = 10.0 ** math.floor(math.log10(raw))
    return next(power * m for m in (1, 2, 5, 10) if power * m >= raw * 0.999)


def ticks(low: float, high: float) -> list[float]:
    """Round numbers from low to high."""
    step = round_step(high - low)
    first = math.ceil(low / step - 1e-9)
    return [n * step for n in range(first, math.floor(high / step + 1e-9) + 1)]


def label(value: float) -> str:
    """A tick's number."""
    return f"{value:,.10g}"


class _Scale:
    def __init__(self, chart: Chart) -> None:
        xs = [x for c in chart.curves for x in c.x]
        ys = [y for c in chart.curves for y in (*c.y, *c.low, *c.high)]
        ys += [y for y, _ in chart.levels]
        self.x0, self.x1 = min(xs), max(xs)
        self.log = chart.log_y
        low = min(ys)
        self.y0 = low if chart.log_y or not chart.from_zero else min(0.0, low)
        self.y1 = (chart.y_most or max(ys)) * (1.0 if chart.log_y else 1.02)
        self.w, self.h = float(WIDE - LEFT - RIGHT), float(HIGH - TOP - BOTTOM)
        if chart.square:  # the same metre across and up
            scale = min(self.w / (self.x1 - self.x0), self.h / (self.y1 - self.y0))
            self.w, self.h = scale * (self.x1 - self.x0), scale * (self.y1 - self.y0)

    def x(self, value: float) -> float:
        return LEFT + self.w * (value - self.x0) / (self.x1 - self.x0)

    def y(self, value: float) -> float:
        share = (
            math.log(value / self.y0) / math.log(self.y1 / self.y0)
            if self.log
            else (value - self.y0) / (self.y1 - self.y0)
        )
        return HIGH - BOTTOM - self.h * share


def svg(chart: Chart) -> str:
    """The chart as an SVG document."""
    at = _Scale(chart)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {HIGH}" role="img">',
        f"<title>{escape(chart.title)}</title>",
        f'<rect width="{WIDE}" height="{HIGH}" rx="10" fill="#fffdf9"/>',
        '<clipPath id="area"><rect '
        f'x="{LEFT}" y="{TOP - 4}" width="{WIDE - LEFT - RIGHT}" '
        f'height="{HIGH - TOP - BOTTOM + 4}"/></clipPath>',
        f'<g font-family="{FONTS}" font-size="13" fill="{SOFT}">',
        text(LEFT, 24, chart.title, size=16, fill=INK, bold=True),
        *_axes(chart, at),
    ]
    parts += [_level(y, name, at) for y, name in chart.levels]
    for number, curve in enumerate(chart.curves):
        parts += _curve(curve, COLOURS[number % len(COLOURS)], at)
    parts += _names(chart, at)
    return "\n".join([*parts, "</g>", "</svg>"]) + "\n"


def text(
    x: float, y: float, words: str, *, size: int = 13, fill: str = SOFT, bold: bool = False,
    anchor: str = "start", turn: bool = False,
) -> str:  # fmt: skip
    weight = ' font-weight="600"' if bold else ""
    turned = f' transform="rotate(-90 {x:.1f} {y:.1f})"' if turn else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size}" fill="{fill}" text-anchor="{anchor}"'
        f"{weight}{turned}>{escape(words)}</text>"
    )


def _axes(chart: Chart, at: _Scale) -> list[str]:
    parts = []
    bottom = at.y(at.y0)
    marks = ticks(at.x0, at.x1)
    rows = _log_ticks(at.y0, at.y1) if at.log else ticks(at.y0, at.y1)
    for value in rows:
        y = at.y(value)
        parts.append(
            f'<line x1="{LEFT}" x2="{LEFT + at.w:.1f}" y1="{y:.1f}" y2="{y:.1f}" stroke="{GRID}"/>'
        )
        parts.append(text(LEFT - 8, y + 4, label(value), anchor="end"))
    for value in marks:
        x = at.x(value)
        parts.append(
            f'<line x1="{x:.1f}" x2="{x:.1f}" y1="{bottom:.1f}" y2="{bottom + 5:.1f}" '
            f'stroke="{SOFT}"/>'
        )
        parts.append(text(x, bottom + 20, label(value), anchor="middle"))
    parts.append(
        f'<line x1="{LEFT}" x2="{LEFT + at.w:.1f}" y1="{bottom:.1f}" y2="{bottom:.1f}" '
        f'stroke="{SOFT}"/>'
    )
    parts.append(text(LEFT + at.w / 2, bottom + 40, chart.x_name, anchor="middle"))
    parts.append(text(18, bottom - at.h / 2, chart.y_name, anchor="middle", turn=True))
    return parts


def _log_ticks(low: float, high: float) -> list[float]:
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    return [m * 10.0**p for p in powers for m in (1, 2, 5) if low * 0.999 <= m * 10.0**p <= high]


def _points(xs: Sequence[float], ys: Sequence[float], at: _Scale) -> str:
    return " ".join(f"{at.x(x):.1f},{at.y(y):.1f}" for x, y in zip(xs, ys, strict=True))


def _curve(curve: Curve, colour: str, at: _Scale) -> list[str]:
    parts = []
    if curve.low and curve.high:
        band = f"{_points(curve.x, curve.high, at)} "
        band += _points(list(curve.x)[::-1], list(curve.low)[::-1], at)
        parts.append(
            f'<polygon clip-path="url(#area)" points="{band}" fill="{colour}" opacity="0.13"/>'
        )
    dash = ' stroke-dasharray="6 5"' if curve.dashed else ""
    parts.append(
        f'<polyline clip-path="url(#area)" points="{_points(curve.x, curve.y, at)}" fill="none" '
        f'stroke="{colour}" stroke-width="2.4" stroke-linejoin="round"{dash}/>'
    )
    return parts


def _level(y: float, name: str, at: _Scale) -> str:
    height = at.y(y)
    return (
        f'<line x1="{LEFT}" x2="{LEFT + at.w:.1f}" y1="{height:.1f}" y2="{height:.1f}" '
        f'stroke="{INK}" stroke-width="1.2" stroke-dasharray="2 4"/>'
        + text(LEFT + 6, height - 6, name, size=12, fill=INK)
    )


def _names(chart: Chart, at: _Scale) -> list[str]:
    """Names beside the curves' ends, pushed apart where they would touch."""
    ends = []
    tops = []
    for number, curve in enumerate(chart.curves):
        if curve.name_on_top:
            y, x = max(zip(curve.y, curve.x, strict=True))
            tops.append((at.y(y) - 7, at.x(x), number))
            continue
        inside = [(x, y) for x, y in zip(curve.x, curve.y, strict=True) if y <= at.y1]
        x, y = inside[-1]
        ends.append([at.y(y) + 4, at.x(x) + 7, number])
    ends.sort()
    for one, other in pairwise(ends):
        other[0] = max(other[0], one[0] + 15)
    return [
        text(x, y, chart.curves[int(n)].name, fill=COLOURS[int(n) % len(COLOURS)], bold=True)
        for y, x, n in ends
    ] + [
        text(x, y, chart.curves[n].name, fill=COLOURS[n % len(COLOURS)], bold=True, anchor="middle")
        for y, x, n in tops
    ]
