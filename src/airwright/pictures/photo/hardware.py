"""Poles, bases, frames, ribbons, sleeves and weights of an assembly."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly, Fabric, HardwarePlaced, Shade, Strand
from airwright.decor.parts.foliage import LEAF
from airwright.pictures.hardware_colours import HARDWARE_COLOURS
from airwright.pictures.mesh import (
    Detail,
    Mesh,
    board,
    cylinder,
    fringe_sleeve,
    joined,
    leaf,
    lettering,
    modelling,
    plate,
    sleeve,
    strip,
    tablecloth,
    tube,
)
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.materials import (
    balloon_material,
    guide_colour,
    metal,
    painted,
    satin,
)
from airwright.pictures.photo.parts import Part
from airwright.pictures.printed import BOARDS, middle_of, printed_ink, triangles_of, words_on
from airwright.pictures.tables import TABLE

Floats = NDArray[np.float64]

THINNEST_M = 0.0022
"""Lines thinner than this would vanish between the pixels."""
INK_M = 0.001
"""Print lies so far before its board."""
CLEAR_LINE = 0.45
"""Brightness of clear cord, of its colour. By eye."""
UNSEEN = ("band", "tool", "anchor")
"""Uses too small, or not on site, to be seen."""
INFLATED_FROM_M = 0.015
"""A strand of a modelling balloon thicker than this is inflated; thinner, it is a flat tie."""


def fixtures(assembly: Assembly, detail: Detail) -> list[Part]:
    """Everything that is no balloon."""
    parts = []
    for number, item in enumerate(assembly.hardware):
        made = _hardware(item, detail)
        if made is not None:
            mesh, material, smooth = made
            tone = np.full(3, 0.6) if item.shade is None else guide_colour(item.shade)
            parts.append(Part(f"hardware{number}", mesh, material, tone, smooth=smooth))
        parts += _print(item, number)
    parts += _leaves(assembly)
    for number, strand in enumerate(assembly.strands):
        if strand.name == LEAF:
            continue
        thread = _strand(strand, detail)
        if thread is not None:
            colour = guide_colour(strand.shade)
            parts.append(Part(f"strand{number}", thread, _strand_material(strand), colour))
    for number, fabric in enumerate(assembly.fabrics):
        colour = guide_colour(fabric.shade)
        parts.append(Part(f"fabric{number}", _fabric(fabric), _fabric_material(fabric), colour))
    return parts


def _print(item: HardwarePlaced, number: int) -> list[Part]:
    """The words on a board."""
    shapes = words_on(item)
    if not shapes or item.shade is None:
        return []
    ink = shade_linear(printed_ink(item.shade.colour))
    corners = np.concatenate([triangles_of(shape) for shape in shapes])
    mesh = lettering(corners, middle_of(item) - np.array([0.0, INK_M, 0.0]))
    return [Part(f"print{number}", mesh, painted(ink, 0.5), ink, smooth=False)]


def _leaves(assembly: Assembly) -> list[Part]:
    """All leaves of one shade as one part."""
    by_shade: dict[Shade, list[Mesh]] = {}
    for strand in assembly.strands:
        if strand.name == LEAF:
            midrib = np.asarray(strand.path, dtype=float)
            by_shade.setdefault(strand.shade, []).append(leaf(midrib, strand.diameter_m))
    return [
        Part(
            f"leaves{number}",
            joined(meshes),
            painted(shade_linear(shade.colour), 0.4),
            guide_colour(shade),
        )
        for number, (shade, meshes) in enumerate(by_shade.items())
    ]


def _hardware(part: HardwarePlaced, detail: Detail) -> tuple[Mesh, dict[str, Any], bool] | None:
    if part.use in UNSEEN or not part.path:
        return None
    path = np.asarray(part.path, dtype=float).reshape(-1, 3)
    material = _hardware_material(part)
    if part.use in ("base", "stand", "weight", "cylinder") and part.height_m > 0 and len(path) == 1:
        return _block(part, path[0]), material, part.use in ("weight", "cylinder")
    if part.use == TABLE:
        return tablecloth(part.diameter_m, part.height_m).placed(_at(path[0])), material, True
    if part.use in BOARDS:
        return board(path, max(part.diameter_m, THINNEST_M)), material, False
    if part.use == "frame" and part.height_m > 0 and len(path) > 2:
        return strip(path, max(part.diameter_m, THINNEST_M), part.height_m), material, False
    if len(path) > 1 and float(np.ptp(path, axis=0).max()) > 1e-6:
        across = max(part.diameter_m, THINNEST_M)
        return tube(path, across, detail.sides), material, True
    return None


def _block(part: HardwarePlaced, at: Floats) -> Mesh:
    across, height = max(part.diameter_m, 0.02), max(part.height_m, 0.004)
    if part.use in ("weight", "cylinder"):
        mesh = cylinder(across / 2, height)
    else:
        mesh = plate(across, across, height, corner=across / 2.02)
    return mesh.placed(_at(at))


def _at(place: Floats) -> Floats:
    matrix = np.eye(4)
    matrix[:3, 3] = place
    return matrix


def _hardware_material(part: HardwarePlaced) -> dict[str, Any]:
    if part.shade is not None:
        return painted(shade_linear(part.shade.colour), 0.45)
    if part.use == TABLE:
        return painted(shade_linear(HARDWARE_COLOURS[TABLE]), 0.8)
    if part.use in ("pole", "stand"):
        return metal(0.78, 0.3)
    if part.use == "base":
        return painted(shade_linear("#4a4b4e"), 0.35)
    if part.use in ("weight", "cylinder"):
        return metal(0.70, 0.35)
    if part.use in ("line", "net"):
        return painted(shade_linear("#e9e9e4"), 0.6)
    return painted(shade_linear("#d8d8d6"), 0.4)


def _strand(strand: Strand, detail: Detail) -> Mesh | None:
    path = np.asarray(strand.path, dtype=float).reshape(-1, 3)
    if len(path) < 2 or strand.length_m < 1e-6:
        return None
    if strand.stock_size is not None and strand.diameter_m > INFLATED_FROM_M:
        if np.linalg.norm(path[0] - path[-1]) > 1.2 * strand.diameter_m:
            return modelling(path, strand.diameter_m, detail)
        return tube(path, strand.diameter_m, detail.sides, round_ends=True)
    return tube(path, max(strand.diameter_m, THINNEST_M), detail.sides, round_ends=True)


def _strand_material(strand: Strand) -> dict[str, Any]:
    if strand.stock_size is None:
        clear = strand.shade.finish == "clear"  # a thin clear line shows as its dark edges do
        return painted((CLEAR_LINE if clear else 1.0) * shade_linear(strand.shade.colour), 0.25)
    return balloon_material(strand.shade)


def _fabric(fabric: Fabric) -> Mesh:
    if fabric.material == "fringe":
        mesh = fringe_sleeve(
            fabric.radius_m,
            fabric.bottom_m,
            fabric.top_m,
            max(1, fabric.layers),
            drop_m=fabric.drop_m,
        )
    else:
        mesh = sleeve(fabric.radius_m, fabric.bottom_m, fabric.top_m)
    matrix = np.eye(4)
    matrix[:2, 3] = fabric.at
    return mesh.placed(matrix)


def _fabric_material(fabric: Fabric) -> dict[str, Any]:
    colour = shade_linear(fabric.shade.colour)
    if fabric.material == "fringe":
        # foil fringe glitters whatever its colour; a matte one is satin, so that strands part
        return satin(colour, 0.4 if fabric.shade.finish == "matte" else 0.75)
    return painted(colour, 0.8)
