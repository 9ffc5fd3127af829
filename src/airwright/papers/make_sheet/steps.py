"""Step drawings: the piece after each step, and a closer look where the new part is small."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from airwright.decor.assembly import Assembly, Floats, Step
from airwright.pictures.drawing import Box, Drawing, View, draw_step
from airwright.pictures.drawing.camera import Camera, camera
from airwright.pictures.drawing.values import MM

VIEW: Final = View.CORNER
SMALL_SHARE: Final = 0.5
"""A new part that covers less than this share of the picture's height gets a closer look."""
MARGIN: Final = 0.16
"""Room left round the new part, as a share of its size."""
LEAST_M: Final = 0.30
"""Width and height a closer look shows at the least [m]."""


@dataclass(frozen=True, slots=True)
class StepLook:
    """Pictures of one step.

    Attributes:
        whole: the piece after it.
        close: what is new, enlarged; None where the whole picture shows it well enough.
        frame: where the closer look lies on the whole picture: left, top, width and height as
            shares of it.
    """

    whole: Drawing
    close: Drawing | None
    frame: tuple[float, float, float, float] | None


def step_looks(assembly: Assembly) -> Iterator[StepLook]:
    """One look a step, in order."""
    return (step_look(assembly, at) for at in range(len(assembly.steps)))


def step_look(assembly: Assembly, at: int) -> StepLook:
    """The look of step `at`, counted from 0."""
    eye = camera(VIEW)
    whole = draw_step(assembly, at, VIEW)
    box = _new_box(assembly, assembly.steps[at], eye)
    if box is None or box.height >= SMALL_SHARE * whole.canvas.height:
        return StepLook(whole, None, None)
    close = _grown(box, whole.canvas)
    return StepLook(whole, _cropped(whole, close, assembly, eye), _frame(close, whole.canvas))


def _new_box(assembly: Assembly, step: Step, eye: Camera) -> Box | None:
    """Reach of what a step adds [user units, y downwards]."""
    points: list[Floats] = []
    rows = list(step.balloons)
    if rows:
        centre, radius = eye.project(assembly.centre[rows]), assembly.radius[rows, None]
        points += [(centre - radius)[:, :2], (centre + radius)[:, :2]]
    paths = [assembly.hardware[k].path for k in step.hardware]
    paths += [assembly.strands[k].path for k in step.strands]
    points += [eye.project(np.asarray(path, dtype=float))[:, :2] for path in paths if path]
    for k in step.fabrics:
        fabric = assembly.fabrics[k]
        ends = [(*fabric.at, fabric.bottom_m), (*fabric.at, fabric.top_m)]
        flat = eye.project(np.asarray(ends))[:, :2]
        points += [flat - fabric.radius_m, flat + fabric.radius_m]
    if not points:
        return None
    found = np.concatenate(points) * [MM, -MM]
    (left, top), (right, bottom) = found.min(axis=0), found.max(axis=0)
    return Box(float(left), float(top), float(right), float(bottom))


def _grown(box: Box, canvas: Box) -> Box:
    """A little more than the new part, and never less than can be understood."""
    least = LEAST_M * MM
    side = max(MARGIN * box.width, (least - box.width) / 2)
    rise = max(MARGIN * box.height, (least - box.height) / 2)
    grown = box.grown(side, rise, side, rise)
    return Box(
        max(grown.left, canvas.left),
        max(grown.top, canvas.top),
        min(grown.right, canvas.right),
        min(grown.bottom, canvas.bottom),
    )


def _cropped(drawing: Drawing, box: Box, assembly: Assembly, eye: Camera) -> Drawing:
    """The drawing with a smaller canvas; balloons outside it are left out."""
    centre = eye.project(assembly.centre)[:, :2] * [MM, -MM]
    reach = assembly.radius * MM * 1.4
    inside = (
        (centre[:, 0] + reach > box.left)
        & (centre[:, 0] - reach < box.right)
        & (centre[:, 1] + reach > box.top)
        & (centre[:, 1] - reach < box.bottom)
    )
    kept = tuple(
        element
        for element in drawing.elements
        if element.kind != "balloon" or element.row is None or inside[element.row]
    )
    return replace(drawing, canvas=box, elements=kept)


def _frame(box: Box, canvas: Box) -> tuple[float, float, float, float]:
    return (
        (box.left - canvas.left) / canvas.width,
        (box.top - canvas.top) / canvas.height,
        box.width / canvas.width,
        box.height / canvas.height,
    )
