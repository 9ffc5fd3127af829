"""How each balloon of an Assembly looks: its size by hand, its turn, where it is pressed flat.

Shared by photographs and 3D files. Rows are those of the Assembly.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from airwright.catalog import Family
from airwright.decor.assembly import Assembly
from airwright.pictures.mesh import Contact, by_hand, contacts, roll_frame, swollen
from airwright.pictures.mesh.hand import SIZE_SPREAD

Floats = NDArray[np.float64]

LOOSE_M = 0.0015
"""Overlaps below this are not pressed flat [m]."""
FREE = Contact(np.zeros((0, 3)), np.zeros(0))


@dataclass(frozen=True, slots=True, eq=False)
class Shaped:
    """The balloons of an assembly as they are seen.

    Attributes:
        radius: (N,) [m].
        frame: (N, 3, 3) rotations from a balloon's own axes to the scene's.
        contact: N contact planes, each in its balloon's own axes and radii.
    """

    radius: Floats
    frame: Floats
    contact: tuple[Contact, ...]

    @property
    def matrices(self) -> Floats:
        """(N, 3, 3) turn and size of a unit mesh."""
        return self.frame * self.radius[:, None, None]


def shaped(assembly: Assembly, *, alike: bool = False) -> Shaped:
    """Size, turn and contact planes of every balloon; foils and long ones stay as packed.

    With `alike` balloons of the same neighbours stay equal and can share a mesh: none leans, and
    hands only ever make one smaller, by which its patches draw back from its neighbours'.
    """
    count = len(assembly)
    if count == 0:
        return Shaped(np.zeros(0), np.zeros((0, 3, 3)), ())
    soft = _of(assembly, Family.ROUND, Family.LINK)
    printed = np.array([assembly.stocks[s].mark is not None for s in assembly.stock], dtype=bool)
    axis, radius = np.array(assembly.axis, dtype=float), np.array(assembly.radius, dtype=float)
    rows = np.flatnonzero(soft)
    leaning, sized = by_hand(axis, radius)
    if not alike:
        axis[rows], radius[rows] = leaning[rows], sized[rows]
    radius[rows] = swollen(assembly.centre[rows], radius[rows])
    shown = printed | _of(assembly, Family.FOIL)
    rolled = _rolled(assembly.centre, radius, axis, rows)
    frame = np.where(shown[:, None, None], roll_frame(axis), rolled)
    contact = tuple(_planes(assembly.centre, radius, frame, rows))
    if alike:
        smaller = (sized / assembly.radius - SIZE_SPREAD - 1.0) / 2.0  # 0 to -2 %
        radius[rows] *= 1.0 + smaller[rows]
    return Shaped(radius, frame, contact)


def _of(assembly: Assembly, *families: Family) -> NDArray[np.bool_]:
    held = np.array([stock.family in families for stock in assembly.stocks], dtype=bool)
    return np.asarray(held[assembly.stock])


def _planes(centre: Floats, radius: Floats, frame: Floats, rows: NDArray[np.intp]) -> list[Contact]:
    """Contact planes of the soft balloons, with each other and with the floor."""
    found = contacts(centre[rows], radius[rows], frame[rows], loose_m=LOOSE_M)
    result = [FREE] * len(radius)
    for row, contact in zip(rows, found, strict=True):
        result[row] = contact.on_floor(frame[row], centre[row, 2] / radius[row])
    return result


def _rolled(centre: Floats, radius: Floats, axis: Floats, rows: NDArray[np.intp]) -> Floats:
    """(N, 3, 3) frames with the neighbour that presses deepest on the +y side.

    A balloon rolled so sees its neighbours alike wherever in the piece it sits, also round the
    bend of an arch, and shares its mesh with others.
    """
    frame = upright_frame(axis)
    for row, contact in enumerate(_planes(centre, radius, frame, rows)):
        across = contact.direction[:, :2]
        aside = np.linalg.norm(across, axis=1) > 0.3
        if aside.any():
            x, y = across[aside][_leading(contact.height[aside], across[aside])]
            c, s = y / np.hypot(x, y), x / np.hypot(x, y)
            frame[row] = frame[row] @ np.array([[c, s, 0], [-s, c, 0], [0, 0, 1.0]])
    return frame


def _leading(height: Floats, across: Floats) -> int:
    """Index of the deepest plane; among equals the one after the widest gap going round."""
    near = np.flatnonzero(height < height.min() + 0.02)
    angle = np.arctan2(across[:, 1], across[:, 0])
    order = near[np.argsort(angle[near])]
    gaps = np.diff(np.append(angle[order], angle[order[0]] + 2 * np.pi))
    return int(np.roll(order, -1)[np.argmax(np.round(gaps, 2))])


def upright_frame(axis: Floats) -> Floats:
    """(N, 3, 3) rotations taking +z to each axis with +y as near to straight up as can be."""
    axis = axis / np.maximum(np.linalg.norm(axis, axis=1, keepdims=True), 1e-12)
    up = np.array([0.0, 0.0, 1.0]) - axis * axis[:, 2:3]
    other = np.array([0.0, 1.0, 0.0]) - axis * axis[:, 1:2]
    y = np.where(np.linalg.norm(up, axis=1, keepdims=True) < 0.05, other, up)
    y = y / np.linalg.norm(y, axis=1, keepdims=True)
    return np.stack([np.cross(y, axis), y, axis], axis=-1)
