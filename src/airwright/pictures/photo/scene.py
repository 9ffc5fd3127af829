"""The Assembly as the renderer's description: each kind of balloon meshed once, set many times.

A kind is one shape (family, tightness, outline, print, contact planes) in one shade. Memory
grows with kinds; a thousand balloons of an evenly packed piece share a few dozen meshes. In a
loose mix almost every balloon has its own neighbours: there the planes are rounded coarser,
and beyond MOST_KINDS balloons keep their full shape and simply meet in a sharp crease.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, Shade, Stock
from airwright.pictures.mesh import (
    Contact,
    Detail,
    Mesh,
    decal,
    dots,
    foil_balloon,
    pressed,
    round_balloon,
)
from airwright.pictures.mesh.foil import OutlineError
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.errors import PhotoError
from airwright.pictures.photo.hardware import fixtures
from airwright.pictures.photo.materials import balloon_material, guide_colour, painted
from airwright.pictures.photo.parts import Part
from airwright.pictures.printed import (
    ink_for,
    is_dots,
    triangles_of,
    words_on_balloon,
)
from airwright.pictures.shaped import shaped

Floats = NDArray[np.float64]

MOST_KINDS = 700
"""Most meshes pressed for their own neighbours; a fine one takes about 0.7 MB with its tree."""
ROUNDINGS = (24, 14, 9)
"""Steps per unit to which contact planes are rounded, finest first."""
CLEAR_COVER = 0.45
"""Share of what is behind a clear balloon that it takes away in a client's photo. By eye."""
FILM_DULL = 0.6
"""Roughness of lettering film: what shone would not be read. By eye."""
INNER_SIZE = 0.975
"""A balloon inside a clear one, against the outer one: it fills it all but for the skin."""


@dataclass(frozen=True, slots=True)
class Kind:
    """What balloons of one mesh and material share."""

    stock: Stock
    shade: Shade
    planes: tuple[tuple[int, ...], ...] = ()
    inner: bool = False


def decor(assembly: Assembly, detail: Detail) -> list[Part]:
    """Balloons, strands, fabric and hardware of an assembly, each mesh once."""
    return [*_balloons(assembly, detail), *fixtures(assembly, detail)]


def kinds_of(assembly: Assembly, pressing: list[Contact]) -> dict[Kind, list[int]]:
    """Rows of the assembly by kind, contact planes rounded so that kinds stay few."""
    table: dict[Kind, list[int]] = {}
    for steps in (*ROUNDINGS, 0):
        table = defaultdict(list)
        for row in range(len(assembly)):
            stock = assembly.stocks[assembly.stock[row]]
            shade = assembly.shades[assembly.shade[row]]
            planes = pressing[row].signature(steps) if steps and len(pressing[row].height) else ()
            table[Kind(stock, shade, planes)].append(row)
        if len(table) <= MOST_KINDS:
            break
    return dict(table)


def _balloons(assembly: Assembly, detail: Detail) -> list[Part]:
    if len(assembly) == 0:
        return []
    looks = shaped(assembly)
    pressing = list(looks.contact)
    matrices = np.tile(np.eye(4), (len(assembly), 1, 1))
    matrices[:, :3, :3] = looks.matrices
    matrices[:, :3, 3] = assembly.centre
    parts = []
    for number, (kind, rows) in enumerate(kinds_of(assembly, pressing).items()):
        if kind.stock.family is Family.MODELLING:
            continue  # its path is a strand
        contact = pressing[rows[0]] if kind.planes else None
        skins = _skins(assembly, kind, contact, detail)
        for layer, (mesh, material, shade) in enumerate(skins):
            parts.append(
                Part(
                    f"kind{number}_{layer}",
                    mesh,
                    material,
                    guide_colour(shade),
                    matrices[rows],
                    guiding=layer == len(skins) - 1,
                    opacity=CLEAR_COVER if shade.finish == "clear" else 1.0,
                )
            )
        if kind.stock.mark:
            parts += _print(kind, skins[0][0], f"print{number}", matrices[rows])
    return parts


def _print(kind: Kind, skin: Mesh, name: str, places: Floats) -> list[Part]:
    """What is printed on the balloons of a kind, as film on their skin."""
    mark = kind.stock.mark or ""
    ink = shade_linear(ink_for(kind.shade))
    if is_dots(mark):
        return [] if kind.stock.family is Family.FOIL else [_film(name, dots(skin), ink, places)]
    shapes = words_on_balloon(mark)
    if not shapes:
        return []
    corners = np.concatenate([triangles_of(shape) for shape in shapes])
    return [_film(name, decal(corners, skin), ink, places)]


def _film(name: str, mesh: Mesh, ink: Floats, places: Floats) -> Part:
    return Part(name, mesh, painted(ink, FILM_DULL), ink, places)


def _skins(
    assembly: Assembly, kind: Kind, contact: Contact | None, detail: Detail
) -> list[tuple[Mesh, dict[str, Any], Shade]]:
    """Mesh, material and shade of one balloon; two where one sits inside another."""
    stock, shade = kind.stock, kind.shade
    if stock.family is Family.FOIL:
        return [(_foil(stock, detail), balloon_material(shade, foil=True), shade)]
    tightness = float(np.clip(stock.inflated_m / stock.nominal_m, 0.25, 1.15))
    mesh = round_balloon(round(tightness, 3), detail)
    if contact is not None:
        mesh = pressed(mesh, contact)
    skins = [(mesh, balloon_material(shade), shade)]
    if shade.finish == "clear" and shade.inner is not None:
        core = np.diag([INNER_SIZE, INNER_SIZE, INNER_SIZE, 1.0])
        inner = _inner(assembly, shade)
        skins.append((mesh.placed(core), balloon_material(inner), inner))
    return skins


def _inner(assembly: Assembly, shade: Shade) -> Shade:
    """The shade inside a clear balloon: one of the assembly's, or a colour."""
    wanted = str(shade.inner)
    for other in assembly.shades:
        if other.name == wanted and other.name != shade.name:
            return other
    if wanted.startswith("#"):
        return Shade(wanted, wanted)
    raise PhotoError(
        "photo.inner-shade",
        f"The shade “{shade.name}” holds a shade “{wanted}” that is not listed.",
        f"Add “{wanted}” to the shades, or write a colour such as #1f7a7a.",
    )


def _foil(stock: Stock, detail: Detail) -> Mesh:
    name = (stock.outline or "round").strip()
    try:
        letter = name.split()[-1] if name.split()[0] in ("letter", "figure") else name
        return foil_balloon(letter, detail)
    except (OutlineError, IndexError) as error:
        raise PhotoError(
            "photo.outline",
            f"The foil “{stock.size}” has an outline that cannot be drawn: {error}.",
            "Use round, star, starburst, heart, or one letter or figure.",
        ) from error
