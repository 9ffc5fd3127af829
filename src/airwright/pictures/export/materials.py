"""How shades and hardware look in a 3D viewer: metallic-roughness materials."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from airwright.decor.assembly import Shade
from airwright.pictures.export.errors import ExchangeError


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
    standing: tuple[str, ...] = ("base", "stand", "weight", "cylinder")
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
_HARDWARE: Final = {
    "pole": ("#d6d7d8", 0.8, 0.35),
    "frame": ("#bcbdbf", 0.8, 0.4),
    "base": ("#77787a", 0.6, 0.5),
    "stand": ("#8d8f92", 0.6, 0.5),
    "weight": ("#c9a227", 0.9, 0.3),
    "line": ("#c8c4bd", 0.0, 0.6),
    "ribbon": ("#e6e1d8", 0.1, 0.35),
}
_OTHER: Final = ("#9b9da0", 0.4, 0.5)


def linear(colour: str) -> tuple[float, float, float]:
    """ "#rrggbb" in linear light (IEC 61966-2-1)."""
    if not re.fullmatch(r"#[0-9a-fA-F]{6}", colour):
        raise ExchangeError(
            f'"{colour}" is not a colour.', 'Write a shade as "#rrggbb", "#f0705a" for coral.'
        )
    values = (int(colour[k : k + 2], 16) / 255.0 for k in (1, 3, 5))
    r, g, b = (v / 12.92 if v <= 0.04045 else ((v + 0.055) / 1.055) ** 2.4 for v in values)
    return r, g, b


def material_of_shade(shade: Shade, *, foil: bool = False) -> Material:
    """Material of a balloon, ribbon or sleeve of this shade."""
    metallic, roughness, opacity = _FINISH[shade.finish]
    if foil:
        metallic, roughness = max(metallic, 0.85), min(roughness, 0.25)
    name = f"{shade.name}, foil" if foil else shade.name
    return Material(name, linear(shade.colour), metallic, roughness, opacity)


def material_of_hardware(use: str) -> Material:
    """Material of a kind of hardware."""
    colour, metallic, roughness = _HARDWARE.get(use, _OTHER)
    return Material(use, linear(colour), metallic, roughness)
