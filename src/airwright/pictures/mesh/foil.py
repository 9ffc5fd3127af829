"""Foil balloons: two flat sheets welded at the rim and blown up like a pillow.

A sheet of film cannot stretch; a full foil stands about as high as the root of the solution
of Poisson's equation over its outline, which gives a circle an ellipsoid and a long arm a
half-round bar. The rim keeps a flat weld and puckers, as real foil does.

       outline            section
       .-""-.            .-=====-.
      (      )      ----<         >----   weld, flat
       '-..-'            '-=====-'
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from airwright.decor.foil_body import foil_shape
from airwright.decor.glyphs import FontRefused
from airwright.physics.bodies import FOIL_TAIL, FOIL_TAIL_ROOT, FOIL_TIE, foil_profile
from airwright.pictures.mesh.detail import FINE, Detail
from airwright.pictures.mesh.mesh import Mesh, joined, normals_of
from airwright.pictures.mesh.tube import tube_faces

Floats = NDArray[np.float64]

ROUND_THICKNESS = 0.599
"""Thickness over inflated diameter of a round foil (Paulsen 1994, as in physics.bodies)."""
WELD = 0.018
"""Width of the flat weld in half widths: 3 mm on an 18 in foil. From memory."""
PUCKER = 0.24
"""Depth of the deepest folds at the rim in local heights. From memory, by eye."""
PUCKER_LENGTH = 0.125
"""Length of one fold along the rim in half widths. From memory, by eye."""
PUCKER_REACH = 0.20
"""How far in from the rim a fold fades to a third, in half widths. From memory, by eye."""
TAIL_HALF = 0.055
"""Half the tail's width, in half widths. From memory."""


class OutlineError(ValueError):
    """An outline that no foil can have."""


def outline_named(name: str, points: int = FINE.foil_points) -> Floats:
    """(n, 2) outline of a catalogue foil in half widths, anticlockwise: x right, y up."""
    t = np.arange(points) * (2 * np.pi / points)
    if name == "round":
        return np.stack([np.sin(-t), np.cos(t)], axis=1)
    if name == "star":
        return _star(5, 0.56, 0.10, points)
    if name == "starburst":
        return _star(12, 0.62, 0.05, points)
    if name == "heart":
        across = 16 * np.sin(t) ** 3
        up = 13 * np.cos(t) - 5 * np.cos(2 * t) - 2 * np.cos(3 * t) - np.cos(4 * t)
        ring = _resampled(np.stack([-across, up], axis=1), 4 * points)
        return _normalised(_resampled(_smooth_ring(ring), points))  # the cleft is no knife
    raise OutlineError(
        f"no foil outline is called “{name}”; there are round, star, starburst and heart, "
        "and letters and figures from outlines_of_text"
    )


def _star(tips: int, inner: float, softness: float, points: int) -> Floats:
    """Star of so many tips, its corners rounded, point up."""
    corner = np.pi / 2 + np.arange(2 * tips) * (np.pi / tips)
    reach = np.where(np.arange(2 * tips) % 2 == 0, 1.0, inner)
    sharp = np.stack([reach * np.cos(corner), reach * np.sin(corner)], axis=1)
    return _normalised(_resampled(_softened(sharp, softness), max(points, 8 * tips)))


def _softened(corners: Floats, cut: float) -> Floats:
    """Each corner replaced by a small parabola that begins and ends `cut` away from it."""
    rows = []
    u = np.linspace(0, 1, 7)[:, None]
    for before, here, after in zip(
        np.roll(corners, 1, 0), corners, np.roll(corners, -1, 0), strict=True
    ):
        a = here + (before - here) * min(0.45, cut / np.linalg.norm(before - here))
        b = here + (after - here) * min(0.45, cut / np.linalg.norm(after - here))
        rows.append((1 - u) ** 2 * a + 2 * u * (1 - u) * here + u**2 * b)
    return np.concatenate(rows)


def _resampled(ring: Floats, count: int) -> Floats:
    closed = np.concatenate([ring, ring[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    at = np.arange(count) * (along[-1] / count)
    return np.stack([np.interp(at, along, closed[:, k]) for k in (0, 1)], axis=1)


def _normalised(ring: Floats) -> Floats:
    low, high = ring.min(axis=0), ring.max(axis=0)
    return np.asarray((ring - (low + high) / 2) / ((high[0] - low[0]) / 2))


def outlines_of_text(text: str, detail: Detail = FINE) -> list[tuple[Floats, ...]]:
    """One tuple of rings per letter or figure: the outer ring first, then its holes.

    Each is as high as a foil is wide: a capital reaches from -1 to 1, its middle at the origin.
    Blanks are left out.
    """
    return [rings for letter in text if not letter.isspace() for rings in _glyph(letter, detail)]


@lru_cache(maxsize=128)
def _glyph(letter: str, detail: Detail) -> list[tuple[Floats, ...]]:
    try:
        shape = foil_shape(letter)
    except FontRefused as problem:
        raise OutlineError(
            f"no outline can be drawn for “{letter}”; use a letter or a figure"
        ) from problem
    x0, y0, x1, y1 = shape.bounds
    middle = np.array([x0 + x1, y0 + y1]) / 2
    return [
        tuple(
            _resampled(ring, _ring_points(ring, detail))
            for line in (part.exterior, *part.interiors)
            for ring in [2 * (np.asarray(line.coords)[:-1] - middle)]
        )
        for part in shape.geoms
    ]


def _ring_points(ring: Floats, detail: Detail) -> int:
    length = np.linalg.norm(np.diff(ring, axis=0), axis=1).sum()
    return int(np.clip(length / 6.3 * detail.foil_points, 24, 2 * detail.foil_points))


def _smooth_ring(ring: Floats) -> Floats:
    """Pixel steps averaged away."""
    kernel = np.hanning(15)[1:-1]
    kernel /= kernel.sum()
    wrapped = np.concatenate([ring[-7:], ring, ring[:7]])
    return np.stack(
        [np.convolve(wrapped[:, k], kernel, mode="valid")[1:-1] for k in (0, 1)], axis=1
    )


def foil_pillow(outline: Floats | tuple[Floats, ...], *, puckered: bool = True) -> Mesh:
    """Closed pillow over an outline (n, 2) in half widths, upright in x-z, thin along y.

    A tuple of rings is an outer ring and its holes (a letter's eye). The front looks to -y.
    """
    rings = outline if isinstance(outline, tuple) else (outline,)
    rings = tuple(_oriented(np.asarray(ring, float), hole=k > 0) for k, ring in enumerate(rings))
    flat, triangles, rings = _filled(rings)
    rim = sum(len(ring) for ring in rings)
    height = _pillow_height(flat, triangles, rim)
    distance, along = _to_rim(flat, rings)
    if puckered:
        height = height * (1 - _folds(distance, along, _length(rings[0]), rim))
    return _two_sided(flat, triangles, rim, height)


def _length(ring: Floats) -> float:
    return float(np.linalg.norm(np.roll(ring, -1, 0) - ring, axis=1).sum())


def _folds(distance: Floats, along: Floats, length: float, rim: int) -> Floats:
    """Depth of the folds in local heights: uneven, whole numbers of them round the rim, and
    no more than its `rim` points can show."""
    turn = 2 * np.pi * along / length
    count = max(3, min(round(length / PUCKER_LENGTH), rim // 4))
    # two more waves of other lengths make some folds deep and others shallow
    wave = np.sin(count * turn) + 0.5 * np.sin(round(0.61 * count) * turn + 1.0)
    strength = 0.75 + 0.25 * np.sin(round(0.23 * count) * turn)
    reach = PUCKER_REACH * (0.8 + 0.4 * np.sin(round(0.37 * count) * turn + 2.0))
    return np.asarray(PUCKER / 3 * np.exp(-distance / reach) * strength * (1.5 + wave))


_TAIL_SHARE = np.array([-0.3, 0.0, 0.3, FOIL_TIE - 0.12, FOIL_TIE, FOIL_TIE + 0.12, 0.9, 1.0])
_TAIL_WIDE = TAIL_HALF * np.array([0.9, 1.0, 0.85, 0.35, 0.22, 0.4, 0.95, 1.0])
_TAIL_THICK = TAIL_HALF * np.array([0.3, 0.22, 0.2, 0.25, 0.2, 0.25, 0.08, 0.03])


def tail_outline(outline: str) -> Floats | None:
    """(n, 2) the filling tail of a catalogue foil in half widths, x right and y up: a flat tab
    below the rim, gathered where the ribbon is tied. None for what has no tail.

        \\____/   rim
          ||
          ><     gathered
          /\\
    """
    if outline not in FOIL_TAIL_ROOT:
        return None
    down = -(FOIL_TAIL_ROOT[outline] + FOIL_TAIL * _TAIL_SHARE)
    right = np.stack([_TAIL_WIDE, down], axis=1)
    return np.concatenate([right, right[::-1] * [-1.0, 1.0]])


def foil_tail(outline: str, sides: int = FINE.sides) -> Mesh:
    """The filling tail of a catalogue foil (`tail_outline`) as a flat tube."""
    down = -(FOIL_TAIL_ROOT[outline] + FOIL_TAIL * _TAIL_SHARE)
    angle = np.arange(sides) * (2 * np.pi / sides)
    rows = np.zeros((len(down), sides, 3))
    rows[..., 0] = _TAIL_WIDE[:, None] * np.cos(angle)
    rows[..., 1] = -_TAIL_THICK[:, None] * np.sin(angle)
    rows[..., 2] = down[:, None]
    ends = np.array([[0.0, 0.0, down[0]], [0.0, 0.0, down[-1]]])
    vertices = np.concatenate([rows.reshape(-1, 3), ends])
    faces = tube_faces(len(down), sides)
    return Mesh(vertices, faces, normals_of(vertices, faces))


@lru_cache(maxsize=64)
def foil_balloon(outline: str, detail: Detail = FINE) -> Mesh:
    """A catalogue foil or one letter or figure, with its filling tail where it has one.

    Raises OutlineError for an outline that nobody knows.
    """
    try:
        pillow = foil_pillow(outline_named(outline, detail.foil_points))
    except OutlineError:
        if not 0 < len(outline) <= 2:
            raise
        return joined([foil_pillow(rings) for rings in outlines_of_text(outline, detail)])
    return joined([pillow, foil_tail(outline, detail.sides)])


def _oriented(ring: Floats, *, hole: bool) -> Floats:
    if ring.ndim != 2 or ring.shape[1] != 2 or len(ring) < 3 or not np.isfinite(ring).all():
        raise OutlineError("an outline is at least three points (x, y)")
    x, y = ring.T
    area = 0.5 * float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    if abs(area) < 1e-9:
        raise OutlineError("the outline encloses nothing; give its corners in order")
    return ring if (area > 0) != hole else ring[::-1].copy()


SPLITS = 8
"""How often a rim may be halved where its triangles do not follow it."""


def _filled(
    rings: tuple[Floats, ...],
) -> tuple[Floats, NDArray[np.int32], tuple[Floats, ...]]:
    """Points and triangles that fill the rings, and the rings, refined where need be.

    The rings' own points come first. Triangles between nearest points follow a rim only where
    its points are closer to each other than to another rim; a deep cleft is halved until so.
    """
    for _ in range(SPLITS):
        points, triangles = _triangles(rings)
        refined = _split_missing(rings, triangles)
        if refined is None:
            return *_chords_split(points, triangles, rings), rings
        rings = refined
    raise OutlineError("the outline crosses or touches itself; draw it with some room between")


def _triangles(rings: tuple[Floats, ...]) -> tuple[Floats, NDArray[np.int32]]:
    from scipy.spatial import Delaunay

    border = np.concatenate(rings)
    step = float(np.median(np.linalg.norm(np.diff(rings[0], axis=0), axis=1)))
    # a point nearer to the rim than this would come between two neighbours on it
    nearest = max(WELD, 0.7 * step)
    inner = [_inset(rings, nearest * k, step) for k in (1.0, 1.8, 3.2, 5.4)]
    grid = _grid(border, max(1.3 * step, 0.035))
    far = _inside(grid, rings) & (_to_rim(grid, rings)[0] > 5.4 * nearest + 0.8 * step)
    points = np.concatenate([border, *inner, grid[far]])
    triangles = Delaunay(points).simplices
    middle = points[triangles].mean(axis=1)
    a, b, c = (points[triangles[:, k]] for k in range(3))
    turn = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    triangles = np.where((turn < 0)[:, None], triangles[:, ::-1], triangles)
    keep = _inside(middle, rings) & (np.abs(turn) > 1e-10)
    return points, triangles[keep].astype(np.int32)


def _chords_split(
    points: Floats, triangles: NDArray[np.int32], rings: tuple[Floats, ...]
) -> tuple[Floats, NDArray[np.int32]]:
    """A point in the middle of every edge that runs across the foil from rim to rim.

    Front and back share the rim's points, so such an edge would weld them in mid-foil.
    """
    rim = _rim_edges(rings)
    count = sum(len(ring) for ring in rings)
    rows = [tuple(int(v) for v in row) for row in triangles]
    added: list[Floats] = []
    middle: dict[tuple[int, int], int] = {}
    result = []
    while rows:
        a, b, c = rows.pop()
        for p, q, r in ((a, b, c), (b, c, a), (c, a, b)):
            edge = (min(p, q), max(p, q))
            if max(edge) < count and edge not in rim:
                if edge not in middle:
                    middle[edge] = len(points) + len(added)
                    added.append((points[p] + points[q]) / 2)
                rows += [(p, middle[edge], r), (middle[edge], q, r)]
                break
        else:
            result.append((a, b, c))
    return np.concatenate([points, *[row[None] for row in added]]), np.array(result, np.int32)


def _rim_edges(rings: tuple[Floats, ...]) -> set[tuple[int, int]]:
    edges, start = set(), 0
    for ring in rings:
        for k in range(len(ring)):
            after = (k + 1) % len(ring)
            edges.add((start + min(k, after), start + max(k, after)))
        start += len(ring)
    return edges


def _grid(border: Floats, spacing: float) -> Floats:
    """Points of a triangular lattice over the outline's box."""
    low, high = border.min(axis=0), border.max(axis=0)
    columns = np.arange(low[0], high[0] + spacing, spacing)
    return np.concatenate(
        [
            np.stack([columns + (k % 2) * spacing / 2, np.full(len(columns), y)], axis=1)
            for k, y in enumerate(np.arange(low[1], high[1], spacing * 0.866))
        ]
    )


def _split_missing(
    rings: tuple[Floats, ...], triangles: NDArray[np.int32]
) -> tuple[Floats, ...] | None:
    """Rings with a point added in every rim edge that no triangle has, None if none is missing."""
    pairs = np.sort(
        np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]]), axis=1
    )
    there = {(int(a), int(b)) for a, b in pairs}
    start, result = 0, []
    missing = _rim_edges(rings) - there
    for ring in rings:
        rows = []
        for k, point in enumerate(ring):
            after = (k + 1) % len(ring)
            rows.append(point)
            if (start + min(k, after), start + max(k, after)) in missing:
                rows.append((point + ring[after]) / 2)
        start += len(ring)
        result.append(np.array(rows))
    return tuple(result) if missing else None


def _inset(rings: tuple[Floats, ...], depth: float, step: float) -> Floats:
    rows = []
    for ring in rings:
        tangent = np.roll(ring, -1, 0) - np.roll(ring, 1, 0)
        tangent /= np.maximum(np.linalg.norm(tangent, axis=1, keepdims=True), 1e-12)
        moved = ring + depth * np.stack([-tangent[:, 1], tangent[:, 0]], axis=1)
        distance = _to_rim(moved, rings)[0]
        stride = max(1, round(min(depth, 0.05) / step))
        rows.append(moved[(distance > 0.85 * depth) & _inside(moved, rings)][::stride])
    return np.concatenate(rows)


def _inside(points: Floats, rings: tuple[Floats, ...]) -> NDArray[np.bool_]:
    """Even-odd rule over all rings."""
    inside = np.zeros(len(points), dtype=bool)
    for ring in rings:
        a, b = ring, np.roll(ring, -1, 0)
        spans = (a[None, :, 1] > points[:, 1:2]) != (b[None, :, 1] > points[:, 1:2])
        rise = np.where(b[:, 1] == a[:, 1], 1.0, b[:, 1] - a[:, 1])
        at = a[:, 0] + (points[:, 1:2] - a[:, 1]) * (b[:, 0] - a[:, 0]) / rise
        inside ^= np.count_nonzero(spans & (points[:, :1] < at), axis=1) % 2 == 1
    return inside


def _to_rim(points: Floats, rings: tuple[Floats, ...]) -> tuple[Floats, Floats]:
    """Distance to the nearest ring, and how far along that ring its nearest place lies."""
    best = np.full(len(points), np.inf)
    where = np.zeros(len(points))
    for ring in rings:
        a, edge = ring, np.roll(ring, -1, 0) - ring
        size = np.linalg.norm(edge, axis=1)
        start = np.concatenate([[0.0], np.cumsum(size)[:-1]])
        offset = points[:, None] - a[None]
        t = np.clip((offset * edge).sum(-1) / np.maximum(size**2, 1e-18), 0, 1)
        gap = np.linalg.norm(offset - t[..., None] * edge, axis=-1)
        nearest = gap.argmin(axis=1)
        row = np.arange(len(points))
        closer = gap[row, nearest] < best
        best = np.where(closer, gap[row, nearest], best)
        where = np.where(closer, start[nearest] + t[row, nearest] * size[nearest], where)
    return best, where


def _pillow_height(flat: Floats, triangles: NDArray[np.int32], rim: int) -> Floats:
    """Half thickness at each point: root of Poisson's solution (linear finite elements)."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import spsolve

    a, b, c = (flat[triangles[:, k]] for k in range(3))
    area2 = (b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0]
    across = np.stack([c - b, a - c, b - a], axis=1)
    local = np.einsum("fik,fjk->fij", across, across) / (2 * area2[:, None, None])
    rows = np.repeat(triangles, 3, axis=1).ravel()
    columns = np.tile(triangles, (1, 3)).ravel()
    stiffness = coo_matrix((local.ravel(), (rows, columns)), shape=(len(flat),) * 2).tocsr()
    load = np.zeros(len(flat))
    np.add.at(load, triangles, (area2 / 6)[:, None])
    free = np.setdiff1d(np.unique(triangles), np.arange(rim))
    height = np.zeros(len(flat))
    height[free] = spsolve(stiffness[free][:, free], load[free])
    # on the unit circle the solution is (1 - r^2)/4, so twice its root is the half ball
    half_ball = 2 * np.sqrt(np.maximum(height, 0.0))
    full = float(half_ball.max())
    return np.asarray(ROUND_THICKNESS * full * _foil_rise(half_ball / full))


def _foil_rise(ball: Floats) -> Floats:
    """Height of the round foil of `physics.bodies` where a half ball stands `ball` high."""
    profile = foil_profile(200)
    upper = profile.z >= 0
    rho, z = profile.rho[upper], profile.z[upper]
    order = np.argsort(rho)
    reach = np.sqrt(np.maximum(1.0 - np.minimum(ball, 1.0) ** 2, 0.0))
    return np.asarray(np.interp(reach, rho[order], z[order] / z.max()))


def _two_sided(flat: Floats, triangles: NDArray[np.int32], rim: int, height: Floats) -> Mesh:
    front = np.stack([flat[:, 0], -height, flat[:, 1]], axis=1)
    back = np.stack([flat[rim:, 0], height[rim:], flat[rim:, 1]], axis=1)
    mirrored = np.concatenate([np.arange(rim), len(flat) + np.arange(len(flat) - rim)])
    vertices = np.concatenate([front, back])
    faces = np.concatenate([triangles, mirrored[triangles][:, ::-1]]).astype(np.int32)
    return Mesh(vertices, faces, normals_of(vertices, faces))
