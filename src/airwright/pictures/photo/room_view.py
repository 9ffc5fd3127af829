"""How well the decor is seen in the client's photo, and how well the marks hold it: findings."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding, caution, hint
from airwright.language import message
from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.fit import Doubt
from airwright.pictures.photo.venue import Venue
from airwright.pictures.photo.view import View

Floats = NDArray[np.float64]

POOR_CM, POOR_HEIGHT = 5.0, 0.03
"""A doubt above this shows: 5 cm, or 3 % of the height."""
MISFIT_PX = 3.0
"""Marks that miss by more were clicked or measured wrong."""
WHOLE = 0.97
"""Share seen from which decor counts as wholly in the photo."""
MOSTLY_HIDDEN = 0.6
NEAREST_M = 0.5


def in_view(assembly: Assembly, view: View) -> None:
    """PhotoError when nothing of the decor would show, saying which way to move it."""
    points = _line_up(assembly)
    depth = ((points - view.at) @ view.rotation.T)[:, 2]
    if depth.max() < NEAREST_M:
        raise PhotoError(
            "room.out-of-view",
            message("The decor would stand behind the camera."),
            message("Move it away from the camera: a larger “away”."),
        )
    at = view.project(points[depth >= NEAREST_M])
    if _inside(at, view).any():
        return
    width, height = view.size
    middle = np.median(at, axis=0)
    if middle[0] < 0:
        mend = message("It lies to the left of the photo: move it to the right.")
    elif middle[0] > width:
        mend = message("It lies to the right of the photo: move it to the left.")
    elif middle[1] > height:
        mend = message("It lies below the photo: move it away from the camera, or tilt it down.")
    else:
        mend = message("It lies above the photo: step back, or tilt the camera up.")
    raise PhotoError(
        "room.out-of-view", message("The decor would stand outside the venue's photo."), mend
    )


def seen_findings(assembly: Assembly, view: View, hidden: float) -> list[Finding]:
    """What of the decor the photo cuts off, or what stands in front hides (share `hidden`)."""
    found: list[Finding] = []
    points = _line_up(assembly)
    depth = ((points - view.at) @ view.rotation.T)[:, 2]
    at = view.project(points)
    tall = float(points[-1, 2] - points[0, 2])
    upright = (depth >= NEAREST_M) & (at[:, 1] >= 0) & (at[:, 1] < view.size[1])
    share = float(upright.mean())
    if share < WHOLE:
        above = bool((at[upright.size - 1, 1] < 0) or depth[-1] < NEAREST_M)
        what = message(
            "Only {seen} m of its {tall} m of height are visible here.",
            seen=f"{share * tall:.1f}",
            tall=f"{tall:.1f}",
        )
        mend = (
            message("Step back or tilt the camera up, or stand it further away.")
            if above
            else message("Step back or tilt the camera down, or stand it further away.")
        )
        found.append(caution("room-cut-off", "", what, mend))
    found += _cut_aside(assembly, view)
    if hidden > MOSTLY_HIDDEN:
        what = message(
            "What stands in front hides {share} % of the decor.", share=round(100 * hidden)
        )
        mend = message("Move it aside or nearer, or check the outlines under “in_front”.")
        found.append(caution("room-hidden", "in_front", what, mend))
    return found


def _cut_aside(assembly: Assembly, view: View) -> list[Finding]:
    low, high = assembly.bounds
    middle = (low[2] + high[2]) / 2
    corners = np.array([[x, y, middle] for x in (low[0], high[0]) for y in (low[1], high[1])])
    at = view.project(corners)[:, 0]
    left, right, width = float(at.min()), float(at.max()), view.size[0]
    out = max(-left, 0.0) + max(right - width, 0.0)
    share = out / max(right - left, 1e-6)
    if share < 1 - WHOLE:
        return []
    what = message("{share} % of its width lie outside the photo.", share=round(100 * share))
    if left < 0 and right > width:
        mend = message("Step back, or stand it further away.")
    elif left < 0:
        mend = message("Move it to the right, or turn the camera to the left.")
    else:
        mend = message("Move it to the left, or turn the camera to the right.")
    return [caution("room-cut-aside", "", what, mend)]


def fit_findings(view: View, doubt: Doubt) -> list[Finding]:
    """Marks that miss, and marks that hold the decor too loosely."""
    found: list[Finding] = []
    if view.misfit_px > MISFIT_PX:
        what = message(
            "The marks miss the best fit by {pixels} pixels.", pixels=f"{view.misfit_px:.0f}"
        )
        mend = message(
            "Check each mark and the measured sides, and use the photo uncropped, as it was taken."
        )
        found.append(caution("room-misfit", "corners", what, mend))
    if doubt.cm > POOR_CM or doubt.height_share > POOR_HEIGHT:
        what = message(
            "The marks hold the decor only to about {off} cm, {height} % of its height.",
            off=f"{doubt.cm:.0f}",
            height=f"{100 * doubt.height_share:.1f}",
        )
        mend = message(
            "Mark a larger rectangle on the floor, nearer to where the decor stands, or add "
            "one or two uprights of known height."
        )
        found.append(caution("room-fit-poor", "corners", what, mend))
    return found


def cut_findings(venue: Venue) -> list[Finding]:
    """A photo that was cut: the camera fitted to its marks looks along another middle."""
    cut = venue.cut
    if cut is False:
        return []
    mend = message("Use the photo as the camera took it, uncut: the fit goes by its middle.")
    if cut is None:
        what = message("The photo has a shape that no camera takes: it may have been cut.")
        return [hint("room-cut", "photo", what, mend)]
    assert venue.noted is not None
    what = message(
        "The photo was cut after it was taken: its camera noted {wide} × {high} pixels, of another "
        "shape.",
        wide=venue.noted[0],
        high=venue.noted[1],
    )
    return [caution("room-cut", "photo", what, mend)]


def _line_up(assembly: Assembly) -> Floats:
    """(60, 3) points up the decor's middle, from its lowest to its highest [m]."""
    low, high = assembly.bounds
    middle = (low + high) / 2
    up = np.linspace(max(float(low[2]), 0.0), float(high[2]), 60)
    return np.column_stack([np.full(60, middle[0]), np.full(60, middle[1]), up])


def _inside(at: Floats, view: View) -> NDArray[np.bool_]:
    return np.asarray((at >= 0).all(axis=1) & (at < view.size).all(axis=1))
