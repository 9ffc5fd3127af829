"""Clusters and single balloons in the order they are put on, for pieces that are no stack."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np

from airwright.decor.assembly import Assembly, Stock
from airwright.pictures.drawing.ring import Slot, places, slots_of
from airwright.pictures.drawing.sheet import SOFT, Sheet, spot
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.text import DARK, short_names, shorten, width_of, wrap

WORDS_MM = 2.5
LINE_MM = 3.1


def clusters_left(assembly: Assembly, stacked: bool) -> list[tuple[int, int]]:
    """Clusters not in the stack, equal neighbours joined: (index of the first, how many)."""
    out: list[tuple[int, int]] = []
    last: tuple[str, tuple[str, ...]] | None = None
    for index, made in enumerate(assembly.clusters):
        rows = np.flatnonzero(assembly.cluster == index)
        if len(rows) == 0 or (stacked and (assembly.layer[rows] >= 0).all()):
            continue
        look = (made.recipe, made.shades)
        if look == last:
            out[-1] = (out[-1][0], out[-1][1] + 1)
        else:
            out.append((index, 1))
        last = look
    return out


def add_rings(
    sheet: Sheet, assembly: Assembly, rest: Sequence[tuple[int, int]], *, numbered: bool
) -> None:
    """Small rings, left to right and down, numbered in the order they are put on."""
    style = sheet.style
    across = max(1, int(style.width // style.ring))
    top = sheet.bottom + (4.0 if sheet.elements else 0.0)
    made = [slots_of(assembly, index) for index, _ in rest]
    texts = [_what(slots, style.ring - 1.0) for slots in made]
    lines = max((len(text) for text in texts), default=1)
    high = style.ring + 5.5 + LINE_MM * lines
    widest = max((_reach(slots) for slots in made), default=1.0)
    counted = 1
    for k, ((_, many), slots, text) in enumerate(zip(rest, made, texts, strict=True)):
        x = (k % across + 0.5) * style.ring
        y = top + (k // across) * high + style.ring / 2 + 4.0
        own = max(_reach(slots), 1e-3)
        _small_ring(sheet, slots, x, y, 0.47 * style.ring / math.sqrt(widest * own))
        low = y + style.ring / 2 + 1.6
        for line, words in enumerate(text):
            sheet.say(words, x, low + LINE_MM * line, WORDS_MM, SOFT, kind="ring-words")
        name = f"{counted}" if many == 1 else f"{counted}–{counted + many - 1}"
        head = name if numbered else f"× {many}"
        sheet.say(head, x, y - style.ring / 2 - 1.2, 2.9, SOFT, kind="ring-number")
        counted += many
        sheet.reach((k % across + 1) * style.ring, low + LINE_MM * (lines - 1) + 1.2)


def _what(slots: Sequence[Slot], room: float) -> list[str]:
    """ "2 white, 1 coral" in lines that fit, never broken between number and shade."""
    counts = Counter(slot.shade.name for slot in slots)
    lines: list[str] = []
    for name, n in counts.items():
        item = shorten(f"{n} {name}", room, WORDS_MM)
        if lines and width_of(f"{lines[-1]}, {item}") * WORDS_MM <= room:
            lines[-1] += f", {item}"
        else:
            lines.append(item)
    return lines


def _reach(slots: Sequence[Slot]) -> float:
    radii = [slot.stock.inflated_m / 2 for slot in slots]
    at = places(radii)
    return max((float(np.hypot(*p)) + r for p, r in zip(at, radii, strict=True)), default=1.0)


def _small_ring(sheet: Sheet, slots: Sequence[Slot], x: float, y: float, scale: float) -> None:
    radii = [slot.stock.inflated_m / 2 for slot in slots]
    at = places(radii)
    for p, radius, slot in zip(at, radii, slots, strict=True):
        spot(
            sheet,
            slot.shade,
            slot.label,
            x + float(p[0]) * scale,
            y - float(p[1]) * scale,
            radius * scale,
            None,
        )
    if len(slots) > 1:
        sheet.add(
            "tie",
            f'<circle cx="{number(x, 2)}" cy="{number(y, 2)}" r=".8" fill="#fff" '
            f'stroke="{DARK}" stroke-width=".3"/>',
        )


def add_singles(sheet: Sheet, assembly: Assembly) -> None:
    """Balloons that belong to no cluster (toppers, floaters, accents), equal ones together."""
    kinds: dict[tuple[str, str], list[int]] = {}
    for row in np.flatnonzero((assembly.cluster < 0) & (assembly.layer < 0)):
        stock: Stock = assembly.stocks[assembly.stock[row]]
        shade = assembly.shades[assembly.shade[row]]
        kinds.setdefault((stock.size, shade.name), []).append(int(row))
    if not kinds:
        return
    labels = short_names([shade.name for shade in assembly.shades])
    pitch = 20.0
    across = max(1, int(sheet.style.width // pitch))
    top = sheet.bottom + (4.0 if sheet.elements else 0.0)
    largest = max(float(assembly.radius[rows[0]]) for rows in kinds.values())
    for k, ((size, name), rows) in enumerate(kinds.items()):
        x, y = (k % across + 0.5) * pitch, top + (k // across) * 22.0 + 7.0
        shade = assembly.shades[assembly.shade[rows[0]]]
        radius = 6.6 * math.sqrt(float(assembly.radius[rows[0]]) / max(largest, 1e-9))
        spot(sheet, shade, labels[name], x, y, radius, rows[0])
        for line, text in enumerate(wrap(f"{len(rows)} × {size}", 13)[:2]):
            short = shorten(text, pitch - 1.0, 2.5)
            sheet.say(short, x, y + 9.8 + 3.2 * line, 2.5, SOFT, kind="single")
            sheet.reach((k % across + 1) * pitch, y + 11.2 + 3.2 * line)
