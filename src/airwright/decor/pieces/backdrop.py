"""Backdrops: one to three upright panels with an organic garland along a part of their edge.

   .-''-.                     the way follows the outline of all panels together, from the
 oO      |___                 left foot over the top to the right foot
 OO      |   |
@O@@     |   |
@@@@@o___|___|
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, Literal

import numpy as np
from pydantic import Field

from airwright import units
from airwright.decor import checks
from airwright.decor.armatures import Chain, polyline
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.kinds import PieceKind, negated
from airwright.decor.parts.accent_step import add_accent_step, from_list
from airwright.decor.parts.foliage import Foliage, add_foliage, check_foliage
from airwright.decor.parts.hanging import clear_line, samples
from airwright.decor.parts.mix import add_organic, check_organic, too_short, used
from airwright.decor.parts.signs import add_board
from airwright.decor.parts.tapered import (
    LEAST_DIAMETERS,
    OFF_WALL,
    Tapered,
    check_tapered,
    fill_tapered,
    heavy_middle,
    heavy_start,
    mean_size,
    parts,
    tapered_counts,
    tapered_shades,
)
from airwright.job.findings import Finding, caution, error, has_errors
from airwright.job.pieces import Table
from airwright.language import Text, counted, message, sentences
from airwright.params import Param

if TYPE_CHECKING:
    from shapely import Polygon

BEHIND_M = 0.12
"""Each further panel stands so far behind the one before it."""

CORNER_M = 0.15
"""Corners of the outline that a garland rounds off."""

ROUND_SIDES = 96
HOOK_EVERY_M = 0.30
"""Hooks or clips along a panel's edge (common practice)."""

SPARE_LINE = 1.1
FOOT_AT = 0.36
"""Its two feet left and right of a panel's middle, of its width; closer under a round one."""
ROUND_FOOT_AT = 0.18

LEG_UP_M, LEG_BEHIND_M = 0.40, 0.03
"""How far a leg goes up behind its panel, and how far behind its face it stands."""

LEAST_PANEL = 1.5
"""A panel narrower than this many of the largest balloons disappears behind them."""

ON_FLOOR = 0.95
"""Height of the line where it runs along the floor, in inflated diameters of the usual size."""


class Panel(Table):
    """One upright panel."""

    form: Annotated[
        Literal["rectangle", "arch", "round"],
        Param(message("Its outline; an arch has a half circle on top.")),
    ] = "rectangle"
    width: Annotated[float, Param(message("Left to right."), units.LENGTH, "1 ft", "12 ft")] = 1.2
    height: Annotated[
        float,
        Param(
            message("Its own height; a round one is as high as it is wide."),
            units.LENGTH,
            "1 ft",
            "12 ft",
        ),
    ] = 2.0
    x: Annotated[
        float,
        Param(message("Its middle, to the viewer's right."), units.LENGTH, "-30 ft", "30 ft"),
    ] = 0.0
    bottom: Annotated[
        float, Param(message("Its lower edge above the floor."), units.LENGTH, "0 ft", "6 ft",
                     rare=True),
    ] = 0.0  # fmt: skip
    shade: Annotated[
        str,
        Param(message("Its shade, by the name given in [shades]."), longest=60, shades=True),
    ]
    text: Annotated[str, Param(message("What is printed on it, for the printer."), longest=120)] = (
        ""
    )


class BackdropSpec(Tapered):
    """Keys of a backdrop."""

    kind: Annotated[Literal["backdrop"], Param(message("Panels with a garland."))] = "backdrop"
    panels: Annotated[
        list[Panel],
        Param(message("Its panels, the foremost first."), example='[{ shade = "white" }]'),
    ] = Field(min_length=1, max_length=3)
    start: Annotated[
        float,
        Param(
            message(
                "Where the garland begins along the outline: 0 is the left foot, 1 the right one; "
                "of a round panel both are its lowest point."
            ),
            low=0,
            high=1,
        ),
    ] = 0.0
    end: Annotated[float, Param(message("Where it ends, likewise."), low=0, high=1)] = 0.55
    heavy: Annotated[
        Literal["start", "middle", "end"], Param(message("Which part of it is densest."))
    ] = "start"
    along_floor: Annotated[
        float,
        Param(
            message("How far a heavy foot runs in along the floor, before the panel."),
            units.LENGTH,
            "0 ft",
            "8 ft",
        ),
    ] = 0.6
    foliage: Annotated[
        Foliage | None, Param(message("Artificial leaves along it, running out at its ends."))
    ] = None


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """The garland's line, its weight along it, and where the foremost panel's face stands [m]."""

    line: Chain
    weight: Floats
    behind_m: float


def outline_of(panel: Panel) -> Floats:
    """Closed outline (n, 2) of a panel in the front view [m], anticlockwise."""
    half, low = panel.width / 2, panel.bottom
    if panel.form == "round":
        turn = np.linspace(-np.pi / 2, 1.5 * np.pi, ROUND_SIDES + 1)
        return half * np.column_stack([np.cos(turn), np.sin(turn)]) + [panel.x, low + half]
    if panel.form == "arch":
        turn = np.linspace(0.0, np.pi, ROUND_SIDES // 2 + 1)
        spring = low + max(panel.height - half, 0.0)
        rise = panel.height + low - spring
        bow = np.column_stack([half * np.cos(turn) + panel.x, rise * np.sin(turn) + spring])
        feet = [[panel.x - half, low], [panel.x + half, low]]
        return np.concatenate([feet, bow, feet[:1]])
    left, right, top = panel.x - half, panel.x + half, low + panel.height
    return np.array([[left, low], [right, low], [right, top], [left, top], [left, low]])


def _whole(spec: BackdropSpec) -> Any:
    """All panels as one shape in the front view, corners rounded off."""
    from shapely import Polygon, union_all

    shape = union_all([Polygon(outline_of(panel)) for panel in spec.panels])
    grown = shape.buffer(CORNER_M).buffer(-2 * CORNER_M).buffer(CORNER_M)
    return shape if grown.is_empty or grown.geom_type != "Polygon" else grown


def edge_of(shape: Polygon) -> Floats:
    """The outline (n, 2) [m] from the left foot over the top to the right foot."""
    ring = np.asarray(shape.exterior.coords)[:-1]
    if shape.exterior.is_ccw:
        ring = ring[::-1]  # clockwise: up on the left, down on the right
    low = ring[:, 1] < ring[:, 1].min() + 2 * CORNER_M
    middle = ring[low, 0].mean()
    lowest = np.where(ring[:, 1] < ring[:, 1].min() + 1e-6)[0]
    left = lowest[np.argmin(ring[lowest, 0])]
    right = lowest[np.argmax(ring[lowest, 0])]
    ring = np.roll(ring, -left, axis=0)
    last = (right - left) % len(ring)
    if last == 0 or abs(ring[0, 0] - middle) < 1e-3:  # round: all the way
        return np.concatenate([ring, ring[:1]])
    return ring[: last + 1]


def way_of(spec: BackdropSpec, ctx: Context) -> _Way:
    """Where the garland leads. Raises ArmatureError."""
    from shapely import LineString
    from shapely.ops import substring

    edge = LineString(edge_of(_whole(spec)))
    flat = np.asarray(substring(edge, spec.start, spec.end, normalized=True).coords)
    low = ON_FLOOR * mean_size(spec, ctx)
    flat = np.column_stack([flat[:, 0], np.maximum(flat[:, 1], low)])
    if spec.along_floor > 0.0:
        if spec.heavy == "start" and spec.start == 0.0:
            flat = np.concatenate([[[flat[0, 0] + spec.along_floor, low]], flat])
        if spec.heavy == "end" and spec.end == 1.0:
            flat = np.concatenate([flat, [[flat[-1, 0] - spec.along_floor, low]]])
    line = polyline([(float(x), 0.0, float(z)) for x, z in flat])
    weight = {
        "start": heavy_start(parts()),
        "middle": heavy_middle(parts()),
        "end": heavy_start(parts())[::-1],
    }[spec.heavy]
    return _Way(line, weight, OFF_WALL * mean_size(spec, ctx))


def build(spec: BackdropSpec, ctx: Context) -> Assembly:
    """A backdrop; the garland's line lies in the plane y = 0, the panels stand behind it."""
    draft = Draft(spec.name, spec.kind)
    way = way_of(spec, ctx)
    _stand(draft, spec, ctx, way)
    shape = fill_tapered(spec, ctx, way.line, way.weight, behind_m=way.behind_m)
    names = tapered_shades(spec, ctx, way.line, shape, way.weight)
    on_line, tucked = add_organic(draft, spec, ctx, shape, names)
    draft.work("hang garland", way.line.length_m)
    _dress(draft, ctx, way, on_line)
    if spec.foliage is not None:
        points = samples(way.line)
        shade = ctx.shade(spec.foliage.shade)
        add_foliage(draft, ctx, shade, _run_out(way, spec.foliage), points, spec.seed)
    if tucked:
        add_accent_step(draft, tucked)
    return draft.finish()


def _run_out(way: _Way, spec: Foliage) -> Floats:
    """The garland's way, straight on beyond the end that is light."""
    points = samples(way.line)
    light_first, light_last = way.weight[0] < 0.5, way.weight[-1] < 0.5
    more = np.linspace(0.0, spec.beyond, max(2, int(spec.beyond / 0.05)))[1:, None]
    begin, end = way.line.tangent(np.array([0.0, way.line.length_m]))
    if light_first:
        points = np.concatenate([points[0] - more[::-1] * begin, points])
    if light_last:
        points = np.concatenate([points, points[-1] + more * end])
    return points


def _stand(draft: Draft, spec: BackdropSpec, ctx: Context, way: _Way) -> None:
    """The panels on their feet; adds the first step."""
    rows: list[int] = []
    for number, panel in enumerate(spec.panels):
        y = way.behind_m + number * BEHIND_M
        flat = outline_of(panel)
        face = np.column_stack([flat[:, 0], np.full(len(flat), y), flat[:, 1]])
        board = _board_for(panel, ctx)
        rows.append(add_board(draft, board, face, panel.shade, ctx, panel.text))
        at = ROUND_FOOT_AT if panel.form == "round" else FOOT_AT
        for side in (-1.0, 1.0):
            rows += _foot(draft, ctx, panel, panel.x + side * at * panel.width, y + LEG_BEHIND_M)
    draft.work("panel", len(spec.panels))
    draft.step(
        counted("Stand the panel", "Stand the {n} panels", len(spec.panels)),
        sentences(
            message("Set a stay into each foot plate."),
            message("If water or sand is listed for them, fill them before anything is hung on."),
            message("Screw each panel to its two stays from behind."),
            message(
                "The foremost stands in front; each further one {behind} behind the last.",
                behind=ctx.length(BEHIND_M),
            )
            if len(spec.panels) > 1
            else "",
            message("Two people lift a panel, and one holds it until it is screwed on."),
            message("Check with a level that it is upright, and wipe its face."),
        ),
        hardware=rows,
        measures={"behind_m": BEHIND_M} if len(spec.panels) > 1 else None,
    )


def _foot(draft: Draft, ctx: Context, panel: Panel, x: float, y: float) -> list[int]:
    """A foot plate and the leg that a panel is screwed to."""
    plate, rod = ctx.catalog.item("backdrop foot plate"), ctx.catalog.item("panel stay")
    high, low = plate.height_m or 0.02, panel.bottom
    if panel.form == "round":
        half = panel.width / 2
        low += half - float(np.sqrt(max(half**2 - (x - panel.x) ** 2, 0.0)))
    top = low + LEG_UP_M
    return [
        draft.hardware(
            HardwarePlaced(
                plate.item, "base", 1, "each", ((x, y, 0.0),), plate.width_m or 0.5, high
            )
        ),
        draft.hardware(
            HardwarePlaced(
                rod.item, "frame", top, "m", ((x, y, high), (x, y, top)), rod.diameter_m or 0.016
            )
        ),
    ]


def _board_for(panel: Panel, ctx: Context) -> Any:
    """The smallest panel of the catalogue that is as large, else the largest."""
    boards = sorted(
        ctx.catalog.of_use("board"), key=lambda row: (row.width_m or 0.0) * (row.length_m or 0.0)
    )
    tall = panel.width if panel.form == "round" else panel.height
    need = panel.width * tall
    fitting = [row for row in boards if (row.width_m or 0.0) * (row.length_m or 0.0) >= need - 1e-9]
    return (fitting or boards[-1:])[0]


def _dress(draft: Draft, ctx: Context, way: _Way, rows: list[int]) -> None:
    long = way.line.length_m
    hooks = max(2, int(np.ceil(long / HOOK_EVERY_M)) + 1)
    draft.supply("garland hook", hooks)
    string = clear_line(draft, "garland line", samples(way.line), cut_m=SPARE_LINE * long)
    draft.step(
        message("Set the hooks and the line"),
        sentences(
            message(
                "Set {n} hooks along the outline, {apart} apart.",
                n=hooks,
                apart=ctx.length(long / (hooks - 1)),
            ),
            _begins(way),
            message(
                "Cut {cut} of line and knot a loop at each end.",
                cut=ctx.cut(SPARE_LINE * long),
            ),
        ),
        strands=[string],
        measures={"line_m": long, "cut_m": SPARE_LINE * long, "hooks_apart_m": long / (hooks - 1)},
    )
    first, second = draft.whole_clusters(rows, 1 / 3), draft.whole_clusters(rows, 2 / 3)
    for title, text, part in (
        (
            message("Tie the first third"),
            message("Tie them on so close that they press on each other."),
            rows[:first],
        ),
        (
            message("Tie the second third"),
            message("Turn each cluster a little, large balloons to the front."),
            rows[first:second],
        ),
        (
            message("Tie the rest and hang it on"),
            message(
                "Hang the line hook by hook; let the balloons lap over the edge so that it is "
                "hidden, and press none against a sharp corner."
            ),
            rows[second:],
        ),
    ):
        draft.step(title, sentences(from_list(draft, part), text), balloons=part)


def _begins(way: _Way) -> Text:
    """At which side the line begins."""
    (x0, _, _), (x1, _, _) = samples(way.line)[[0, -1]]
    if x0 <= x1:
        return message("The garland begins at the left end.")
    return message("The garland begins at the right end.")


# ---- checks -----------------------------------------------------------------------------------


def estimate(spec: BackdropSpec, ctx: Context) -> int:
    """How many balloons it takes."""
    way = way_of(spec, ctx)
    return sum(tapered_counts(spec, ctx, way.line.length_m, way.weight, wall=True))


def check(spec: BackdropSpec, ctx: Context, place: str) -> list[Finding]:
    """What no single key can tell."""
    found = check_organic(spec, ctx, place) + check_tapered(spec, ctx, place)
    found += check_foliage(spec.foliage, ctx, f"{place}.foliage")
    for at, panel in enumerate(spec.panels):
        found += checks.shades([panel.shade], ctx, f"{place}.panels[{at}].shade")
    if has_errors(found):
        return found
    found += _check_panels(spec, ctx, place)
    return found if has_errors(found) else found + _check_garland(spec, ctx, place)


def _check_panels(spec: BackdropSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether the panels are a group, and large enough for these balloons."""
    if _whole(spec).geom_type != "Polygon":
        what = message("The panels stand apart, so no garland can run along all of them.")
        mend = message("Move them together until they overlap, or make two pieces.")
        return [error("panels-apart", f"{place}.panels", what, mend)]
    large = max(ctx.stock(row.balloon).inflated_m for row in used(spec))
    found = []
    for at, panel in enumerate(spec.panels):
        if panel.width < LEAST_PANEL * large:
            what = message(
                "A panel {wide} wide disappears behind balloons of {large}.",
                wide=ctx.length(panel.width),
                large=ctx.length(large),
            )
            mend = message(
                "Make it {least} wide at least, or take smaller balloons.",
                least=ctx.length(LEAST_PANEL * large),
            )
            found.append(error("panel-too-small", f"{place}.panels[{at}].width", what, mend))
        if panel.form == "arch" and panel.height < panel.width / 2:
            what = message("An arched panel is at least half as high as it is wide.")
            mend = message("Make it higher, or a rectangle.")
            found.append(error("panel-too-low", f"{place}.panels[{at}].height", what, mend))
        if panel.bottom > 0 and panel.form != "round":
            what = message("A panel with its lower edge off the floor shows its feet.")
            mend = message("Set it on the floor, or hide the feet.")
            found.append(caution("feet-show", f"{place}.panels[{at}].bottom", what, mend))
    return found


def _check_garland(spec: BackdropSpec, ctx: Context, place: str) -> list[Finding]:
    """Whether the garland goes on and is long enough."""
    if spec.end <= spec.start:
        what = message("The garland ends where it has not begun.")
        mend = message('Set "end" above "start", like 0.0 and 0.55.')
        return [error("ends-first", f"{place}.end", what, mend)]
    long = way_of(spec, ctx).line.length_m
    short = too_short(spec, ctx, long, LEAST_DIAMETERS, f"{place}.end")
    return short or checks.too_many(estimate(spec, ctx), place)


def _mirrored(table: Any) -> dict[str, Any]:
    """Panels on the other side, the garland from the other foot."""
    start, end = table.get("start", 0.0), table.get("end", 0.55)
    heavy = {"start": "end", "end": "start"}.get(table.get("heavy", "start"), "middle")
    panels = [
        {**panel, "x": negated(panel["x"])} if "x" in panel else dict(panel)
        for panel in table.get("panels", [])
    ]
    return {
        "panels": panels,
        "start": round(1.0 - end, 6),
        "end": round(1.0 - start, 6),
        "heavy": heavy,
    }


def _counted(values: Any, factor: float) -> dict[str, Any]:
    """Panels grow with it."""
    keys = ("width", "height", "x", "bottom")
    return {
        "panels": [
            panel.model_copy(update={key: getattr(panel, key) * factor for key in keys})
            for panel in values["panels"]
        ]
    }


KIND = PieceKind(
    name="backdrop",
    summary=message("One to three panels with a garland along a part of their edge."),
    spec=BackdropSpec,
    build=build,
    estimate=estimate,
    check=check,
    grows=("along_floor",),
    counted=_counted,
    mirrored=_mirrored,
    example="""\
name    = "Party backdrop"
kind    = "backdrop"
panels  = [
  { form = "arch", width = "42 in", height = "80 in", x = "-14 in", shade = "sand" },
  { form = "arch", width = "34 in", height = "62 in", x = "20 in", shade = "white", text = "Ahoy" },
]
start   = 0.0
end     = 0.6
heavy   = "start"
mix     = [
  { balloon = "17in @ 15in", share = 3 },
  { balloon = "11in @ 10in", share = 12 },
  { balloon = "5in @ 4.5in", share = 18 },
]
shades  = { teal = 2, coral = 3, sand = 2, white = 2 }
foliage = { shade = "teal" }
""",
)
