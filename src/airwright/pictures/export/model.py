"""A piece as shared meshes and the places they stand in, before any file format."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Assembly, Floats, HardwarePlaced, Shade, Stock, Strand
from airwright.decor.parts.foliage import LEAF
from airwright.pictures.export.errors import ExchangeError
from airwright.pictures.export.materials import (
    HARDWARE,
    Material,
    material_of_hardware,
    material_of_shade,
)
from airwright.pictures.mesh import (
    DRAFT,
    WEB,
    Contact,
    Detail,
    Mesh,
    board,
    cylinder,
    decal,
    dots,
    foil_balloon,
    fringe_sleeve,
    leaf,
    lettering,
    modelling,
    plain_balloon,
    plate,
    pressed,
    round_balloon,
    sleeve,
    strip,
    tablecloth,
    tube,
)
from airwright.pictures.mesh.foil import OutlineError
from airwright.pictures.mesh.mesh import joined
from airwright.pictures.printed import (
    BOARDS,
    ink_for,
    is_dots,
    middle_of,
    printed_ink,
    triangles_of,
    words_on,
    words_on_balloon,
)
from airwright.pictures.shaped import FREE, Shaped, shaped
from airwright.pictures.tables import TABLE

MOST_TRIANGLES = 70_000
"""All balloons of a piece together have no more, so that a phone can turn it; the rest of what a
piece may hold, some 30,000, is for hardware, strands and sleeves."""
LEVELS = ((32, 32), (24, 20), (14, 16), (10, 12), (8, 10), (6, 8), (4, 6), (3, 5))
"""Points from neck to crown and sides of a balloon's mesh, finest first."""
MOST_PRESSED = 700
"""Pieces of more balloons share full balls, which meet in a crease: pressed, each would need a
mesh of its own, and the file would grow beyond what a phone loads at once."""
ROUNDING = 48
"""Steps per unit to which contact planes are rounded for sharing a mesh."""
INNER = 0.93
"""Size of a balloon inside a clear one."""
TIGHTNESS_STEP = 0.02
"""Degrees of inflation closer than this share one mesh."""
STRAND_SIDES = 6
MOST_STRAND_POINTS = 120
CLOTH_SIDES, CLOTH_ROWS = 90, 5
FILM = 0.012
"""Print lies so far before a balloon's coarse mesh [radii]."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """One thing in its place: which mesh and material, where, and its name.

    `rotation (3, 3)`, `position (3,)` [m] and `size` put the mesh into the assembly's axes.
    """

    name: str
    mesh: int
    material: int
    position: Floats
    rotation: Floats
    size: float


@dataclass(eq=False)
class Model:
    """Meshes, materials and the parts made of them."""

    name: str
    meshes: list[Mesh] = field(default_factory=list)
    mesh_names: list[str] = field(default_factory=list)
    materials: list[Material] = field(default_factory=list)
    parts: list[Part] = field(default_factory=list)
    _known: dict[object, int] = field(default_factory=dict)

    def mesh(self, key: object, name: str, make: Callable[[], Mesh]) -> int:
        """Index of the mesh of a key, made when first asked for."""
        if key not in self._known:
            self._known[key] = len(self.meshes)
            self.meshes.append(make())
            self.mesh_names.append(name)
        return self._known[key]

    def material(self, material: Material) -> int:
        """Index of a material, added when first asked for."""
        if material not in self.materials:
            self.materials.append(material)
        return self.materials.index(material)

    def fixed(
        self, name: str, mesh: int, material: Material, position: Floats | None = None
    ) -> None:
        """Add a part whose mesh is already as large and turned as it should be."""
        at = np.zeros(3) if position is None else position
        self.parts.append(Part(name, mesh, self.material(material), at, np.eye(3), 1.0))


def model_of(assembly: Assembly) -> Model:
    """Everything of a piece as meshes in places.

    Raises:
        ExchangeError: a number that is none, a size below 0, or an index outside its table.
    """
    _check(assembly)
    model = Model(assembly.name)
    level = level_of(len(assembly))
    looks = shaped(assembly, alike=True)
    for row in range(len(assembly)):
        _balloon(model, assembly, row, looks, level)
    for part in assembly.hardware:
        _hardware(model, part)
    for strand in assembly.strands:
        _strand(model, strand)
    _leaves(model, assembly)
    for fabric in assembly.fabrics:
        if fabric.top_m <= fabric.bottom_m or fabric.radius_m <= 0:
            continue
        make = _fabric_maker(fabric.material, fabric.radius_m, fabric.bottom_m, fabric.top_m)
        mesh = model.mesh(("fabric", len(model.meshes)), fabric.material, make)
        material = replace(material_of_shade(fabric.shade), two_sided=True)
        at = np.array([*fabric.at, 0.0])
        model.fixed(f"{fabric.material} sleeve, {fabric.shade.name}", mesh, material, at)
    return model


def level_of(count: int) -> tuple[int, int]:
    """The finest of LEVELS with which so many balloons stay within MOST_TRIANGLES."""
    for rows, sides in LEVELS:
        if 2 * sides * (rows - 1) * count <= MOST_TRIANGLES:
            return rows, sides
    return LEVELS[-1]


def _check(assembly: Assembly) -> None:
    for label in ("centre", "radius", "axis"):
        if not np.isfinite(getattr(assembly, label)).all():
            raise ExchangeError(
                f'"{assembly.name}" holds a balloon without {label}: it is not a number.',
                "Build the piece again before writing it.",
            )
    if (assembly.radius < 0).any():
        raise ExchangeError(
            f'"{assembly.name}" holds a balloon of negative size.', "Inflate it to more than 0."
        )
    for label, table in (("stock", assembly.stocks), ("shade", assembly.shades)):
        index = getattr(assembly, label)
        if len(index) and not (index.min() >= 0 and index.max() < len(table)):
            raise ExchangeError(
                f'A balloon of "{assembly.name}" points to a {label} that is not listed.',
                f"List every {label} the piece uses.",
            )


# ---- balloons ----------------------------------------------------------------------------------


def _balloon(
    model: Model, assembly: Assembly, row: int, looks: Shaped, level: tuple[int, int]
) -> None:
    stock = assembly.stocks[assembly.stock[row]]
    shade = assembly.shades[assembly.shade[row]]
    radius, frame = float(looks.radius[row]), looks.frame[row]
    if radius <= 0.0 or (stock.family is Family.MODELLING and stock.length_m <= 0.0):
        return
    layer = int(assembly.layer[row])
    where = f", layer {layer + 1}" if layer >= 0 else ""
    name = f"{stock.size} {shade.name}{where} ({row})"
    contact = looks.contact[row] if len(assembly) <= MOST_PRESSED else FREE
    mesh = _mesh_of(model, stock, contact, level)
    material = material_of_shade(shade, foil=stock.family is Family.FOIL)
    centre = np.asarray(assembly.centre[row])
    model.parts.append(Part(name, mesh, model.material(material), centre, frame, radius))
    _print(model, stock, shade, mesh, (name, centre, frame, radius))
    inner = _inner(assembly, shade)
    if inner is not None:
        inside = Part(f"{name} inner", mesh, model.material(inner), centre, frame, INNER * radius)
        model.parts.append(inside)


def _print(
    model: Model, stock: Stock, shade: Shade, skin: int, place: tuple[str, Floats, Floats, float]
) -> None:
    """What is printed on a balloon, as film on its skin."""
    mark = stock.mark or ""
    if not mark.strip() or (is_dots(mark) and stock.family is Family.FOIL):
        return
    shapes = words_on_balloon(mark)
    if not shapes and not is_dots(mark):
        return
    name, centre, frame, radius = place

    def made() -> Mesh:
        if is_dots(mark):
            return dots(model.meshes[skin], FILM)
        corners = np.concatenate([triangles_of(shape) for shape in shapes])
        return decal(corners, model.meshes[skin], FILM)

    film = model.mesh(("print", mark, skin), mark, made)
    ink = ink_for(shade)
    material = model.material(material_of_shade(Shade(ink, ink)))
    model.parts.append(Part(f"{name}: {mark}", film, material, centre, frame, radius))


def _mesh_of(model: Model, stock: Stock, contact: Contact, level: tuple[int, int]) -> int:
    detail = DRAFT if level in LEVELS[:2] else WEB
    if stock.family is Family.FOIL:
        outline = stock.outline or "round"
        return model.mesh(("foil", outline), f"foil {outline}", lambda: _foil(outline, detail))
    if stock.family is Family.MODELLING:
        half = max(stock.length_m / stock.inflated_m - 1.0, 0.2)
        path = [(0.0, 0.0, -half), (0.0, 0.0, half)]
        key = ("modelling", round(half, 2))
        return model.mesh(key, stock.size, lambda: modelling(path, 2.0, detail))
    tight = stock.inflated_m / stock.nominal_m if stock.nominal_m > 0 else 1.0
    tight = min(max(round(tight / TIGHTNESS_STEP) * TIGHTNESS_STEP, 0.2), 1.2)
    planes = contact.signature(ROUNDING) if len(contact.height) else ()
    return model.mesh(
        ("round", tight, planes), f"balloon {tight:.2f}", lambda: _latex(tight, contact, level)
    )


def _latex(tight: float, contact: Contact, level: tuple[int, int]) -> Mesh:
    rows, sides = level
    full = Detail("file", rows, sides, sides, 0)
    mesh = round_balloon(tight, full) if rows >= 24 else plain_balloon(tight, rows, sides)
    return pressed(mesh, contact) if len(contact.height) else mesh


def _foil(outline: str, detail: Detail) -> Mesh:
    try:
        return foil_balloon(outline, detail)
    except OutlineError:
        return foil_balloon("round", detail)


def _inner(assembly: Assembly, shade: Shade) -> Material | None:
    """The material of the balloon inside a clear one, None where no colour is known."""
    if shade.inner is None:
        return None
    if shade.inner.startswith("#"):
        return material_of_shade(Shade(shade.inner, shade.inner))
    for known in assembly.shades:
        if known.name == shade.inner:
            return material_of_shade(known)
    stocked = default_catalog().shades.get(shade.inner)
    if stocked is None:
        return None
    return material_of_shade(Shade(stocked.name, stocked.colour, stocked.finish))


# ---- everything else ---------------------------------------------------------------------------


def _hardware(model: Model, part: HardwarePlaced) -> None:
    if not part.path:
        return
    material = material_of_hardware(part.use)
    first = np.asarray(part.path[0], dtype=np.float64)
    if part.use in HARDWARE.standing:
        across, high = max(part.diameter_m, 0.01), max(part.height_m, 0.004)
        square = part.use in HARDWARE.square
        key = (
            part.use if part.use == TABLE else "plate" if square else "drum",
            round(across, 4),
            round(high, 4),
        )
        mesh = model.mesh(
            key,
            part.item,
            lambda: _standing(part.use, across, high, square=square),
        )
        model.fixed(part.item, mesh, material, first)
    elif part.use == "frame" and part.height_m > 0 and len(part.path) > 2:
        band = np.asarray(part.path, dtype=np.float64) - first
        mesh = model.mesh(
            ("strip", len(model.meshes)),
            part.item,
            lambda: strip(band, part.diameter_m, part.height_m),
        )
        model.fixed(part.item, mesh, material, first)
    elif part.use in BOARDS:
        _board(model, part)
    elif len(part.path) > 1:
        _tube(model, part.item, part.path, part.diameter_m or 0.004, material, sides=10)


def _standing(use: str, across: float, high: float, *, square: bool) -> Mesh:
    if use == TABLE:
        return tablecloth(across, high, CLOTH_SIDES, CLOTH_ROWS)
    return plate(across, across, high) if square else cylinder(across / 2, high)


def _board(model: Model, part: HardwarePlaced) -> None:
    """A flat board and the words on it."""
    shade = part.shade or Shade("board", "#ffffff")
    face = np.asarray(part.path, dtype=np.float64)
    origin = middle_of(part)
    mesh = model.mesh(
        ("board", len(model.meshes)), part.item, lambda: board(face - origin, part.diameter_m)
    )
    model.fixed(part.item, mesh, material_of_shade(shade), origin)
    shapes = words_on(part)
    if shapes:
        corners = np.concatenate([triangles_of(shape) for shape in shapes])
        ink = printed_ink(shade.colour)
        words = model.mesh(
            ("words", len(model.meshes)), part.text, lambda: lettering(corners, np.zeros(3))
        )
        front = origin - np.array([0.0, 0.001, 0.0])
        model.fixed(part.text, words, material_of_shade(Shade(ink, ink)), front)


def _strand(model: Model, strand: Strand) -> None:
    if len(strand.path) > 1 and strand.name != LEAF:
        name = f"{strand.name}, {strand.shade.name}"
        material = material_of_shade(strand.shade)
        _tube(model, name, strand.path, strand.diameter_m, material, sides=STRAND_SIDES)


def _leaves(model: Model, assembly: Assembly) -> None:
    """All leaves of one shade as one mesh."""
    by_shade: dict[Shade, list[Mesh]] = {}
    for strand in assembly.strands:
        if strand.name == LEAF:
            midrib = np.asarray(strand.path, dtype=np.float64)
            by_shade.setdefault(strand.shade, []).append(leaf(midrib, strand.diameter_m))
    for shade, meshes in by_shade.items():
        name = f"leaves, {shade.name}"
        mesh = model.mesh(("leaves", shade), name, partial(joined, meshes))
        model.fixed(name, mesh, material_of_shade(shade), np.zeros(3))


def _tube(
    model: Model,
    name: str,
    path: tuple[tuple[float, float, float], ...],
    diameter: float,
    material: Material,
    *,
    sides: int,
) -> None:
    points = np.asarray(path, dtype=np.float64)
    if np.ptp(points, axis=0).max() < 1e-6:
        return
    points = points[
        np.linspace(0, len(points) - 1, min(len(points), MOST_STRAND_POINTS), dtype=int)
    ]
    start = points[0]
    mesh = model.mesh(
        ("tube", len(model.meshes)), name, lambda: tube(points - start, max(diameter, 5e-4), sides)
    )
    model.fixed(name, mesh, material, start)


def _fabric_maker(material: str, radius: float, bottom: float, top: float) -> Callable[[], Mesh]:
    if material == "fringe":
        return lambda: fringe_sleeve(radius, bottom, top, folds=2)
    return lambda: sleeve(radius, bottom, top, segments=96)
