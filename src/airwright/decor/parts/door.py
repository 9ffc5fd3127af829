"""The venue's door, as pictures and the floor plan show it; nothing of it is bought or carried."""

from __future__ import annotations

from itertools import pairwise

from airwright.decor.assembly import Assembly, HardwarePlaced
from airwright.decor.draft import Draft
from airwright.job.pieces import Door

FRAME_M = 0.07
"""How wide the frame round the opening is drawn [m]."""


def door_frame(door: Door) -> Assembly:
    """Jambs and head round the opening, standing over the origin."""
    draft = Draft("", "door")
    half, top = (door.width + FRAME_M) / 2, door.height + FRAME_M / 2
    corners = ((-half, 0.0, 0.0), (-half, 0.0, top), (half, 0.0, top), (half, 0.0, 0.0))
    for beam in pairwise(corners):
        draft.hardware(HardwarePlaced("door frame", "frame", 1, "each", beam, FRAME_M))
    return draft.finish()
