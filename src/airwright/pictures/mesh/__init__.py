"""Unit meshes of everything a piece is made of, shared by the photograph and the 3D file.

Balloons are in units of half their inflated diameter, their widest circle round the origin,
the axis from neck to crown along +z; foils stand upright in the x-z plane and are thin along
y. A place in space is a 4 x 4 matrix (`placement`), so that a thousand balloons share one mesh.
"""

from airwright.pictures.mesh.contact import Contact, contacts, pressed
from airwright.pictures.mesh.decal import decal, dots
from airwright.pictures.mesh.detail import DRAFT, FINE, SCREEN, WEB, Detail
from airwright.pictures.mesh.fabric import fringe_sleeve, sleeve, tablecloth
from airwright.pictures.mesh.flat import board, leaf, lettering
from airwright.pictures.mesh.foil import (
    foil_balloon,
    foil_pillow,
    foil_tail,
    outline_named,
    outlines_of_text,
    tail_outline,
)
from airwright.pictures.mesh.hand import by_hand, swollen
from airwright.pictures.mesh.lathe import cylinder, disc, lathe, pear, plain_balloon, round_balloon
from airwright.pictures.mesh.mesh import Mesh, joined, normals_of
from airwright.pictures.mesh.place import placement, roll_frame
from airwright.pictures.mesh.strip import strip
from airwright.pictures.mesh.tube import modelling, plate, tube

__all__ = [
    "DRAFT",
    "FINE",
    "SCREEN",
    "WEB",
    "Contact",
    "Detail",
    "Mesh",
    "board",
    "by_hand",
    "contacts",
    "cylinder",
    "decal",
    "disc",
    "dots",
    "foil_balloon",
    "foil_pillow",
    "foil_tail",
    "fringe_sleeve",
    "joined",
    "lathe",
    "leaf",
    "lettering",
    "modelling",
    "normals_of",
    "outline_named",
    "outlines_of_text",
    "pear",
    "placement",
    "plain_balloon",
    "plate",
    "pressed",
    "roll_frame",
    "round_balloon",
    "sleeve",
    "strip",
    "swollen",
    "tablecloth",
    "tail_outline",
    "tube",
]
