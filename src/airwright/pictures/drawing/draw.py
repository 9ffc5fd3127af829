"""A piece as a drawing: every balloon, strand, plate and sleeve in the order of their depth."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from airwright.build.assembly import Assembly
from airwright.catalog import Family
from airwright.pictures.drawing.balloon import Cast, cast, paint_balloon
from airwright.pictures.drawing.camera import Camera, camera
from airwright.pictures.drawing.props import colour_of, floor_shadow, paint_fabric, paint_plate
from airwright.pictures.drawing.tube import paint_tube, resample, stretches
from airwright.pictures.drawing.values import (
    MM,
    PAPER_SCALE,
    Box,
    Drawing,
    DrawingError,
    Element,
    Options,
    Sight,
    View,
)

PLATES = ("base", "weight", "stand", "cylinder")
"""Uses of hardware that are drawn as a drum standing on the floor."""


@dataclass(frozen=True)
class Only:
    """Which parts to show, and which of them faded: rows of balloons, indices of the rest."""

    balloons: frozenset[int]
    hardware: frozenset[int]
    strands: frozenset[int]
    fabrics: frozenset[int]


@dataclass
class _Canvas:
    """What is being drawn: parts with their depth, shared definitions, and how far it reaches."""

    camera: Camera
    parts: list[tuple[float, int, Element]] = field(default_factory=list)
    defs: dict[str, str] = field(default_factory=dict)
    box: Box | None = None

    def add(self, depth: float, kind: str, markup: str, row: int | None = None) -> None:
        if markup:
            self.parts.append((-round(depth, 6), len(self.parts), Element(kind, markup, row)))

    def reach(self, left: float, top: float, right: float, bottom: float) -> None:
        box = Box(left, top, right, bottom)
        self.box = box if self.box is None else self.box.union(box)


def check(assembly: Assembly) -> None:
    """Refuse an assembly that has no place in space.

    Raises:
        DrawingError: numbers that are none, a radius that is not positive, or an index that
            points outside its table.
    """
    for label in ("centre", "radius", "axis"):
        values = getattr(assembly, label)
        if not np.isfinite(values).all():
            row = int(np.argwhere(~np.isfinite(values))[0][0])
            raise DrawingError(
                f'Balloon {row} of "{assembly.name}" has no {label}: it is not a number.',
                "Build the piece again before drawing it.",
            )
    if (assembly.radius < 0).any():
        raise DrawingError(
            f'"{assembly.name}" holds a balloon of negative size.', "Inflate it to more than 0."
        )
    for label, table in (("stock", assembly.stocks), ("shade", assembly.shades)):
        index = getattr(assembly, label)
        if len(index) and not (index.min() >= 0 and index.max() < len(table)):
            raise DrawingError(
                f'A balloon of "{assembly.name}" points to a {label} that is not listed.',
                f"List every {label} the piece uses.",
            )


def draw(
    assembly: Assembly,
    view: View | Sight | str = View.FRONT,
    *,
    options: Options | None = None,
    show: Only | None = None,
    faded: Only | None = None,
) -> Drawing:
    """Draw a piece.

    Args:
        assembly: the piece; an empty one gives an empty drawing.
        view: "front", "side", "top", "three-quarter", or a direction of looking.
        options: what to show around it.
        show: only these parts, None for all.
        faded: parts that stay in the background.

    Returns:
        The drawing at true scale, one element a visible balloon.

    Raises:
        DrawingError: the assembly or the view makes no sense.
    """
    check(assembly)
    opts = options or Options()
    eye = camera(view)
    canvas = _Canvas(eye)
    skip = frozenset(range(len(assembly))) - show.balloons if show else frozenset()
    found = cast(assembly, eye, skip)
    faint = faded or Only(frozenset(), frozenset(), frozenset(), frozenset())
    _balloons(canvas, assembly, found, faint)
    _hardware(canvas, assembly, found, show, faint)
    _strands(canvas, assembly, found, show, faint)
    _fabrics(canvas, assembly, show, faint)
    body = _body_box(assembly, eye)
    elements = [element for _, _, element in sorted(canvas.parts, key=lambda part: part[:2])]
    reach = body if canvas.box is None else body.union(canvas.box)
    if (opts.floor and show is None) or (opts.floor and faded is not None):
        shadow = floor_shadow(assembly, eye, canvas.defs)
        if shadow:
            elements.insert(0, Element("shadow", shadow))
    from airwright.pictures.drawing.around import surround

    return surround(
        Drawing(
            title=assembly.name,
            canvas=reach,
            body=body,
            elements=tuple(elements),
            defs=tuple(sorted(canvas.defs.items())),
            scale=PAPER_SCALE if opts.scale is None else opts.scale,
        ),
        opts,
        eye,
    )


def _body_box(assembly: Assembly, eye: Camera) -> Box:
    """The assembly's own bounds on the picture plane."""
    low, high = assembly.bounds
    corners = np.array(
        [[x, y, z] for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    )
    flat = eye.project(corners)
    return Box(
        float(flat[:, 0].min()) * MM,
        -float(flat[:, 1].max()) * MM,
        float(flat[:, 0].max()) * MM,
        -float(flat[:, 1].min()) * MM,
    )


def _balloons(canvas: _Canvas, assembly: Assembly, found: Cast, faint: Only) -> None:
    for row in np.flatnonzero(found.seen):
        i = int(row)
        shade = assembly.shades[assembly.shade[i]]
        stock = assembly.stocks[assembly.stock[i]]
        fade = i in faint.balloons
        if stock.family in (Family.ROUND, Family.LINK):
            markup = paint_balloon(found, i, shade, fade=fade, tag="c", defs=canvas.defs)
        else:
            markup = ""
        canvas.add(float(found.centre[i, 2]), "balloon", markup, i)
        x, y = found.centre[i, 0] * MM, -found.centre[i, 1] * MM
        arm = found.distances[i] * MM
        way = found.angles[i]
        xs, ys = x + arm * np.cos(way), y - arm * np.sin(way)
        canvas.reach(float(xs.min()), float(ys.min()), float(xs.max()), float(ys.max()))


def _hardware(
    canvas: _Canvas, assembly: Assembly, found: Cast, show: Only | None, faint: Only
) -> None:
    for index, part in enumerate(assembly.hardware):
        if (show and index not in show.hardware) or not part.path:
            continue
        fade = index in faint.hardware
        if part.use in PLATES:
            depth = float(canvas.camera.project(np.asarray(part.path[0]))[2])
            # A plate lies under whatever stands on it, however near its edge comes.
            depth += 0.0 if part.use == "weight" else part.diameter_m
            markup = paint_plate(part, canvas.camera, fade=fade, defs=canvas.defs)
            canvas.add(depth, "hardware", markup, index)
            continue
        line = canvas.camera.project(resample(part.path, round_off=part.use != "pole"))
        width = part.diameter_m or 0.004
        for piece in stretches(line, width / 2, found):
            markup = paint_tube(piece, width, colour_of(part), fade=fade, shiny=True)
            canvas.add(piece.depth, "hardware", markup, index)


def _strands(
    canvas: _Canvas, assembly: Assembly, found: Cast, show: Only | None, faint: Only
) -> None:
    for index, strand in enumerate(assembly.strands):
        if show and index not in show.strands:
            continue
        line = canvas.camera.project(resample(strand.path))
        for piece in stretches(line, strand.diameter_m / 2, found):
            markup = paint_tube(
                piece,
                strand.diameter_m,
                strand.shade.colour,
                fade=index in faint.strands,
                shiny=strand.stock_size is not None,
            )
            canvas.add(piece.depth, "strand", markup, index)


def _fabrics(canvas: _Canvas, assembly: Assembly, show: Only | None, faint: Only) -> None:
    for index, fabric in enumerate(assembly.fabrics):
        if show and index not in show.fabrics:
            continue
        depth = float(canvas.camera.project(np.array([*fabric.at, 0.0]))[2])
        if not canvas.camera.overhead:
            depth -= 1e-4
        markup = paint_fabric(
            fabric, canvas.camera, fade=index in faint.fabrics, defs=canvas.defs, tag=str(index)
        )
        canvas.add(depth, "fabric", markup, index)
