"""The gradients and highlights of every finish, in the balloon's own frame (radius UNIT)."""

from __future__ import annotations

from functools import lru_cache

from airwright.decor.assembly import Shade
from airwright.pictures.drawing.paint import (
    FADE,
    Tones,
    key,
    mix,
    radial,
    ramp,
    stops,
    tones,
)
from airwright.pictures.drawing.svg import ref

STRENGTH = {"ma": 0.62, "pe": 0.75, "me": 0.9, "cl": 0.9}
"""How strong a highlight is, by the first letters of a finish."""
HALO = 1.5
"""A neighbour's darkness ends at this times its radius."""


@lru_cache(maxsize=256)
def base_fill(shade: Shade, fade: bool) -> tuple[str, str]:
    """Id and gradient that fill the outline."""
    name = f"b{key(shade, fade)}"
    t = tones(shade.colour, FADE if fade else 0.0)
    light = (-30.0, -36.0)
    if shade.finish == "metallic":
        # A mirror shows a bright ceiling, a dark horizon and the lit floor.
        content = stops(
            (0.0, mix(t.glow, "#ffffff", 0.55)),
            (0.16, t.glow),
            (0.34, t.base),
            (0.50, t.shadow),
            (0.62, t.deep),
            (0.72, t.dusk),
            (0.82, t.light),
            (0.92, t.dusk),
            (1.0, t.deep),
        )
        return name, radial(name, -24, -42, 162, content)
    if shade.finish == "clear":
        content = stops(
            (0.0, t.glow, 0.10), (0.62, t.base, 0.16), (0.86, t.dusk, 0.30), (1.0, t.shadow, 0.55)
        )
        return name, radial(name, 0, 0, 104, content)
    if shade.finish == "pearl":
        # Pearl scatters light from just under the skin: a wide soft gleam, paler shadows.
        rows = ramp(shade.colour, FADE if fade else 0.0, 2.2)
        content = stops(*((at, mix(tone, t.glow, 0.30 * (1.0 - at))) for at, tone in rows))
        return name, radial(name, *light, 215, content)
    content = stops(*ramp(shade.colour, FADE if fade else 0.0))
    return name, radial(name, *light, 196, content)


@lru_cache(maxsize=256)
def halo(shade: Shade, fade: bool) -> tuple[str, str]:
    """Id and shape of the darkness a neighbour throws, a circle of radius 1."""
    name = f"h{key(shade, fade)}"
    t = tones(shade.colour, FADE if fade else 0.0)
    dark = t.deep if shade.finish != "clear" else t.dusk
    strength = 0.80 if shade.finish != "clear" else 0.3
    edge = 1.0 / HALO
    content = stops(
        (0.0, dark, strength),
        (edge * 0.94, dark, strength),
        (edge + (1 - edge) * 0.18, dark, strength * 0.52),
        (edge + (1 - edge) * 0.42, dark, strength * 0.2),
        (edge + (1 - edge) * 0.7, dark, strength * 0.055),
        (1.0, dark, 0.0),
    )
    fill = radial(f"{name}g", 0, 0, 1, content)
    return name, f'{fill}<circle id="{ref(name)}" r="1" fill="url(#{ref(name + "g")})"/>'


def rim_tone(shade: Shade, fade: bool) -> str:
    """Colour of the thin line round the outline."""
    t: Tones = tones(shade.colour, FADE if fade else 0.0)
    return mix(t.shadow, t.deep, 0.5)


def gloss(shade: Shade, fade: bool) -> tuple[str, str]:
    """Id and shapes of the highlights of a finish: a window's sheen, its core, a rim of light."""
    return _gloss(shade.finish[:2], fade)


@lru_cache(maxsize=16)
def _gloss(finish: str, fade: bool) -> tuple[str, str]:
    name = f"g{finish}{'f' if fade else ''}"
    strength = STRENGTH[finish] * (0.35 if fade else 1.0)
    sheen = radial(
        f"{name}s",
        0,
        0,
        1,
        stops(
            (0.0, "#fff", strength * 0.85),
            (0.35, "#fff", strength * 0.5),
            (0.7, "#fff", strength * 0.13),
            (1.0, "#fff", 0.0),
        ),
    )
    core = radial(
        f"{name}c",
        0,
        0,
        1,
        stops(
            (0.0, "#fff", min(1.0, strength * 1.3)),
            (0.45, "#fff", min(1.0, strength * 1.15)),
            (1.0, "#fff", 0.0),
        ),
    )
    rim_strength = {"ma": 0.22, "pe": 0.3, "me": 0.4, "cl": 0.35}[finish] * (0.4 if fade else 1.0)
    rim = radial(
        f"{name}r",
        -19,
        -24,
        156,
        stops(
            (0.0, "#fff", 0.0),
            (0.69, "#fff", 0.0),
            (0.83, "#fff", rim_strength),
            (1.0, "#fff", 0.0),
        ),
    )
    circle = f'<circle r="1" fill="url(#{ref(name)}'
    shapes = [
        f'<circle r="160" fill="url(#{ref(name)}r)"/>',
        f'{circle}s)" transform="translate(-37 -43)rotate(-41)scale(44 31)"/>',
        f'{circle}c)" transform="translate(-42 -49)rotate(-41)scale(15 8.5)"/>',
    ]
    if finish == "me":
        shapes.append(f'{circle}s)" transform="translate(33 56)rotate(-32)scale(42 12)"/>')
    if finish == "cl":
        shapes.append(f'{circle}s)" transform="translate(42 50)rotate(-41)scale(40 10)"/>')
    return name, f'{sheen}{core}{rim}<g id="{ref(name)}">{"".join(shapes)}</g>'


@lru_cache(maxsize=256)
def glint(shade: Shade, fade: bool) -> tuple[str, str]:
    """Id and shape of the one highlight of a balloon that is painted coarsely."""
    finish = shade.finish[:2]
    name = f"k{finish}{'f' if fade else ''}"
    strength = STRENGTH[finish] * (0.35 if fade else 1.0)
    content = stops((0.0, "#fff", strength), (0.4, "#fff", strength * 0.45), (1.0, "#fff", 0.0))
    fill = radial(f"{name}s", 0, 0, 1, content)
    turn = "translate(-37 -43)rotate(-41)scale(40 27)"
    circle = f'<circle id="{ref(name)}" r="1" fill="url(#{ref(name)}s)" transform="{turn}"/>'
    return name, fill + circle
