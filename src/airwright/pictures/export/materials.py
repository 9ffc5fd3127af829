"""How shades and hardware look in a 3D viewer: metallic-roughness materials."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from airwright.decor.assembly import Shade
from airwright.physics.srgb import light_of_hex
from airwright.pictures.export.errors import ExchangeError
from airwright.pictures.hardware_colours import HARDWARE_COLOURS, OTHER_COLOUR


@dataclass(frozen=True, slots=True)
class Material:
    """A material.

    Attributes:
        name: what a viewer lists it as.
        colour: red, green, blue in linear light, 0 to 1.
        metallic, roughness: 0 to 1.
        opacity: below 1 shows what is behind.
        two_sided: seen from the inside too.
    """

    name: str
    colour: tuple[float, float, float]
    metallic: float
    roughness: float
    opacity: float = 1.0
    two_sided: bool = False


@dataclass(frozen=True, slots=True)
class _Hardware:
    standing: tuple[str, ...] = ("base", "stand", "weight", "cylinder", "table")
    square: tuple[str, ...] = ("base", "stand")


HARDWARE: Final = _Hardware()
"""Which uses of hardware stand on the floor as a plate or drum, and which plates are square."""

# metallic, roughness, opacity by finish; by eye against latex in a room
_FINISH: Final = {
    "matte": (0.0, 0.42, 1.0),
    "pearl": (0.25, 0.30, 1.0),
    "metallic": (1.0, 0.20, 1.0),
    "clear": (0.0, 0.08, 0.30),
}
_SURFACE: Final = {
    "pole": (0.8, 0.35),
    "frame": (0.8, 0.4),
    "base": (0.6, 0.5),
    "stand": (0.6, 0.5),
    "weight": (0.9, 0.3),
    "line": (0.0, 0.6),
    "ribbon": (0.1, 0.35),
    "table": (0.0, 0.8),
}
"""Metallic and roughness by what part a piece of hardware plays."""
_OTHER: Final = (0.4, 0.5)


FOIL_SATIN, FOIL_MIRROR = (0.65, 0.34), (0.95, 0.18)
"""Metallic and roughness of matte film and of any other. By eye."""


def linear(colour: str) -> tuple[float, float, float]:
    """ "#rrggbb" in linear light (IEC 61966-2-1)."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise ExchangeError(
            f'"{colour}" is not a colour.', 'Write a shade as "#rrggbb", "#f0705a" for coral.'
        )
    r, g, b = (float(part) for part in light_of_hex(colour))
    return r, g, b


def material_of_shade(shade: Shade, *, foil: bool = False) -> Material:
    """Material of a balloon, ribbon or sleeve of this shade."""
    metallic, roughness, opacity = _FINISH[shade.finish]
    if foil:
        metallic, roughness = FOIL_SATIN if shade.finish == "matte" else FOIL_MIRROR
    name = f"{shade.name}, foil" if foil else shade.name
    return Material(name, linear(shade.colour), metallic, roughness, opacity)


def material_of_hardware(use: str) -> Material:
    """Material of a kind of hardware."""
    metallic, roughness = _SURFACE.get(use, _OTHER)
    return Material(use, linear(HARDWARE_COLOURS.get(use, OTHER_COLOUR)), metallic, roughness)
