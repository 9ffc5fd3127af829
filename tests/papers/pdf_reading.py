"""Reading PDFs back with other people's libraries: words and where they stand, and lines drawn."""

from __future__ import annotations

import io
from dataclasses import dataclass

import numpy as np
import pypdfium2 as pdfium
from pypdf import PdfReader
from pypdf.generic import ContentStream

MM_PER_POINT = 25.4 / 72
Box = tuple[float, float, float, float]


def texts(data: bytes) -> list[str]:
    """The text of each page, breaking chances and line ends taken out."""
    found = []
    for page in pdfium.PdfDocument(data):
        text = page.get_textpage().get_text_range()
        found.append(text.replace("\u200b", "").replace("\r\n", "\n"))
    return found


def whole_text(data: bytes) -> str:
    return "\n".join(texts(data))


def run_together(text: str) -> str:
    """Text without any white space: how lines were broken does not matter."""
    return "".join(text.split())


def page_count(data: bytes) -> int:
    return len(pdfium.PdfDocument(data))


def page_size_mm(data: bytes, page: int = 0) -> tuple[float, float]:
    wide, high = pdfium.PdfDocument(data)[page].get_size()
    return wide * MM_PER_POINT, high * MM_PER_POINT


@dataclass(frozen=True)
class Char:
    page: int
    char: str
    box: Box  # left, bottom, right, top [mm], from the lower left corner of the page


def chars(data: bytes) -> list[Char]:
    """Every visible character with its ink's box."""
    found = []
    for number, page in enumerate(pdfium.PdfDocument(data)):
        text = page.get_textpage()
        for n in range(text.count_chars()):
            char = chr(pdfium.raw.FPDFText_GetUnicode(text.raw, n))
            if char.isspace() or char in "\u200b\ufffe\x00\x02":
                continue
            left, bottom, right, top = (v * MM_PER_POINT for v in text.get_charbox(n))
            if right > left and top > bottom:
                found.append(Char(number, char, (left, bottom, right, top)))
    return found


def outside(data: bytes, side_mm: float, top_mm: float, bottom_mm: float) -> list[Char]:
    """Characters that stand outside the margins.

    0.3 mm is allowed at the sides for bearings, 1.2 mm above: lines are set by their capitals,
    and the tallest ascenders of a heading reach a little higher.
    """
    wide, high = page_size_mm(data)
    slack, ascenders = 0.3, 1.2
    return [
        char
        for char in chars(data)
        if char.box[0] < side_mm - slack
        or char.box[2] > wide - side_mm + slack
        or char.box[1] < bottom_mm - slack
        or char.box[3] > high - top_mm + ascenders
    ]


def overlapping(data: bytes, share: float = 0.3) -> list[tuple[Char, Char]]:
    """Pairs of letters printed over each other: they share more than `share` of the smaller one.

    Only letters and digits of scripts whose letters stand apart are looked at.
    """
    pairs = []
    plain = [c for c in chars(data) if c.char.isalnum() and ord(c.char) < 0x250]
    for page in {c.page for c in plain}:
        here = [c for c in plain if c.page == page]
        boxes = np.array([c.box for c in here])
        order = np.argsort(boxes[:, 0])
        boxes = boxes[order]
        for i, box in enumerate(boxes):
            stop = np.searchsorted(boxes[:, 0], box[2])
            others = boxes[i + 1 : stop]
            wide = np.minimum(others[:, 2], box[2]) - np.maximum(others[:, 0], box[0])
            high = np.minimum(others[:, 3], box[3]) - np.maximum(others[:, 1], box[1])
            area = np.clip(wide, 0, None) * np.clip(high, 0, None)
            own = (box[2] - box[0]) * (box[3] - box[1])
            theirs = (others[:, 2] - others[:, 0]) * (others[:, 3] - others[:, 1])
            for j in np.flatnonzero(area > share * np.minimum(own, theirs)):
                pair = here[order[i]], here[order[i + 1 + j]]
                # Letters of one ligature ("ft") report one box between them.
                if pair[0].box != pair[1].box:
                    pairs.append(pair)
    return pairs


def paths(data: bytes, page: int) -> list[list[tuple[float, float]]]:
    """Paths drawn on a page, straight from its drawing operators.

    Each is its points in order (curves: their end points), in mm from the upper left corner.
    """
    reader = PdfReader(io.BytesIO(data))
    sheet = reader.pages[page]
    height = float(sheet.mediabox.height)
    stream = ContentStream(sheet["/Contents"].get_object(), reader)
    matrix, stack = np.eye(3), []
    found: list[list[tuple[float, float]]] = []
    current: list[tuple[float, float]] = []

    def at(x: object, y: object) -> tuple[float, float]:
        px, py, _ = np.array([float(x), float(y), 1.0]) @ matrix  # type: ignore[arg-type]
        return float(px) * MM_PER_POINT, (height - float(py)) * MM_PER_POINT

    for operands, operator in stream.operations:
        if operator == b"q":
            stack.append(matrix)
        elif operator == b"Q":
            matrix = stack.pop()
        elif operator == b"cm":
            a, b, c, d, e, f = (float(v) for v in operands)
            matrix = np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix
        elif operator == b"m":
            if current:
                found.append(current)
            current = [at(*operands)]
        elif operator == b"l":
            current.append(at(*operands))
        elif operator == b"c":
            current.append(at(*operands[4:]))
        elif operator in (b"S", b"s", b"f", b"f*", b"B", b"B*", b"b", b"b*", b"n"):
            if current:
                found.append(current)
            current = []
    return found
