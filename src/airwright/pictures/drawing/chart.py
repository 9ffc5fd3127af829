"""The layer chart: a body unrolled, one row a layer, the front in the middle.

Pieces without layers (clouds, bouquets, garlands) get their clusters as small rings instead,
in the order in which they are put on. Here a user unit is a millimetre of the paper.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly, Floats, Ints
from airwright.job.cluster import Cluster, NotationError, Part
from airwright.pictures.drawing.cluster_list import add_rings, add_singles, clusters_left
from airwright.pictures.drawing.draw import check
from airwright.pictures.drawing.grids import grid_parts, is_grid
from airwright.pictures.drawing.ring import swatch
from airwright.pictures.drawing.sheet import SOFT, Sheet, Style, spot
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.text import DARK, short_names, shorten, width_of
from airwright.pictures.drawing.values import Box, Drawing
from airwright.units import INCH_M, LENGTH, System, show

Rows = NDArray[np.intp]

GRID = "#ded8cf"
FRONT_BAND = "#f3efe8"
EVEN = 0.85
"""How even a layer must stand (1: perfectly) to be drawn turned as it is."""
PART_HIGH_MM = 230.0
"""A wall is cut into parts no higher than this, so that each prints on a page."""
FEWEST_LAYERS = 3
"""A piece with fewer layers is no stack: its clusters are drawn as rings."""


def draw_chart(
    assembly: Assembly, *, style: Style | None = None, system: System = System.FEET
) -> Drawing:
    """Draw the layer chart of a piece, or its clusters in order where it has no layers."""
    check(assembly)
    sheet = Sheet(style or Style())
    layered = np.flatnonzero(assembly.layer >= 0).astype(np.int32)
    is_wall = is_grid(assembly)
    is_stack = not is_wall and assembly.layers >= FEWEST_LAYERS and len(layered) > 0
    if is_wall:
        _wall(sheet, assembly)
    elif is_stack:
        _stack(sheet, assembly, layered, system)
    rest = clusters_left(assembly, is_stack or is_wall)
    if rest:
        add_rings(sheet, assembly, rest, numbered=not is_stack)
    add_singles(sheet, assembly)
    _legend(sheet, assembly, system)
    canvas = Box(0.0, 0.0, max(sheet.right, 20.0), max(sheet.bottom, 1.0))
    return Drawing(
        f"{assembly.name}: chart" if assembly.name else "chart",
        canvas,
        canvas,
        tuple(sheet.elements),
        (),
        1.0,
    )


# ---- walls -------------------------------------------------------------------------------------


def _wall(sheet: Sheet, assembly: Assembly) -> None:
    """A wall as it stands, in parts no wider than the sheet, one below the other."""
    left, foot = 9.0, 8.0
    parts = grid_parts(assembly, sheet.style.width - left, PART_HIGH_MM)
    for part in parts:
        top = sheet.bottom + (3.0 if part is parts[0] else 9.0)
        if len(parts) > 1:
            (first, last), (low, high) = part.columns, part.rows
            words = f"Columns {first} to {last}, rows {low} to {high}"
            sheet.say(words, left, top + 2.0, 3.4, DARK, anchor="start", bold=True)
            top += 5.0
        for n, y in part.row_at:
            sheet.say(str(n), left - 2.2, top + y + 1.0, 2.9, SOFT, anchor="end")
        for n, x in part.column_at:
            sheet.say(str(n), left + x, top + part.height_mm + 4.0, 2.9, SOFT)
        for disc in part.discs:
            shade = assembly.shades[assembly.shade[disc.row]]
            spot(sheet, shade, disc.label, left + disc.x, top + disc.y, disc.r, disc.row)
        sheet.reach(left + part.width_mm + 1.0, top + part.height_mm + foot - 2.0)


# ---- stacks ------------------------------------------------------------------------------------


def turns(assembly: Assembly, rows: Sequence[int]) -> Floats:
    """Where each balloon of a layer looks [deg]: 0 to the front, 90 to the viewer's right.

    Along an arch "right" is measured across its line, which runs upwards at its start.
    """
    ties = {int(c): np.asarray(assembly.clusters[c].at) for c in assembly.cluster[list(rows)]}
    out = []
    for row in rows:
        cluster = int(assembly.cluster[row])
        tie = ties[cluster]
        along = _along(assembly, cluster)
        front = np.array([0.0, -1.0, 0.0])
        front = front - along * (along @ front)
        size = float(np.linalg.norm(front))
        front = front / size if size > 1e-6 else np.array([0.0, 0.0, 1.0])
        off = assembly.centre[row] - tie
        out.append(math.degrees(math.atan2(off @ np.cross(along, front), off @ front)))
    return np.asarray(out)


def _along(assembly: Assembly, cluster: int) -> Floats:
    """Unit vector along the line at a cluster."""
    same = [int(c) for c in np.unique(assembly.cluster[assembly.layer >= 0]) if c >= 0]
    k = same.index(cluster)
    low, high = same[max(k - 1, 0)], same[min(k + 1, len(same) - 1)]
    way = np.asarray(assembly.clusters[high].at) - np.asarray(assembly.clusters[low].at)
    size = float(np.linalg.norm(way))
    return way / size if size > 1e-6 else np.array([0.0, 0.0, 1.0])


def columns(looking: Floats) -> Floats:
    """Even places round the turn for balloons that look these ways [deg], kept in order.

    A layer whose balloons stand evenly is turned as it really is, so that layers that nest
    show their half step; an uneven one (all small ones to the front) is opened at the back and
    spread evenly. Results lie in (-180, 180].
    """
    count = len(looking)
    if count == 0:
        return np.zeros(0)
    order = np.argsort(looking, kind="stable")
    step = 360.0 / count
    lag = np.deg2rad((looking[order] - step * np.arange(count)) * count)
    pull = complex(np.cos(lag).sum(), np.sin(lag).sum()) / count
    placed = np.empty(count)
    if abs(pull) > EVEN:
        best = math.degrees(math.atan2(pull.imag, pull.real)) / count + step * np.arange(count)
        placed[order] = best + np.round((looking[order] - best).mean() / step) * step
    else:
        placed[_opened(looking, order, step)] = -180.0 + step * (np.arange(count) + 0.5)
    wrapped = -((-placed + 180.0) % 360.0 - 180.0)
    return np.asarray(np.where(wrapped <= -180.0 + 1e-6, 180.0, np.round(wrapped, 6)))


def _opened(looking: Floats, order: Rows, step: float) -> Rows:
    """Rows from left to right, cut open where the even places suit best."""
    seats = -180.0 + step * (np.arange(len(order)) + 0.5)
    best, least = order, math.inf
    for cut in range(len(order)):
        rows = np.roll(order, -cut)
        angle = np.unwrap(looking[rows], period=360.0)
        angle = angle - 360.0 * round(float(angle.mean()) / 360.0)
        cost = float(((angle - seats) ** 2).sum())
        if cost < least - 1e-9:
            best, least = rows, cost
    return best


def _stack(sheet: Sheet, assembly: Assembly, rows: Ints, system: System) -> None:
    """Blocks of layers side by side, the lowest layer at the foot of the first block."""
    style = sheet.style
    layers = [int(v) for v in np.unique(assembly.layer[rows])]
    most = max(int((assembly.layer == layer).sum()) for layer in layers)
    wide = max(most, 2) * style.cell
    recipes = {layer: _recipe(assembly, layer) for layer in layers}
    kinds = list(dict.fromkeys(recipes.values()))
    letters = {recipe: _letter(k) for k, recipe in enumerate(kinds)} if len(kinds) > 1 else {}
    left_room, right_room = 9.0, 7.0 if letters else 3.0
    block = left_room + wide + style.cell + right_room
    blocks = [layers[k : k + style.rows] for k in range(0, len(layers), style.rows)]
    per_row = max(1, int(style.width // block))
    labels = short_names([shade.name for shade in assembly.shades])
    largest = max((assembly.radius[r] for r in rows), default=1.0)
    top = sheet.bottom
    for k, part in enumerate(blocks):
        if k and k % per_row == 0:
            top = sheet.bottom + 4.0
        x = (k % per_row) * block + left_room
        frame = _Frame(x, top + 6.0, wide, len(part), style.cell)
        _frame(sheet, frame)
        for r, layer in enumerate(part):
            y = frame.y + (len(part) - r - 0.5) * style.cell
            sheet.say(str(layer + 1), x - 2.2, y + 1.0, 2.9, SOFT, anchor="end")
            if letters:
                sheet.say(
                    letters[recipes[layer]],
                    x + wide + style.cell / 2 + 2.0,
                    y + 1.0,
                    2.9,
                    SOFT,
                    anchor="start",
                )
            _layer(sheet, assembly, layer, frame, y, labels, float(largest))
        sheet.reach(x + wide + style.cell / 2 + right_room, frame.y + frame.high + 5.5)
    for recipe, letter in letters.items():
        sheet.bottom += sheet.style.line
        words = _in_words(recipe, system)
        room = style.width - 8.0
        sheet.say(
            f"{letter}  {shorten(words, room, 3.0)}",
            2.0,
            sheet.bottom - 0.8,
            3.0,
            anchor="start",
            kind="legend",
        )
        sheet.reach(2.0 + min(width_of(words) * 3.0 + 8.0, room), sheet.bottom)


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where a block stands: upper left corner, width, rows and their height [mm]."""

    x: float
    y: float
    wide: float
    rows: int
    cell: float

    @property
    def high(self) -> float:
        return self.rows * self.cell


def _frame(sheet: Sheet, frame: _Frame) -> None:
    """Rows as fine lines, a band where the front is, and the words front and back."""
    middle = frame.x + frame.wide / 2
    band = 1.06 * frame.cell
    sheet.add(
        "front",
        f'<rect x="{number(middle - band / 2, 2)}" y="{number(frame.y, 2)}" '
        f'width="{number(band, 2)}" height="{number(frame.high, 2)}" fill="{FRONT_BAND}"/>'
        f'<path fill="{DARK}" d="M{number(middle - 1.5, 2)} {number(frame.y + frame.high + 2.6, 2)}'
        f'h3l-1.5 -2z"/>',
    )
    lines = "".join(
        f"M{number(frame.x, 2)} {number(frame.y + k * frame.cell, 2)}h{number(frame.wide, 2)}"
        for k in range(frame.rows + 1)
    )
    sheet.add("grid", f'<path fill="none" stroke="{GRID}" stroke-width=".2" d="{lines}"/>')
    low = frame.y + frame.high + 5.0
    sheet.say("front", middle, low, 2.7, DARK, bold=True, kind="front-word")
    sheet.say("back", frame.x, low, 2.3, SOFT)
    sheet.say("back", frame.x + frame.wide, low, 2.3, SOFT)


def _layer(
    sheet: Sheet,
    assembly: Assembly,
    layer: int,
    frame: _Frame,
    y: float,
    labels: dict[str, str],
    largest: float,
) -> None:
    rows = [int(r) for r in np.flatnonzero(assembly.layer == layer)]
    at = columns(turns(assembly, rows))
    room = 0.96 * min(frame.cell, frame.wide / max(len(rows), 1))
    for row, degrees in zip(rows, at, strict=True):
        x = frame.x + frame.wide * (0.5 + float(degrees) / 360.0)
        shade = assembly.shades[assembly.shade[row]]
        radius = 0.5 * room * math.sqrt(float(assembly.radius[row]) / largest)
        spot(sheet, shade, labels[shade.name], x, y, radius, row)


def _recipe(assembly: Assembly, layer: int) -> str:
    row = int(np.flatnonzero(assembly.layer == layer)[0])
    return assembly.clusters[assembly.cluster[row]].recipe if assembly.cluster[row] >= 0 else ""


def _in_words(recipe: str, system: System) -> str:
    """A cluster as its card writes it: "2 × 11in, 9.5 in + 2 × 5in, 4.5 in"."""
    try:
        parts = Cluster.parse(recipe).parts
    except NotationError:
        return recipe
    return " + ".join(_part_words(part, system) for part in parts)


def _part_words(part: Part, system: System) -> str:
    across = part.balloon.diameter_m
    known = "" if across is None else f", {show(across, LENGTH, system)}"
    return f"{part.count} × {part.balloon.size}{known}"


def _letter(k: int) -> str:
    return chr(ord("A") + k) if k < 26 else f"A{k - 25}"


# ---- legend ------------------------------------------------------------------------------------


def _legend(sheet: Sheet, assembly: Assembly, system: System) -> None:
    """Short label, full name and number of every shade; sizes where there are several."""
    labels = short_names([shade.name for shade in assembly.shades])
    step, size = sheet.style.line, 3.0
    used = [k for k in range(len(assembly.shades)) if (assembly.shade == k).any()]
    if not used:
        return
    top = sheet.bottom + 2.5
    width = max(sheet.right, min(70.0, sheet.style.width))
    texts = []
    for k in used:
        shade = assembly.shades[k]
        count = int((assembly.shade == k).sum())
        inner = f" over {shade.inner}" if shade.inner and not shade.inner.startswith("#") else ""
        short = labels[shade.name]
        known = f" ({short})" if shade.name in sheet.shortened else ""
        texts.append((shade, f"{shade.name}{inner}{known} × {count}"))
    column = min(max(width_of(t) for _, t in texts) * size + 10.0, width)
    across = max(1, int(width // column))
    for k, (shade, text) in enumerate(texts):
        x, y = (k % across) * column, top + (k // across + 0.7) * step
        sheet.add("swatch", swatch(shade, x + 2.4, y - 1.1, 1.6))
        sheet.say(
            shorten(text, column - 6.0, size), x + 5.4, y, size, anchor="start", kind="legend"
        )
        sheet.reach(min((k % across + 1) * column, width), y + 1.5)
    if sheet.style.sizes:
        _sizes(sheet, assembly, system)


def _sizes(sheet: Sheet, assembly: Assembly, system: System) -> None:
    kinds = {}
    for index in np.unique(assembly.stock):
        stock = assembly.stocks[index]
        kinds[(stock.size, round(stock.inflated_m / INCH_M, 3))] = stock
    rows = sorted(kinds.values(), key=lambda s: -s.inflated_m)
    parts = [f"{s.size} at {show(s.inflated_m, LENGTH, system)}" for s in rows]
    text = "Sizes: " + "; ".join(parts) + "."
    width = max(sheet.right, 70.0)
    y = sheet.bottom + 4.2
    line = ""
    for word in text.split(" "):
        if line and width_of(f"{line} {word}") * 2.7 > width:
            sheet.say(line, 0.8, y, 2.7, SOFT, anchor="start", kind="legend")
            y, line = y + 3.8, word
        else:
            line = f"{line} {word}" if line else word
    sheet.say(line, 0.8, y, 2.7, SOFT, anchor="start", kind="legend")
    sheet.reach(width, y + 1.5)
