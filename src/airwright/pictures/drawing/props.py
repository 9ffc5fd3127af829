"""What stands with the balloons: plates, weights, sleeves, and the shadow on the floor."""

from __future__ import annotations

import math

import numpy as np

from airwright.build.assembly import Assembly, Fabric, Floats, HardwarePlaced
from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.paint import FADE, mix, radial, stops, tones
from airwright.pictures.drawing.svg import number, polyline, ref, smooth
from airwright.pictures.drawing.values import MM

STEEL = "#8d9196"
COLOURS = {
    "pole": "#d9dbdd",
    "base": "#77787a",
    "stand": "#8d9196",
    "frame": "#b9bdc1",
    "panel": "#c9ccce",
    "line": "#c8c4bd",
    "ribbon": "#e6e1d8",
    "weight": "#c9a227",
    "band": "#d8c39a",
    "net": "#cfd3d6",
    "cylinder": "#7d8b99",
    "anchor": "#8d9196",
}
"""Neutral colours of hardware; a piece's shades belong to its balloons."""

_SIDES = 48


def colour_of(part: HardwarePlaced) -> str:
    """Colour a kind of hardware is drawn in."""
    return COLOURS.get(part.use, STEEL)


def drum(
    centre: tuple[float, float, float],
    radii: tuple[float, float],
    height: float,
    camera: Camera,
    fill: str,
    lid: str,
    edge: str,
) -> str:
    """An upright drum or cone frustum seen by the camera: mantle, then the end that shows."""
    turn = np.arange(_SIDES) * (2.0 * math.pi / _SIDES)
    ring = np.stack([np.cos(turn), np.sin(turn), np.zeros(_SIDES)], axis=1)
    low = camera.project(ring * radii[0] + np.asarray(centre))
    high = camera.project(ring * radii[1] + np.asarray(centre) + [0.0, 0.0, height])
    flat = np.concatenate([low, high])[:, :2] * [MM, -MM]
    hull = polyline(_hull(flat), close=True)
    out = f'<path fill="{fill}" stroke="{edge}" stroke-width="1" d="{hull}"/>'
    if not camera.level:
        top = high[:, :2] * [MM, -MM]
        out += f'<path fill="{lid}" d="{smooth(np.rint(top))}"/>'
    return out


def _hull(points: Floats) -> Floats:
    """Convex hull of (n, 2) points, in order round it (monotone chain)."""
    rows = sorted({(round(float(x), 3), round(float(y), 3)) for x, y in points})
    if len(rows) < 3:
        return np.asarray(rows)

    def chain(seq: list[tuple[float, float]]) -> list[tuple[float, float]]:
        out: list[tuple[float, float]] = []
        for p in seq:
            while (
                len(out) > 1
                and (
                    (out[-1][0] - out[-2][0]) * (p[1] - out[-2][1])
                    - (out[-1][1] - out[-2][1]) * (p[0] - out[-2][0])
                )
                <= 0
            ):
                out.pop()
            out.append(p)
        return out[:-1]

    return np.asarray(chain(rows) + chain(rows[::-1]))


def paint_plate(part: HardwarePlaced, camera: Camera, *, fade: bool, defs: dict[str, str]) -> str:
    """Base plate or weight."""
    colour = colour_of(part)
    t = tones(colour, FADE if fade else 0.0)
    radius = max(part.diameter_m / 2, 0.01)
    height = max(part.height_m, 0.004)
    taper = 0.72 if part.use == "weight" else 1.0
    centre = part.path[0]
    name = f"p{part.use}{colour[1:]}{round(radius * MM)}{'f' if fade else ''}"
    defs.setdefault(
        name,
        '<linearGradient id="'
        + ref(name)
        + '" x1="0" y1="0" x2="1" y2="0">'
        + stops(
            (0.0, t.dusk),
            (0.22, mix(t.light, t.glow, 0.35)),
            (0.5, t.base),
            (0.85, t.shadow),
            (1.0, t.dusk),
        )
        + "</linearGradient>",
    )
    return drum(
        centre,
        (radius, radius * taper),
        height,
        camera,
        f"url(#{ref(name)})",
        mix(t.base, t.light, 0.5),
        t.shadow,
    )


def paint_fabric(
    fabric: Fabric, camera: Camera, *, fade: bool, defs: dict[str, str], tag: str
) -> str:
    """A sleeve: for fringe, strand by strand; for cloth, soft folds."""
    t = tones(fabric.shade.colour, FADE if fade else 0.0)
    x, y = fabric.at
    r, bottom, top = fabric.radius_m, fabric.bottom_m, fabric.top_m
    name = f"f{fabric.shade.colour[1:]}{'f' if fade else ''}"
    defs.setdefault(
        name,
        f'<linearGradient id="{ref(name)}" x1="0" y1="0" x2="1" y2="0">'
        + stops(
            (0.0, t.shadow),
            (0.25, mix(t.base, t.light, 0.7)),
            (0.55, t.base),
            (0.85, t.dusk),
            (1.0, t.deep),
        )
        + "</linearGradient>",
    )
    body = drum((x, y, bottom), (r, r), top - bottom, camera, f"url(#{ref(name)})", t.dusk, t.dusk)
    fringe = fabric.material == "fringe"
    return body + _strands(fabric, camera, t.glow, t.deep, fringe)


def _strands(fabric: Fabric, camera: Camera, light: str, dark: str, fringe: bool) -> str:
    """Vertical strands on the visible half of the mantle, their lower ends uneven."""
    x, y = fabric.at
    r = fabric.radius_m
    step = 0.011 if fringe else 0.05
    count = max(10, min(180, round(2 * math.pi * r / step)))
    rng = np.random.default_rng(7)
    turn = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * (2 * math.pi / count)
    spread = 1.06 if fringe else 1.02
    foot = np.stack(
        [
            x + spread * r * np.cos(turn),
            y + spread * r * np.sin(turn),
            np.full(count, fabric.bottom_m),
        ],
        axis=1,
    )
    if fringe:
        foot[:, 2] -= rng.uniform(0.0, 0.02, count)
        foot[:, 2] = np.maximum(foot[:, 2], min(fabric.bottom_m, 0.0))
    head = np.stack(
        [x + r * np.cos(turn), y + r * np.sin(turn), np.full(count, fabric.top_m)], axis=1
    )
    normal = camera.project(np.stack([np.cos(turn), np.sin(turn), np.zeros(count)], axis=1))
    a, b = camera.project(foot), camera.project(head)
    dark_d: list[str] = []
    light_d: list[str] = []
    for k in range(count):
        if normal[k, 2] > 0.05:
            continue
        d = polyline(np.stack([a[k, :2], b[k, :2]]) * [MM, -MM])
        (light_d if k % 2 else dark_d).append(d)
    width = r * MM * 2 * math.pi / count
    return (
        f'<path fill="none" stroke="{dark}" stroke-opacity=".45" '
        f'stroke-width="{number(width * 0.34)}" d="{"".join(dark_d)}"/>'
        f'<path fill="none" stroke="{light}" stroke-opacity=".55" '
        f'stroke-width="{number(width * 0.3)}" d="{"".join(light_d)}"/>'
    )


def floor_shadow(assembly: Assembly, camera: Camera, defs: dict[str, str]) -> str:
    """A soft pool of shadow under everything that stands on or just above the floor."""
    if len(assembly) == 0 and not assembly.hardware:
        return ""
    low = assembly.bounds[0][2]
    if low > 0.35:
        return ""
    spots = _spots(assembly)
    if not spots:
        return ""
    defs.setdefault(
        "shadow",
        radial(
            "shadow",
            0,
            0,
            100,
            stops(
                (0.0, "#2b2622", 0.42),
                (0.45, "#2b2622", 0.30),
                (0.75, "#2b2622", 0.10),
                (1.0, "#2b2622", 0.0),
            ),
        ),
    )
    tilt = 0.10 if camera.level else max(0.10, abs(math.sin(camera.sight.elevation_rad)))
    out = []
    for x, y, half, strength in spots:
        px, py, _ = camera.project(np.array([x, y, 0.0]))
        wide = half * MM / 100.0 * 1.2
        shift = 0.06 * half * MM
        out.append(
            f'<circle r="100" fill="url(#{ref("shadow")})" opacity="{number(strength, 2)}" '
            f'transform="translate({number(px * MM + shift)} {number(-py * MM)})'
            f'scale({number(wide, 3)} {number(wide * tilt, 3)})"/>'
        )
    return "".join(out)


def _spots(assembly: Assembly) -> list[tuple[float, float, float, float]]:
    """Where shadows lie: (x, y, half width, strength), near parts joined into one pool."""
    spots: list[list[float]] = []
    for part in assembly.hardware:
        if part.use in ("base", "weight", "stand", "cylinder") and part.path[0][2] < 0.3:
            x, y, _ = part.path[0]
            spots.append([x, y, part.diameter_m / 2 * 1.15, 1.0])
    low = assembly.centre[:, 2] - assembly.radius
    rows = np.flatnonzero(low < 0.5)
    for row in rows[np.argsort(low[rows], kind="stable")]:
        x, y, _ = assembly.centre[row]
        half = float(assembly.radius[row])
        strength = 0.9 * max(0.0, 1.0 - float(low[row]) / 0.5) ** 2
        if strength < 0.05:
            continue
        for spot in spots:
            far = math.hypot(spot[0] - x, spot[1] - y)
            if far < spot[2] + 0.6 * half:
                grown = max(spot[2], min(far + half, spot[2] + half))
                spot[2] = min(grown, 1.6 * max(spot[2], half))
                break
        else:
            spots.append([x, y, half, strength])
    return [(s[0], s[1], s[2], s[3]) for s in spots]
