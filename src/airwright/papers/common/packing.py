"""PDFs made smaller: the typesetter's many small objects, packed and compressed.

A drawing of two hundred balloons is two thousand gradients, each a few words of plain text in
the file. PDF 1.5 and later let such objects lie together in compressed streams (ISO 32000-1,
7.5.7), and the table of where they are be compressed too (7.5.8). Nothing on a page changes.
"""

from __future__ import annotations

import re
import zlib
from collections.abc import Mapping
from typing import Final

IN_A_STREAM: Final = 400
"""Objects packed together; a reader unpacks all of them to find one."""
_TABLE: Final = re.compile(rb"startxref\s+(\d+)\s+%%EOF\s*$")
_HEAD: Final = re.compile(rb"xref\s+0 (\d+)\s")
_OBJECT: Final = re.compile(rb"\s*(\d+) 0 obj\s")
_TRAILER: Final = re.compile(rb"trailer\s*<<(.*)>>\s*startxref", re.DOTALL)
_SIZE: Final = re.compile(rb"/Size \d+")
_ENTRY: Final = 20
"""Bytes of a line of the table."""
_VERSION: Final = re.compile(rb"%PDF-1\.([5-9])")


def packed(pdf: bytes) -> bytes:
    """The same document with its plain objects compressed.

    Args:
        pdf: written in one go, with one table of plain text, as the typesetter does. Anything
            else, or anything older than PDF 1.5, is returned as it is.
    """
    objects = _objects(pdf)
    trailer = _TRAILER.search(pdf, pdf.rfind(b"\nxref"))
    if objects is None or trailer is None or _VERSION.match(pdf) is None:
        return pdf
    out = bytearray(pdf[: min(start for start, _ in objects.values())])
    places: dict[int, tuple[int, int, int]] = {0: (0, 0, 65535)}
    plain: list[tuple[int, bytes]] = []
    for number, (start, end) in objects.items():
        whole = pdf[start:end]
        if whole.endswith(b"endstream\nendobj"):
            places[number] = (1, len(out), 0)
            out += whole + b"\n\n"
        else:
            plain.append((number, _body(whole)))
    last = max(objects)
    for at in range(0, len(plain), IN_A_STREAM):
        last += 1
        some = plain[at : at + IN_A_STREAM]
        for k, (number, _) in enumerate(some):
            places[number] = (2, last, k)
        places[last] = (1, len(out), 0)
        out += _stream(last, *_together(some)) + b"\n\n"
    places[last + 1] = (1, len(out), 0)
    place = len(out)
    keys = _SIZE.sub(b"", trailer[1]).strip()
    out += _stream(last + 1, *_table(places, keys))
    out += b"\nstartxref\n%d\n%%%%EOF\n" % place
    return bytes(out)


def _objects(pdf: bytes) -> Mapping[int, tuple[int, int]] | None:
    """Where each object begins, and ends with its "endobj", in the order of the file."""
    found = _TABLE.search(pdf)
    head = _HEAD.match(pdf, int(found[1])) if found else None
    if found is None or head is None:
        return None
    table, count = int(found[1]), int(head[1])
    lines = [pdf[head.end() + _ENTRY * k :][:_ENTRY] for k in range(count)]
    starts = {k: int(line[:10]) for k, line in enumerate(lines) if line[17:18] == b"n"}
    order = sorted(starts, key=lambda k: starts[k])
    ends = [*(starts[k] for k in order[1:]), table]
    objects: dict[int, tuple[int, int]] = {}
    for number, end in zip(order, ends, strict=True):
        head = _OBJECT.match(pdf, starts[number])
        stop = pdf.rfind(b"endobj", starts[number], end)
        if head is None or int(head[1]) != number or stop < 0:
            return None
        objects[number] = (starts[number], stop + len(b"endobj"))
    return objects or None


def _body(whole: bytes) -> bytes:
    head = _OBJECT.match(whole)
    assert head is not None
    return whole[head.end() : -len(b"endobj")].strip()


def _together(objects: list[tuple[int, bytes]]) -> tuple[bytes, bytes]:
    """Keys and content of a stream that holds objects."""
    heads, bodies, place = [], [], 0
    for number, body in objects:
        heads.append(b"%d %d" % (number, place))
        bodies.append(body)
        place += len(body) + 1
    first = b" ".join(heads) + b"\n"
    keys = b"/Type/ObjStm/N %d/First %d" % (len(objects), len(first))
    return keys, first + b"\n".join(bodies)


def _table(places: Mapping[int, tuple[int, int, int]], trailer: bytes) -> tuple[bytes, bytes]:
    """Keys and content of the table of all objects; numbers that are not used are free."""
    size = max(places) + 1
    rows = [places.get(number, (0, 0, 65535)) for number in range(size)]
    data = b"".join(
        kind.to_bytes(1, "big") + place.to_bytes(4, "big") + index.to_bytes(2, "big")
        for kind, place, index in rows
    )
    return b"/Type/XRef/W[1 4 2]/Size %d%s" % (size, trailer), data


def _stream(number: int, keys: bytes, content: bytes) -> bytes:
    data = zlib.compress(content, 9)
    head = b"%d 0 obj\n<<%s/Length %d/Filter/FlateDecode>>\nstream\n" % (number, keys, len(data))
    return head + data + b"\nendstream\nendobj"
