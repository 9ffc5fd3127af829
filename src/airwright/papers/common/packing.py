"""PDFs made smaller.

A drawing of two hundred balloons is two thousand gradients, each a few words of plain text in the
file. PDF 1.5 and later let such objects lie together in compressed streams (ISO 32000-1, 7.5.7).
"""

from __future__ import annotations

import io


def packed(pdf: bytes) -> bytes:
    """The same document with its plain objects compressed; equal bytes give equal bytes."""
    import pikepdf

    out = io.BytesIO()
    with pikepdf.open(io.BytesIO(pdf)) as document:
        marks = document.Root.get("/MarkInfo")
        if marks is not None and "/Suspects" in marks and not marks["/Suspects"]:
            del marks["/Suspects"]  # the default, and poppler stumbles over it
        document.save(
            out,
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            deterministic_id=True,
        )
    return out.getvalue()
