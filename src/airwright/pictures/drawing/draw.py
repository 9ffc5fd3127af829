"""A piece as a drawing: every balloon, strand, plate and sleeve in the order of their depth."""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace

import numpy as np

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Assembly, Fabric, Floats, Shade
from airwright.pictures.drawing.around import surround
from airwright.pictures.drawing.balloon import Cast, cast, paint_balloon
from airwright.pictures.drawing.camera import Camera, camera
from airwright.pictures.drawing.floor import floor_shadow
from airwright.pictures.drawing.foil import Placed, frame_of, paint_foil
from airwright.pictures.drawing.mark import paint_mark
from airwright.pictures.drawing.paint import UNIT
from airwright.pictures.drawing.props import colour_of, paint_board, paint_fabric, paint_plate
from airwright.pictures.drawing.svg import number
from airwright.pictures.drawing.tube import (
    Stretch,
    covered,
    paint_hidden,
    paint_tube,
    resample,
    stretches,
    wrapped,
)
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
from airwright.pictures.printed import BOARDS, is_dots

COLOUR = re.compile(r"#[0-9a-fA-F]{6}")

PLATES = ("base", "weight", "stand", "cylinder", "table")
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

    def reach(self, points: Floats) -> None:
        """Grow the box so that it holds points (n, 2) in user units."""
        (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
        box = Box(float(left), float(top), float(right), float(bottom))
        self.box = box if self.box is None else self.box.union(box)


def check(assembly: Assembly) -> None:
    """Refuse an assembly that has no place in space.

    Raises:
        DrawingError: numbers that are none, a radius that is not positive, an index that
            points outside its table, or a colour that is none.
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
    _check_parts(assembly)


def _check_parts(assembly: Assembly) -> None:
    paths = [(part.item, part.path) for part in assembly.hardware]
    paths += [(strand.name, strand.path) for strand in assembly.strands]
    for what, path in paths:
        if not np.isfinite(np.asarray(path, dtype=np.float64)).all():
            raise DrawingError(
                f'"{what}" of "{assembly.name}" has no place: it is not a number.',
                "Build the piece again before drawing it.",
            )
    worn = [strand.shade for strand in assembly.strands]
    worn += [part.shade for part in assembly.hardware if part.shade is not None]
    worn += [fabric.shade for fabric in assembly.fabrics]
    for shade in (*assembly.shades, *worn):
        if not COLOUR.fullmatch(shade.colour):
            raise DrawingError(
                f'"{shade.colour}" is not a colour.',
                'Write a shade as "#rrggbb", "#f0705a" for coral.',
            )


def draw(
    assembly: Assembly,
    view: View | Sight | str = View.FRONT,
    *,
    options: Options | None = None,
    show: Only | None = None,
    faded: Only | None = None,
    knots: bool = True,
) -> Drawing:
    """Draw a piece.

    Args:
        assembly: the piece; an empty one gives an empty drawing.
        view: "front", "side", "top", "three-quarter", or a direction of looking.
        options: what to show around it.
        show: only these parts, None for all.
        faded: parts that stay in the background.
        knots: whether necks and knots are drawn where they show.

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
    found.knotted[:] &= knots
    faint = faded or Only(frozenset(), frozenset(), frozenset(), frozenset())
    _balloons(canvas, assembly, found, faint, stepwise=show is not None)
    _hardware(canvas, assembly, found, show, faint)
    _strands(canvas, assembly, found, show, faint)
    _fabrics(canvas, assembly, found, show, faint)
    body = _body_box(assembly, eye)
    elements = [element for _, _, element in sorted(canvas.parts, key=lambda part: part[:2])]
    reach = body if canvas.box is None else body.union(canvas.box)
    if opts.floor:
        shadow, box = floor_shadow(assembly, eye, canvas.defs)
        if box is not None:
            elements.insert(0, Element("shadow", shadow))
            reach = reach.union(box)
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


def _balloons(
    canvas: _Canvas, assembly: Assembly, found: Cast, faint: Only, *, stepwise: bool
) -> None:
    for row in np.flatnonzero(found.seen):
        i = int(row)
        fade = i in faint.balloons
        markup, edge = _balloon(canvas, assembly, found, i, fade=fade, strong=stepwise and not fade)
        canvas.add(float(found.centre[i, 2]), "balloon", markup, i)
        canvas.reach(edge)


def _balloon(
    canvas: _Canvas, assembly: Assembly, found: Cast, i: int, *, fade: bool, strong: bool
) -> tuple[str, Floats]:
    """SVG of one balloon of any family, and its outline (n, 2) in user units."""
    shade = resolved(assembly, assembly.shades[assembly.shade[i]])
    stock = assembly.stocks[assembly.stock[i]]
    if stock.family is Family.FOIL:
        place = Placed(assembly.centre[i], float(assembly.radius[i]), assembly.axis[i])
        look = stock.outline or "round"
        foil, rim = paint_foil(
            place, look, shade, canvas.camera, fade=fade, tag=f"f{i}-", defs=canvas.defs
        )
        return foil + _on_foil(canvas, assembly, i, stock.mark, fade=fade), rim
    if stock.family is Family.MODELLING:
        return _modelling(canvas, assembly, i, shade.colour, fade=fade)
    mark = ""
    if stock.mark:
        turn = canvas.camera.rows @ frame_of(assembly.axis[i])
        mark = paint_mark(stock.mark, turn, shade, fade=fade)
    x, y = found.centre[i, 0] * MM, -found.centre[i, 1] * MM
    arm, way = found.distances[i] * MM, found.angles[i]
    edge = np.stack([x + arm * np.cos(way), y - arm * np.sin(way)], axis=1)
    markup = paint_balloon(
        found, i, shade, fade=fade, tag="c", defs=canvas.defs, mark=mark, strong=strong
    )
    return markup, edge


def _on_foil(canvas: _Canvas, assembly: Assembly, i: int, mark: str | None, *, fade: bool) -> str:
    """Words on the face of a foil."""
    if not mark or is_dots(mark):
        return ""
    turn = canvas.camera.rows @ frame_of(assembly.axis[i])
    words = paint_mark(mark, turn, assembly.shades[assembly.shade[i]], fade=fade)
    x, y, _ = canvas.camera.rows @ assembly.centre[i]
    size = float(assembly.radius[i]) * MM / UNIT
    place = f"translate({number(x * MM)} {number(-y * MM)})scale({number(size, 4)})"
    return f'<g transform="{place}">{words}</g>' if words else ""


def _modelling(
    canvas: _Canvas, assembly: Assembly, i: int, colour: str, *, fade: bool
) -> tuple[str, Floats]:
    """An inflated modelling balloon: a tube along its axis."""
    stock, width = assembly.stocks[assembly.stock[i]], 2 * float(assembly.radius[i])
    half = assembly.axis[i] * max(stock.length_m - width, 0.0) / 2
    ends = canvas.camera.project(np.stack([assembly.centre[i] - half, assembly.centre[i] + half]))
    markup = paint_tube(Stretch(ends, 0.0, True, True), width, colour, fade=fade, shiny=True)
    flat, arm = ends[:, :2] * [MM, -MM], width * MM / 2
    return markup, np.concatenate([flat - arm, flat + arm])


def resolved(assembly: Assembly, shade: Shade) -> Shade:
    """The shade with `inner` as a colour: looked up in the piece, then in the shades in stock."""
    if shade.inner is None or shade.inner.startswith("#"):
        return shade
    known = {row.name: row.colour for row in assembly.shades}
    colour = known.get(shade.inner)
    if colour is None:
        stocked = default_catalog().shades.get(shade.inner)
        colour = stocked.colour if stocked is not None else None
    return replace(shade, inner=colour)


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
        if part.use in BOARDS:
            # What is built on a board stands before it, however the picture is tilted.
            depth = float(canvas.camera.project(np.asarray(part.path))[:, 2].max())
            markup = paint_board(part, canvas.camera, fade=fade)
            canvas.add(depth, "hardware", markup, index)
            continue
        world = resample(part.path, round_off=part.use != "pole")
        line = canvas.camera.project(world)
        width = part.diameter_m or 0.004
        sleeves = _shown_fabrics(assembly, show)
        for piece in stretches(line, width / 2, found, wrapped(world, sleeves)):
            markup = paint_tube(piece, width, colour_of(part), fade=fade, shiny=False)
            canvas.add(piece.depth, "hardware", markup, index)
        if show is not None and not fade:
            _ghost(canvas, line, found, (colour_of(part), width), index)


def _ghost(canvas: _Canvas, line: Floats, found: Cast, look: tuple[str, float], index: int) -> None:
    """On a step's drawing, what is new but hidden is shown through as a dashed line."""
    for run in covered(line, found):
        canvas.add(-np.inf, "hidden", paint_hidden(run, *look), index)


def _strands(
    canvas: _Canvas, assembly: Assembly, found: Cast, show: Only | None, faint: Only
) -> None:
    for index, strand in enumerate(assembly.strands):
        if show and index not in show.strands:
            continue
        world = resample(strand.path)
        line = canvas.camera.project(world)
        inside = wrapped(world, _shown_fabrics(assembly, show))
        for piece in stretches(line, strand.diameter_m / 2, found, inside):
            markup = paint_tube(
                piece,
                strand.diameter_m,
                strand.shade.colour,
                fade=index in faint.strands,
                shiny=strand.stock_size is not None,
            )
            canvas.add(piece.depth, "strand", markup, index)
        if show is not None and index not in faint.strands:
            _ghost(canvas, line, found, (strand.shade.colour, strand.diameter_m), index)


def _shown_fabrics(assembly: Assembly, show: Only | None) -> list[Fabric]:
    return [f for k, f in enumerate(assembly.fabrics) if show is None or k in show.fabrics]


def _fabric_depth(eye: Camera, fabric: Fabric, found: Cast) -> float:
    """Where a sleeve is painted: before the balloons in front of it, after those behind it.

    A balloon is compared with the point of the sleeve's axis that is seen where it is.
    """
    x, y = fabric.at
    low, high = eye.project(np.array([[x, y, fabric.bottom_m], [x, y, fabric.top_m]]))
    rise = high[1] - low[1]
    if abs(rise) < 1e-6:
        return float(high[2])
    near = found.drawn & (np.abs(found.centre[:, 0] - low[0]) < found.radius + fabric.radius_m)
    centre = found.centre[near]
    share = np.clip((centre[:, 1] - low[1]) / rise, 0.0, 1.0)
    axis = low[2] + share * (high[2] - low[2])
    front = centre[:, 2] < axis
    before = float(centre[front, 2].max(initial=-np.inf))
    behind = float(centre[~front, 2].min(initial=np.inf))
    middle = float((low[2] + high[2]) / 2)
    return max(min(middle, behind - 1e-6), before + 1e-6)


def _fabrics(
    canvas: _Canvas, assembly: Assembly, found: Cast, show: Only | None, faint: Only
) -> None:
    for index, fabric in enumerate(assembly.fabrics):
        if show and index not in show.fabrics:
            continue
        depth = _fabric_depth(canvas.camera, fabric, found)
        markup = paint_fabric(fabric, canvas.camera, fade=index in faint.fabrics, defs=canvas.defs)
        canvas.add(depth, "fabric", markup, index)
