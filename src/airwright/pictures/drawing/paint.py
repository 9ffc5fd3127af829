"""How each finish takes the light: tones of a shade, and the gradients made of them.

Every balloon is painted in its own frame, in which its radius is UNIT, so that all balloons
of one shade share one set of gradients. What is filled with a gradient is drawn in a frame that
is not much finer than that: PDF readers take a frame of very small units for a singular one,
and leave the shape out. The light comes from the viewer's upper left.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from airwright.decor.assembly import Shade
from airwright.pictures.drawing.svg import number, ref
from airwright.pictures.drawing.values import DrawingError

UNIT = 100
"""Radius of a balloon in its own frame."""

PAPER = "#fbfaf8"
"""What faded parts fade towards."""
FADE = 0.76
"""How far they fade."""


@dataclass(frozen=True, slots=True)
class Tones:
    """A colour under light: from where the light falls to where it does not."""

    glow: str
    light: str
    base: str
    dusk: str
    shadow: str
    deep: str


RAMP = (
    (0.0, 0.34),
    (0.12, 0.25),
    (0.24, 0.12),
    (0.34, 0.03),
    (0.52, -0.09),
    (0.70, -0.26),
    (0.90, -0.45),
    (1.0, -0.52),
)
"""How much lighter or darker latex looks, by distance from where the light falls."""


@lru_cache(maxsize=256)
def ramp(colour: str, fade: float = 0.0, gain: float = 1.0) -> tuple[tuple[float, str], ...]:
    """Gradient stops of a soft ball of one colour; `gain` raises the lit side."""
    return tuple(
        (at, _tone(colour, lift * gain if lift > 0 else lift, 1.0 if lift > 0 else 1.06, fade))
        for at, lift in RAMP
    )


@lru_cache(maxsize=512)
def tones(colour: str, fade: float = 0.0) -> Tones:
    """Tones of "#rrggbb"; `fade` moves all of them towards the paper."""
    return Tones(
        glow=_tone(colour, 0.62, 0.72, fade),
        light=_tone(colour, 0.30, 0.95, fade),
        base=_tone(colour, 0.0, 1.0, fade),
        dusk=_tone(colour, -0.14, 1.06, fade),
        shadow=_tone(colour, -0.30, 1.06, fade),
        deep=_tone(colour, -0.52, 0.95, fade),
    )


def _tone(colour: str, lift: float, rich: float, fade: float) -> str:
    """A colour so much lighter or darker, with its chroma times `rich`."""
    lightness, chroma, hue = _oklch(colour)
    # Dark shades have less room to darken, pale ones less to lighten.
    room = (1.0 - lightness) * 0.85 if lift > 0 else lightness * 0.95
    if lift < 0 and lightness > 0.9:
        lift *= 0.82  # white latex glows from within
    shade = _hex(lightness + lift * room, chroma * rich + _breath(lightness, chroma, lift), hue)
    return mix(shade, PAPER, fade) if fade else shade


def _breath(lightness: float, chroma: float, lift: float) -> float:
    """Near-whites get a breath of colour in the shade, or they look dirty."""
    if chroma >= 0.03 or lift >= 0 or lightness <= 0.7:
        return 0.0
    return 0.010 * min(1.0, -lift / 0.3)


@lru_cache(maxsize=1024)
def _oklch(colour: str) -> tuple[float, float, float]:
    from coloraide import Color

    try:
        lightness, chroma, hue = Color(colour).convert("oklch").coords()
    except ValueError:
        raise DrawingError(
            f'"{colour}" is not a colour.', 'Write a shade as "#rrggbb", "#f0705a" for coral.'
        ) from None
    # A grey has no hue of its own, and white latex is lit by a warm room.
    grey = hue != hue or (chroma < 0.012 and lightness > 0.93)
    return float(lightness), float(chroma), 78.0 if grey else float(hue)


def _hex(lightness: float, chroma: float, hue: float) -> str:
    from coloraide import Color

    colour = Color("oklch", [min(max(lightness, 0.0), 1.0), max(chroma, 0.0), hue])
    return str(colour.convert("srgb").fit("srgb", method="clip").to_string(hex=True))


@lru_cache(maxsize=4096)
def mix(first: str, second: str, share: float) -> str:
    """`share` of the second colour in the first, mixed in sRGB as a printer's tint would be."""
    a = [int(first[k : k + 2], 16) for k in (1, 3, 5)]
    b = [int(second[k : k + 2], 16) for k in (1, 3, 5)]
    return "#" + "".join(f"{round(p + (q - p) * share):02x}" for p, q in zip(a, b, strict=True))


def stops(*rows: tuple[float, str] | tuple[float, str, float]) -> str:
    """Gradient stops (offset, colour[, opacity])."""
    out = []
    for row in rows:
        opacity = f' stop-opacity="{number(row[2], 3)}"' if len(row) == 3 else ""
        out.append(f'<stop offset="{number(row[0], 3)}" stop-color="{row[1]}"{opacity}/>')
    return "".join(out)


def radial(name: str, cx: float, cy: float, r: float, content: str, extra: str = "") -> str:
    """A radial gradient in the frame of whatever it fills."""
    return (
        f'<radialGradient id="{ref(name)}" gradientUnits="userSpaceOnUse" cx="{number(cx, 2)}" '
        f'cy="{number(cy, 2)}" r="{number(r)}"{extra}>{content}</radialGradient>'
    )


def linear(name: str, start: tuple[float, float], end: tuple[float, float], content: str) -> str:
    """A linear gradient in the frame of whatever it fills."""
    (x1, y1), (x2, y2) = start, end
    return (
        f'<linearGradient id="{ref(name)}" gradientUnits="userSpaceOnUse" x1="{number(x1)}" '
        f'y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}">{content}</linearGradient>'
    )


def key(shade: Shade, fade: bool) -> str:
    """Part of an id that stands for how a shade looks, not for its name."""
    inner = shade.inner[1:] if shade.inner else ""
    return f"{shade.finish[:2]}{shade.colour[1:].lower()}{inner.lower()}{'f' if fade else ''}"
