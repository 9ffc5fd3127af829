"""One cluster as the hands make it: its balloons in a ring round the tie, seen from above."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import (
    NO_CLUSTER,
    Assembly,
    ClusterMade,
    Floats,
    Ints,
    Role,
    Shade,
    Stock,
)
from airwright.pictures.drawing.compose import words
from airwright.pictures.drawing.draw import draw
from airwright.pictures.drawing.paint import tones
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.text import DARK, fit, ink_on, short_names, shorten, width_of
from airwright.pictures.drawing.values import (
    MM,
    Box,
    Drawing,
    DrawingError,
    Element,
    Options,
    View,
)
from airwright.units import LENGTH, System, show

MOST_PUSHES = 120
BODY_END = 1.2
"""Centre to where the neck begins, in radii."""
NECK = 1.30
"""Tie to centre in radii at the least: the neck keeps the balloon off the tie."""
TOUCHING = 1.0
"""Distance of neighbours in sums of their radii: they just touch."""
SMALLEST_MM = 1.7
"""Smallest letters on paper [mm]; smaller ones are replaced by a short label."""
FLAT = 4
"""So many balloons lie flat round their tie; more are drawn as they come to rest about it."""
TILT_RAD = 0.55
"""How far above the horizon such a bunch is seen from [rad]."""
ASIDE_RAD = (0.45, 0.2, 0.7, -0.2, -0.45, -0.7)
"""How far it may be turned to the side; the way in which most balloons show is taken [rad]."""
LINE_MM = 4.4
"""Height of a line of the legend [mm]."""


@dataclass(frozen=True, slots=True)
class Slot:
    """A balloon of a cluster: its shade, its stock and the label it is known by."""

    shade: Shade
    stock: Stock
    label: str


def slots_of(assembly: Assembly, cluster: int) -> tuple[Slot, ...]:
    """The balloons of one cluster of an assembly, in slot order.

    Raises:
        DrawingError: there is no such cluster.
    """
    if not 0 <= cluster < len(assembly.clusters):
        raise DrawingError(
            f'"{assembly.name}" has {len(assembly.clusters)} clusters; {cluster} is none of them.',
            "Choose one it has, counted from 0.",
        )
    labels = short_names([shade.name for shade in assembly.shades])
    rows = np.flatnonzero(assembly.cluster == cluster)
    rows = rows[np.argsort(assembly.slot[rows], kind="stable")]
    out = []
    for row in rows:
        shade = assembly.shades[assembly.shade[row]]
        out.append(Slot(shade, assembly.stocks[assembly.stock[row]], labels[shade.name]))
    return tuple(out)


def draw_ring(
    assembly: Assembly,
    cluster: int,
    *,
    width_mm: float = 60.0,
    legend: bool = True,
    system: System = System.FEET,
) -> Drawing:
    """Draw a cluster of an assembly, every shade named as well as coloured.

    Args:
        assembly: the piece.
        cluster: index into its clusters.
        width_mm: width on paper [mm].
        legend: a line per kind of balloon below the ring.
        system: units of the diameters.

    Raises:
        DrawingError: there is no such cluster, or the width is no width.
    """
    if not 15.0 <= width_mm <= 1000.0:
        raise DrawingError(f"A ring {width_mm} mm wide cannot be read.", "Give 15 to 1000 mm.")
    slots = slots_of(assembly, cluster)
    made: ClusterMade = assembly.clusters[cluster]
    bunch = len(slots) > FLAT
    ring = _bunch(assembly, cluster, slots) if bunch else _assembly(made.recipe, slots)
    drawn = draw(ring, View.TOP, options=Options(margin_m=0.0, floor=False), knots=False)
    scale = width_mm / max(drawn.canvas.width, 1.0)
    elements = [*drawn.elements, *([] if bunch else _tie(ring))]
    for row, slot in enumerate(slots):
        if bunch and _hidden(ring, row):
            continue
        x, y = float(ring.centre[row, 0]) * MM, -float(ring.centre[row, 1]) * MM
        elements += _label(slot, x, y, float(ring.radius[row]) * MM, scale, system)
    drawing = replace(drawn, title=made.recipe, elements=tuple(elements), scale=scale)
    drawing = replace(drawing, body=drawing.canvas)
    return _with_legend(drawing, slots, system) if legend else drawing


def places(radii: Sequence[float]) -> Floats:
    """Centres (n, 2) of balloons of these radii round a tie, the first one at the front.

    Each takes a share of the full turn by its size and lies as far out as it needs.
    """
    r = np.asarray(radii, dtype=np.float64)
    count = len(r)
    if count == 0:
        return np.zeros((0, 2))
    if count == 1:
        return np.zeros((1, 2))
    order = _spread(r)
    share = 2 * math.pi * r[order] / r.sum()
    turn = np.empty(count)
    turn[order] = np.cumsum(share) - share / 2
    turn -= turn[0] + math.pi / 2
    way = np.stack([np.cos(turn), np.sin(turn)], axis=1)
    out = NECK * r
    own = np.eye(count, dtype=bool)
    for _ in range(MOST_PUSHES):
        flat = out[:, None] * way
        apart = np.linalg.norm(flat[:, None] - flat[None], axis=2) / (r[:, None] + r[None])
        pressed = (np.where(own, np.inf, apart) < TOUCHING).any(axis=1)
        if not pressed.any():
            break
        out = np.where(pressed, out * 1.02, out)
    return np.asarray(out[:, None] * way)


def _spread(radii: Floats) -> Ints:
    """The order round the tie: the largest evenly, smaller ones in the gaps between them."""
    large = np.flatnonzero(radii >= radii.max() * (1 - 1e-9))
    small = np.flatnonzero(radii < radii.max() * (1 - 1e-9))
    gaps = np.array_split(small, len(large))
    return np.concatenate([[one, *gap] for one, gap in zip(large, gaps, strict=True)]).astype(
        np.int32
    )


def _bunch(assembly: Assembly, cluster: int, slots: Sequence[Slot]) -> Assembly:
    """A cluster too large to lie flat as it comes to rest round its tie, seen from above and in
    front where it is deeper than a ring."""
    rows = np.flatnonzero(assembly.cluster == cluster)
    rows = rows[np.argsort(assembly.slot[rows], kind="stable")]
    centre = assembly.centre[rows] - np.asarray(assembly.clusters[cluster].at)
    radius = assembly.radius[rows]
    deep = float(np.ptp(centre[:, 2])) > float(radius.max())
    flat = _assembly(assembly.clusters[cluster].recipe, slots)
    looks = [_raised(TILT_RAD, aside) for aside in ASIDE_RAD] if deep else [np.eye(3)]
    seen = [
        replace(flat, centre=centre @ turned.T, axis=assembly.axis[rows] @ turned.T)
        for turned in looks
    ]
    return min(seen, key=lambda ring: sum(_hidden(ring, row) for row in range(len(ring))))


def _raised(up_rad: float, aside_rad: float) -> Floats:
    """A rotation (3, 3) that brings a look from the front, raised by an angle, to one straight
    down."""
    turn = np.array([[math.cos(aside_rad), -math.sin(aside_rad), 0.0],
                     [math.sin(aside_rad), math.cos(aside_rad), 0.0],
                     [0.0, 0.0, 1.0]])  # fmt: skip
    c, s = math.cos(math.pi / 2 - up_rad), math.sin(math.pi / 2 - up_rad)
    lean = np.array([[1.0, 0.0, 0.0], [0.0, c, s], [0.0, -s, c]])
    return np.asarray(lean @ turn, dtype=np.float64)


def _hidden(ring: Assembly, row: int) -> bool:
    """Whether a balloon nearer the eye covers the middle of another."""
    apart = np.linalg.norm(ring.centre[:, :2] - ring.centre[row, :2], axis=1)
    above = ring.centre[:, 2] > ring.centre[row, 2] + 1e-9
    return bool((above & (apart < 1.1 * ring.radius)).any())


def _assembly(name: str, slots: Sequence[Slot]) -> Assembly:
    """The cluster laid flat on a table."""
    radius = np.array([slot.stock.inflated_m / 2 for slot in slots])
    flat = places(radius.tolist())
    centre = np.column_stack([flat, np.zeros(len(flat))])
    far = np.linalg.norm(centre, axis=1, keepdims=True)
    axis = np.where(far > 1e-9, centre / np.maximum(far, 1e-9), [0.0, -1.0, 0.0])
    index = np.arange(len(slots), dtype=np.int32)
    none = np.full(len(slots), NO_CLUSTER, dtype=np.int32)
    stocks = tuple(replace(slot.stock, family=_flat(slot.stock), mark=None) for slot in slots)
    return Assembly(
        name,
        "cluster",
        centre,
        radius,
        axis,
        index,
        index.copy(),
        none,
        none,
        index.copy(),
        np.full(len(slots), int(Role.BODY), dtype=np.int32),
        stocks,
        tuple(slot.shade for slot in slots),
    )


def _flat(stock: Stock) -> Family:
    return Family.ROUND if stock.family is Family.FOIL else stock.family


def _tie(ring: Assembly) -> list[Element]:
    """Necks from each balloon to the knot in the middle."""
    if len(ring) < 2:
        return []
    smallest = float(ring.radius.min()) * MM
    wide = 0.10 * smallest
    out = []
    for row in range(len(ring)):
        far = float(np.linalg.norm(ring.centre[row])) - BODY_END * float(ring.radius[row])
        if far * MM < 1.5 * wide:
            continue
        x, y = float(ring.axis[row, 0]) * far * MM, -float(ring.axis[row, 1]) * far * MM
        t = tones(ring.shades[row].colour)
        path = f'd="M0 0L{number(x)} {number(y)}" stroke-linecap="round"'
        out.append(
            f'<path {path} stroke="{t.shadow}" stroke-width="{number(wide * 1.3)}"/>'
            f'<path {path} stroke="{t.base}" stroke-width="{number(wide * 0.8)}"/>'
        )
    out.append(
        f'<circle r="{number(wide * 1.6)}" fill="#fff" stroke="{DARK}" '
        f'stroke-width="{number(wide * 0.35)}"/>'
        f'<circle r="{number(wide * 0.6)}" fill="{DARK}"/>'
    )
    return [Element("tie", "".join(out))]


def _label(
    slot: Slot, x: float, y: float, radius: float, scale: float, system: System
) -> list[Element]:
    """Name and diameter on a balloon, in letters that can be read."""
    smallest = SMALLEST_MM / scale
    ink = DARK if slot.shade.finish == "clear" else ink_on(slot.shade.colour)
    room, largest = 1.62 * radius, 3.4 / scale
    size = fit(slot.shade.name, room, largest)
    name = slot.shade.name
    if size < smallest:
        name = slot.label
        size = min(fit(name, room, largest), 0.8 * radius)
    across = show(slot.stock.inflated_m, LENGTH, system)
    second = min(fit(across, 1.5 * radius, 2.6 / scale), 0.62 * radius)
    lines = [Element("label", words(name, x, y - 0.12 * size, size, ink, bold=True))]
    if second >= 0.8 * smallest:
        lines.append(Element("label", words(across, x, y + 1.05 * second, second, ink)))
    else:
        lines = [Element("label", words(name, x, y + 0.35 * size, size, ink, bold=True))]
    return lines


def _with_legend(drawing: Drawing, slots: Sequence[Slot], system: System) -> Drawing:
    """A line per kind of balloon: swatch, how many, size, diameter, shade by name."""
    step = LINE_MM / drawing.scale
    canvas = drawing.canvas
    kinds: dict[tuple[str, str, float, str], list[Slot]] = {}
    for slot in slots:
        key = (slot.stock.size, slot.shade.name, slot.stock.inflated_m, slot.label)
        kinds.setdefault(key, []).append(slot)
    out = list(drawing.elements)
    top = canvas.bottom + 0.5 * step
    size = 0.68 * step
    for k, same in enumerate(kinds.values()):
        first = same[0]
        y = top + (k + 0.72) * step
        radius = 0.34 * step
        out.append(
            Element("swatch", swatch(first.shade, canvas.left + radius, y - 0.24 * step, radius))
        )
        across = show(first.stock.inflated_m, LENGTH, system)
        before = f"{len(same)} × {first.stock.size} at {across}, "
        room = canvas.width - 1.1 * step - width_of(before) * size
        text = before + shorten(first.shade.name, max(room, 3 * size), size)
        out.append(
            Element("legend", words(text, canvas.left + 1.1 * step, y, size, DARK, anchor="start"))
        )
    bottom = top + (len(kinds) + 0.2) * step
    return replace(
        drawing,
        elements=tuple(out),
        canvas=Box(canvas.left, canvas.top, canvas.right, bottom),
    )


def swatch(shade: Shade, x: float, y: float, radius: float) -> str:
    """A flat spot of a shade, outlined so that white shows on paper."""
    t = tones(shade.colour)
    return (
        f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r="{number(radius, 2)}" '
        f'fill="{shade.colour}" stroke="{t.shadow}" stroke-width="{number(radius * 0.09, 2)}"/>'
    )
