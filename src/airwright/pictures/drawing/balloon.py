"""Round latex balloons: outline, shade, the dark where they nest, highlights, neck and knot."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, Floats, Ints, Shade, Stock
from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.finish import HALO, base_fill, glint, gloss, halo, rim_tone
from airwright.pictures.drawing.order import close_pairs, hidden, painting_order
from airwright.pictures.drawing.outline import cut_outlines, pear, pear_outlines
from airwright.pictures.drawing.paint import UNIT, mix, tones
from airwright.pictures.drawing.svg import number, polyline, ref, smooth
from airwright.pictures.drawing.values import MM, Bools

FAINTEST = 0.08
"""Darkness weaker than this share is left out."""
STRIDE = 2
"""One in so many directions of an outline becomes a point of its curve: off by 0.1 % at most."""
COARSE_STRIDE = 4
"""The same for whole outlines in a crowd."""
GLEAM_RAD = np.deg2rad(130.0)
"""Where the light falls, seen from a balloon's centre, anticlockwise from the right."""
CROWD = 800
"""Above so many balloons each is seen so small that it is painted coarsely."""


@dataclass(frozen=True, eq=False)
class Cast:
    """All balloons of a picture as the camera sees them.

    Attributes:
        centre: (N, 3) right, up, away [m].
        axis: (N, 3) neck to crown, same axes.
        radius: (N,) [m].
        tightness: (N,) inflated over nominal diameter [-].
        drawn: (N,) whether a row is a balloon to draw at all (a tie is not).
        seen: (N,) whether any of it shows.
        rank: (N,) place in the painting order.
        angles, distances: (N, T) outlines after cutting.
        cutter: (N, T) which contact cut there, -1 none.
        pairs: (P, 2) neighbours, the nearer (painted later) first.
        knotted: (N,) whether neck and knot show; those of a cluster lie tied in its middle.
        by_row: row to the pairs it is in.
        coarse: whether there are so many that each is painted with little detail.
    """

    centre: Floats
    axis: Floats
    radius: Floats
    tightness: Floats
    drawn: Bools
    seen: Bools
    rank: Ints
    angles: Floats
    distances: Floats
    cutter: Ints
    pairs: Ints
    knotted: Bools
    by_row: dict[int, list[int]] = field(default_factory=dict)
    coarse: bool = False


def _tightness(stock: Stock) -> float:
    """Inflated over nominal diameter, 1 where a stock tells no size."""
    if not (stock.nominal_m > 0 and math.isfinite(stock.inflated_m)):
        return 1.0
    return stock.inflated_m / stock.nominal_m


def cast(assembly: Assembly, camera: Camera, skip: frozenset[int] = frozenset()) -> Cast:
    """Place, order, cut and cull the balloons of an assembly; rows in `skip` are not there."""
    stocks = assembly.stocks
    tight = np.array([_tightness(s) for s in stocks])
    tightness = tight[assembly.stock] if len(assembly) else np.zeros(0)
    drawn = np.array(
        [
            not (stocks[s].family is Family.MODELLING and stocks[s].length_m <= 0.0)
            and i not in skip
            and assembly.radius[i] > 0.0
            for i, s in enumerate(assembly.stock)
        ],
        dtype=bool,
    )
    pressing = drawn & np.array(
        [stocks[s].family in (Family.ROUND, Family.LINK) for s in assembly.stock], dtype=bool
    )
    centre = camera.project(assembly.centre)
    axis = camera.project(assembly.axis)
    radius = np.asarray(assembly.radius, dtype=np.float64)
    order = painting_order(centre[:, 2])
    rank = np.empty(len(order), dtype=np.int32)
    rank[order] = np.arange(len(order), dtype=np.int32)
    pairs = close_pairs(centre, radius)
    pairs = pairs[pressing[pairs].all(axis=1)] if len(pairs) else pairs
    swap = rank[pairs[:, 0]] < rank[pairs[:, 1]]
    pairs[swap] = pairs[swap][:, ::-1]
    angles, whole = pear_outlines(tightness, radius, axis)
    distances, cutter = cut_outlines(angles, whole, centre, radius, pairs)
    opaque = pressing & np.array(
        [assembly.shades[s].finish != "clear" for s in assembly.shade], dtype=bool
    )
    gone = hidden(centre, angles, distances, rank, opaque)
    by_row: dict[int, list[int]] = {}
    for index, (i, j) in enumerate(pairs):
        by_row.setdefault(int(i), []).append(index)
        by_row.setdefault(int(j), []).append(index)
    return Cast(
        centre,
        axis,
        radius,
        tightness,
        drawn,
        drawn & ~gone,
        rank,
        angles,
        distances,
        cutter,
        pairs,
        (assembly.cluster < 0) & _knots(centre, axis, radius, angles, distances, drawn & opaque),
        by_row,
        len(assembly) > CROWD,
    )


def _knots(
    centre: Floats, axis: Floats, radius: Floats, angles: Floats, distances: Floats, opaque: Bools
) -> Bools:
    """Which knots (N,) no balloon hides, its own included."""
    tip = centre - axis * (1.33 * radius)[:, None]
    shown = np.ones(len(radius), dtype=bool)
    if not len(radius):
        return shown
    from scipy.spatial import cKDTree

    tree = cKDTree(centre[:, :2])
    around = tree.query_ball_point(tip[:, :2], 1.3 * float(radius.max()))
    step = 2.0 * np.pi / angles.shape[1]
    for row, rows in enumerate(around):
        js = np.asarray(rows, dtype=np.int64)
        js = js[opaque[js] & (centre[js, 2] < tip[row, 2])]
        d = tip[row, :2] - centre[js, :2]
        k = np.rint((np.arctan2(d[:, 1], d[:, 0]) - angles[js, 0]) / step).astype(int)
        shown[row] = not (np.hypot(d[:, 0], d[:, 1]) < distances[js, k % angles.shape[1]]).any()
    return shown


def outline_points(found: Cast, row: int) -> tuple[Floats, tuple[int, ...]]:
    """Outline of one balloon in its own frame, y downwards, and the indices of its corners."""
    way = found.angles[row]
    arm = found.distances[row] * (UNIT / found.radius[row])
    points = np.stack([arm * np.cos(way), -arm * np.sin(way)], axis=1)
    cutter = found.cutter[row]
    count = len(points)
    turns = np.flatnonzero(cutter != np.roll(cutter, -1))
    if len(turns) == 0:
        return points[:: COARSE_STRIDE if found.coarse else STRIDE], ()
    # Every so many points are enough, the neck's end among them; all where a cut ends abruptly.
    keep = np.arange(count) % STRIDE == 0
    too_near = 0.4 * STRIDE * UNIT * 2.0 * np.pi / count
    meets: dict[int, Floats] = {}
    for t in (int(turn) for turn in turns):
        after = (t + 1) % count
        a0, a1 = points[t - 1], points[t]
        b0, b1 = points[(t + 2) % count], points[after]
        meet = _cross(a0, a1, b0, b1)
        if meet is None or not _between(a1, meet, b1):
            keep[[t - 1, t, after, (t + 2) % count]] = True
            continue
        meets[t] = meet
    for t, meet in meets.items():
        for k in range(t - 1, t + 3):
            if np.hypot(*(points[k % count] - meet)) < too_near:
                keep[k % count] = False
    out: list[Floats] = []
    corners: list[int] = []
    for k in range(count):
        if keep[k]:
            out.append(points[k])
        if k in meets:
            corners.append(len(out))
            out.append(meets[k])
    return np.asarray(out), tuple(corners)


def _between(a: Floats, point: Floats, b: Floats) -> bool:
    """Whether a point lies between two neighbours of an outline, seen from the centre."""
    whole = a[0] * b[1] - a[1] * b[0]
    first = (a[0] * point[1] - a[1] * point[0]) / whole
    second = (point[0] * b[1] - point[1] * b[0]) / whole
    arm = float(np.hypot(*point))
    longest = 1.15 * max(float(np.hypot(*a)), float(np.hypot(*b)))
    return bool(first > -0.05 and second > -0.05 and arm < longest)


def _cross(a0: Floats, a1: Floats, b0: Floats, b1: Floats) -> Floats | None:
    """Where the lines a0a1 and b0b1 meet, None when they are nearly parallel."""
    u, v = a1 - a0, b1 - b0
    area = u[0] * v[1] - u[1] * v[0]
    if abs(area) < 0.05 * np.hypot(*u) * np.hypot(*v):
        return None
    w = b0 - a0
    return np.asarray(a0 + u * ((w[0] * v[1] - w[1] * v[0]) / area))


def paint_balloon(
    found: Cast,
    row: int,
    shade: Shade,
    *,
    fade: bool,
    tag: str,
    defs: dict[str, str],
    mark: str = "",
    strong: bool = False,
) -> str:
    """SVG of one round balloon; gradients it needs are added to `defs`.

    `shade.inner` is a colour here, `mark` the SVG of what is printed on it; a `strong` one has
    a dark outline, so that what is new in a step is told apart by more than its colour.
    """
    if found.coarse or (fade and not mark):
        return _coarsely(found, row, shade, fade, strong, defs)
    parts = [base_fill(shade, fade), halo(shade, fade), gloss(shade, fade)]
    for name, markup in parts:
        defs.setdefault(name, markup)
    base, dark, shine = (name for name, _ in parts)
    points, corners = outline_points(found, row)
    d = smooth(points, corners, digits=1)
    x, y = found.centre[row, 0] * MM, -found.centre[row, 1] * MM
    size = found.radius[row] * MM / UNIT
    neck, before = neck_markup(found, row, shade, fade)
    own = ref(f"{tag}{row}")
    # The outline is drawn last of all, so that it smooths the steps some readers leave at
    # the edge of a clip.
    body = (
        f'<clipPath id="{own}c"><path id="{own}" d="{d}"/></clipPath>'
        f'<use href="#{own}" fill="url(#{ref(base)})"/>'
        f'<g clip-path="url(#{own}c)">{mark}{_halos(found, row, dark)}'
        f'<use href="#{ref(shine)}"/></g>'
        f'<use href="#{own}" fill="none" {_edge(shade, fade, strong)}/>'
    )
    inside = _inner(shade, d, fade, defs)
    content = neck + inside + body if before else inside + body + neck
    return (
        f'<g transform="translate({number(x)} {number(y)})scale({number(size, 4)})">{content}</g>'
    )


def _coarsely(
    found: Cast, row: int, shade: Shade, fade: bool, strong: bool, defs: dict[str, str]
) -> str:
    """One of a crowd or of the background: its outline, a gleam where nothing presses on it."""
    base, fill = base_fill(shade, fade)
    defs.setdefault(base, fill)
    points, corners = outline_points(found, row)
    d = smooth(points, corners, digits=0 if found.coarse else 1)
    x, y = found.centre[row, 0] * MM, -found.centre[row, 1] * MM
    size = found.radius[row] * MM / UNIT
    inside = _inner(shade, d, fade, defs)
    lit = np.cos(found.angles[row] - GLEAM_RAD) > 0.8
    gleam = ""
    if (found.distances[row][lit] > 0.9 * found.radius[row]).all():
        name, markup = glint(shade, fade)
        defs.setdefault(name, markup)
        gleam = f'<use href="#{ref(name)}"/>'
    edge = _edge(shade, fade, strong, 2.2 if found.coarse else 1.2)
    body = f'{inside}<path d="{d}" fill="url(#{ref(base)})" {edge}/>{gleam}'
    neck, before = ("", True) if found.coarse else neck_markup(found, row, shade, fade)
    content = neck + body if before else body + neck
    return (
        f'<g transform="translate({number(x)} {number(y)})scale({number(size, 4)})">{content}</g>'
    )


def _edge(shade: Shade, fade: bool, strong: bool, width: float = 1.0) -> str:
    if strong:
        return f'stroke="{tones(shade.colour).deep}" stroke-width="2.6"'
    return f'stroke="{rim_tone(shade, fade)}" stroke-opacity=".5" stroke-width="{number(width)}"'


def _inner(shade: Shade, d: str, fade: bool, defs: dict[str, str]) -> str:
    """A second balloon inside a clear one, of the same outline."""
    if shade.inner is None:
        return ""
    core = Shade(shade.inner, shade.inner, "matte")
    name, markup = base_fill(core, fade)
    defs.setdefault(name, markup)
    return f'<path transform="scale(.93)" fill="url(#{ref(name)})" d="{d}"/>'


def _halos(found: Cast, row: int, dark: str) -> str:
    """The darkness of each close neighbour on this balloon."""
    out = []
    here, size = found.centre[row], found.radius[row]
    for index in found.by_row.get(row, ()):
        i, j = (int(k) for k in found.pairs[index])
        other = j if i == row else i
        between = (found.centre[other] - here) / size
        gap = float(np.linalg.norm(between))
        reach = found.radius[other] / size
        if gap < 1e-6:
            continue
        weight = _facing(between[2] / gap) * _closeness(gap / (1.0 + reach))
        if weight < FAINTEST:
            continue
        drop = 0.07 * reach if between[2] < 0 else 0.0
        x, y = UNIT * (between[0] + drop), UNIT * (-between[1] + drop)
        out.append(
            f'<use href="#{ref(dark)}" '
            f'transform="translate({number(x)} {number(y)})scale({number(HALO * UNIT * reach)})"'
            + (f' opacity="{number(weight, 2)}"/>' if weight < 0.95 else "/>")
        )
    return "".join(out)


def _facing(away: float) -> float:
    """1 for a neighbour in front, less beside, falling to 0 for one straight behind."""
    t = min(max((0.75 - away) / 1.25, 0.0), 1.0)
    return t * t * (3.0 - 2.0 * t)


def _closeness(ratio: float) -> float:
    """1 for pressed balloons, falling to 0 for ones that no longer darken one another."""
    t = min(max((1.18 - ratio) / 0.2, 0.0), 1.0)
    return t


def neck_markup(found: Cast, row: int, shade: Shade, fade: bool) -> tuple[str, bool]:
    """Neck, knot and lip, and whether they are painted before the body."""
    profile = pear(round(float(found.tightness[row]), 3))
    a = found.axis[row]
    side = float(np.hypot(a[0], a[1]))
    before = bool(a[2] <= 0.15)
    if not found.knotted[row]:
        return "", before
    start = profile.body_start
    z, rho = profile.z[: start + 2], profile.rho[: start + 2]
    if side < 0.25 and before:
        return "", before
    e = np.array([a[0], -a[1]]) / side if side > 1e-6 else np.array([0.0, -1.0])
    f = np.array([-e[1], e[0]])
    spine = np.outer(z * side, e)
    left, right = spine + np.outer(rho, f), spine - np.outer(rho, f)
    t = tones(shade.colour, 0.8 if fade else 0.0)
    outline = np.concatenate([left, right[::-1]]) * UNIT
    flat = polyline(outline, close=True)
    knot = spine[int(np.argmax(rho[: start // 2 + 1]))] * UNIT
    lip = float(rho[0] * UNIT)
    return (
        f'<path fill="{mix(t.base, t.dusk, 0.6)}" stroke="{t.shadow}" stroke-width="1" '
        f'stroke-linejoin="round" d="{flat}"/>'
        f'<ellipse cx="{number(knot[0])}" cy="{number(knot[1])}" rx="{number(lip)}" '
        f'ry="{number(max(lip * 0.4, 1.2))}" fill="{t.deep}" fill-opacity=".55"/>'
    ), before
