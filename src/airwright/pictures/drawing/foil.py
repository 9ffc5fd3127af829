"""Foil balloons: a pillow of film over an outline, shaded by the slope under each stretch of rim.

The film rises from the rim to a ridge, so a sector between the centre and a stretch of rim
leans the way that stretch looks: light at the upper left, dark at the lower right. The
middle, which faces the viewer, is laid over as one soft patch.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from airwright.decor.assembly import Floats, Shade
from airwright.pictures.drawing.camera import Camera
from airwright.pictures.drawing.finish import gloss
from airwright.pictures.drawing.flat import hull
from airwright.pictures.drawing.paint import (
    FADE,
    UNIT,
    Tones,
    key,
    linear,
    mix,
    radial,
    stops,
    tones,
)
from airwright.pictures.drawing.svg import number, polyline, ref
from airwright.pictures.drawing.values import MM

FLATTEST = 0.55
"""Share of its face that must be seen for a foil to be drawn from its outline."""
LEVELS = 22
"""Tones a rim is shaded in."""

Rings = tuple[Floats, ...]


@lru_cache(maxsize=64)
def rings_of(outline: str) -> tuple[Rings, ...]:
    """Rings (n, 2) of an outline in half widths, one tuple a part; unknown ones are round."""
    from airwright.pictures.mesh import outline_named, outlines_of_text
    from airwright.pictures.mesh.foil import OutlineError

    try:
        return ((outline_named(outline, 96),),)
    except OutlineError:
        pass
    try:
        if 0 < len(outline) <= 2:
            return tuple(outlines_of_text(outline))
    except OutlineError:
        pass
    return ((outline_named("round", 96),),)


@lru_cache(maxsize=64)
def _cloud(outline: str) -> Floats:
    """Points (n, 3) all over the pillow, for its silhouette from the side."""
    from airwright.pictures.mesh import WEB, foil_pillow

    parts = [foil_pillow(rings, puckered=False).vertices for rings in rings_of(outline)]
    assert WEB.points
    return np.concatenate(parts)


def frame_of(axis: Floats) -> Floats:
    """(3, 3) rotation from a foil's own axes to the world's, shared with its mesh."""
    from airwright.pictures.mesh import roll_frame

    return np.asarray(roll_frame(axis.reshape(1, 3))[0])


@dataclass(frozen=True, eq=False)
class Placed:
    """A balloon's centre (3,) [m], half width [m] and axis (3,), in world axes."""

    centre: Floats
    radius: float
    axis: Floats


def paint_foil(
    place: Placed,
    outline: str,
    shade: Shade,
    camera: Camera,
    *,
    fade: bool,
    tag: str,
    defs: dict[str, str],
) -> tuple[str, Floats]:
    """SVG of one foil balloon with a named outline, and its silhouette (n, 2) in user units."""
    turn = camera.rows @ frame_of(place.axis)
    x, y, _ = camera.rows @ place.centre
    facing = abs(float(turn[2, 1]))
    size = place.radius * MM / UNIT
    where = f'transform="translate({number(x * MM)} {number(-y * MM)})scale({number(size, 4)})"'
    if facing < FLATTEST:
        flat = hull(_flat(_cloud(outline), turn))
        body = _edge_on(flat, shade, fade, defs)
        return f"<g {where}>{body}</g>", _absolute(flat, x, y, size)
    parts, outer = [_tail(outline, turn, shade, fade)], []
    for number_of, rings in enumerate(rings_of(outline)):
        seen = tuple(
            _flat(np.stack([r[:, 0], np.zeros(len(r)), r[:, 1]], axis=1), turn) for r in rings
        )
        outer.append(seen[0])
        own = f"{tag}{number_of}"
        star = len(rings) == 1 and _star_shaped(rings[0])
        parts.append(
            _pillow(seen, shade, fade, own, defs) if star else _letter(seen, shade, fade, own, defs)
        )
    return f"<g {where}>{''.join(parts)}</g>", _absolute(np.concatenate(outer), x, y, size)


def _tail(outline: str, turn: Floats, shade: Shade, fade: bool) -> str:
    """The filling tail below the rim, on which the ribbon is tied; nothing for letters."""
    from airwright.pictures.mesh import tail_outline

    ring = tail_outline(outline)
    if ring is None:
        return ""
    flat = _flat(np.stack([ring[:, 0], np.zeros(len(ring)), ring[:, 1]], axis=1), turn)
    t = tones(shade.colour, FADE if fade else 0.0)
    return (
        f'<path fill="{t.base}" stroke="{t.shadow}" stroke-width="1.2" '
        f'stroke-linejoin="round" d="{polyline(flat, close=True)}"/>'
    )


def _flat(points: Floats, turn: Floats) -> Floats:
    """Own points (n, 3) on the picture, y downwards, in balloon units."""
    seen = points @ turn.T
    return np.asarray(seen[:, :2] * [UNIT, -UNIT])


def _absolute(flat: Floats, x: float, y: float, size: float) -> Floats:
    return np.asarray(flat * size + [x * MM, -y * MM])


def _star_shaped(ring: Floats) -> bool:
    """Whether every point of the rim is seen from the middle."""
    after = np.roll(ring, -1, axis=0)
    return bool((ring[:, 0] * after[:, 1] - ring[:, 1] * after[:, 0] > 0).all())


def _tone(t: Tones, level: float) -> str:
    """A tone of film: 0 dark, 1 light; film is a mirror, so it swings wide."""
    scale = [t.deep, t.shadow, t.dusk, t.base, t.light, t.glow, mix(t.glow, "#ffffff", 0.6)]
    at = min(max(level, 0.0), 0.9999) * (len(scale) - 1)
    return mix(scale[int(at)], scale[int(at) + 1], at - int(at))


def _pillow(seen: Rings, shade: Shade, fade: bool, own: str, defs: dict[str, str]) -> str:
    ring = seen[0]
    t = tones(shade.colour, FADE if fade else 0.0)
    edge = np.roll(ring, -1, axis=0) - ring
    outward = np.stack([edge[:, 1], -edge[:, 0]], axis=1)
    middle = (ring + np.roll(ring, -1, axis=0)) / 2
    outward *= np.sign((outward * middle).sum(axis=1, keepdims=True))
    outward /= np.maximum(np.hypot(outward[:, 0], outward[:, 1])[:, None], 1e-9)
    light = outward @ np.array([-0.64, -0.77])
    # A round rim turns through all tones and needs less of a swing than a star's facets.
    sharp = float(np.abs(light - np.roll(light, 1)).max()) > 0.3
    level = np.rint((0.52 + (0.42 if sharp else 0.27) * light) * LEVELS).astype(int)
    rim = polyline(ring, close=True)
    out = [
        f'<clipPath id="{ref(own)}c"><path id="{ref(own)}" d="{rim}"/></clipPath>',
        f'<use href="#{ref(own)}" fill="{t.base}"/><g clip-path="url(#{ref(own)}c)">',
    ]
    for start, stop in _runs(level):
        rows = np.arange(start, stop + 1) % len(ring)
        fan = np.concatenate([[[0.0, 0.0]], ring[rows] * 1.02])
        colour = _tone(t, level[start % len(ring)] / LEVELS)
        out.append(
            f'<path fill="{colour}" stroke="{colour}" stroke-width=".8" '
            f'd="{polyline(fan, close=True)}"/>'
        )
    inner = float(np.hypot(ring[:, 0], ring[:, 1]).min())
    patch = f"o{key(shade, fade)}"
    defs.setdefault(
        patch,
        radial(
            patch,
            -0.09,
            -0.11,
            1,
            stops(
                (0.0, mix(t.glow, "#ffffff", 0.4)),
                (0.3, mix(t.light, t.glow, 0.4), 0.92),
                (0.6, t.base, 0.6),
                (1.0, t.base, 0.0),
            ),
        ),
    )
    out.append(f'<circle r="1" fill="url(#{ref(patch)})" transform="scale({number(inner)})"/>')
    shine, markup = gloss(replace(shade, finish="metallic"), fade)
    defs.setdefault(shine, markup)
    out.append(f'<use href="#{ref(shine)}" opacity=".7"/>{_puckers(ring, t)}</g>')
    out.append(
        f'<use href="#{ref(own)}" fill="none" stroke="{t.shadow}" stroke-opacity=".6" '
        'stroke-width="1.4" stroke-linejoin="round"/>'
    )
    return "".join(out)


def _runs(level: Floats) -> list[tuple[int, int]]:
    """Stretches of equal tone round the rim as (first, last + 1), wrapping past the end."""
    count = len(level)
    change = [k for k in range(count) if level[k] != level[k - 1]]
    if not change:
        return [(0, count)]
    return [
        (k, change[i + 1] if i + 1 < len(change) else change[0] + count)
        for i, k in enumerate(change)
    ]


def _puckers(ring: Floats, t: Tones) -> str:
    """Short folds at the rim, where a flat sheet had to go round."""
    dark: list[str] = []
    light: list[str] = []
    for k in range(0, len(ring), 2):
        point = ring[k]
        inward = -point / max(float(np.hypot(*point)), 1e-9)
        reach = 9.0 + 7.0 * math.sin(k * 2.399)
        line = polyline(np.stack([point, point + inward * reach]))
        (light if k % 4 else dark).append(line)
    style = 'fill="none" stroke-width="1.1" stroke-linecap="round"'
    return (
        f'<path {style} stroke="{t.deep}" stroke-opacity=".28" d="{"".join(dark)}"/>'
        f'<path {style} stroke="#fff" stroke-opacity=".4" d="{"".join(light)}"/>'
    )


def _edge_on(flat: Floats, shade: Shade, fade: bool, defs: dict[str, str]) -> str:
    t = tones(shade.colour, FADE if fade else 0.0)
    name = f"q{key(shade, fade)}"
    defs.setdefault(
        name,
        f'<linearGradient id="{ref(name)}" x1="0" y1="0" x2="1" y2=".15">'
        + stops(
            (0.0, t.dusk),
            (0.25, mix(t.glow, "#ffffff", 0.5)),
            (0.45, t.base),
            (0.52, t.deep),
            (0.62, t.base),
            (0.85, t.shadow),
            (1.0, t.deep),
        )
        + "</linearGradient>",
    )
    return (
        f'<path fill="url(#{ref(name)})" stroke="{t.shadow}" stroke-width="1.2" '
        f'd="{polyline(flat, close=True)}"/>'
    )


def _letter(seen: Rings, shade: Shade, fade: bool, own: str, defs: dict[str, str]) -> str:
    """A letter or figure: a tube of film, dark at its rims and bright along its middle."""
    t = tones(shade.colour, FADE if fade else 0.0)
    name = f"l{key(shade, fade)}"
    defs.setdefault(
        name,
        linear(
            name,
            (-70.0, -100.0),
            (70.0, 100.0),
            stops(
                (0.0, mix(t.glow, "#ffffff", 0.5)),
                (0.3, t.light),
                (0.55, t.base),
                (0.8, t.dusk),
                (1.0, t.shadow),
            ),
        ),
    )
    d = "".join(polyline(ring, close=True) for ring in seen)
    clip = f'clip-path="url(#{ref(own)}c)"'
    return (
        f'<clipPath id="{ref(own)}c"><path id="{ref(own)}" clip-rule="evenodd" d="{d}"/></clipPath>'
        f'<path fill="url(#{ref(name)})" fill-rule="evenodd" d="{d}"/>'
        f'<g {clip} fill="none" stroke-linejoin="round">'
        f'<path stroke="{t.deep}" stroke-opacity=".35" stroke-width="15" d="{d}"/>'
        f'<path stroke="{t.shadow}" stroke-opacity=".5" stroke-width="6" d="{d}"/></g>'
        f'<path fill="none" stroke="{t.shadow}" stroke-opacity=".6" stroke-width="1.4" d="{d}"/>'
    )
