"""What balloons and hardware are made of: a shade and its finish as a light-scattering surface.

Latex is a thin skin: most light is thrown back under a gloss, some comes through into the
balloon and out again, which is what makes a balloon glow where a painted ball would not.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Shade
from airwright.pictures.photo.colour import shade_linear
from airwright.pictures.photo.errors import PhotoError

Floats = NDArray[np.float64]
Material = dict[str, Any]

GLOW = 0.16
"""Share of the light falling on a latex balloon that passes its skin. From memory, by eye."""
CHROME_MIRROR = 0.62
"""Share of the light that metallic latex mirrors. From memory, by eye."""
FOIL_ROUGHNESS = 0.17
CLEAR_HAZE = 0.035
"""Milkiness of clear latex. From memory, by eye."""
FINISHES = ("matte", "pearl", "metallic", "clear")


def rgb(colour: Floats) -> dict[str, Any]:
    """A linear colour as the renderer writes it."""
    return {"type": "rgb", "value": [float(max(v, 0.0)) for v in colour]}


def picture(pixels: Floats) -> dict[str, Any]:
    """Linear (H, W, 3) texels as a texture."""
    from airwright.pictures.photo.render import renderer

    bitmap = renderer().Bitmap(np.ascontiguousarray(pixels, dtype=np.float32))
    return {"type": "bitmap", "bitmap": bitmap, "raw": True, "filter_type": "bilinear"}


def balloon_material(shade: Shade, *, foil: bool = False) -> Material:
    """Surface of a balloon in a shade.

    PhotoError for a finish that is none of matte, pearl, metallic, clear.
    """
    if shade.finish not in FINISHES:
        raise PhotoError(
            "photo.finish",
            f"The shade “{shade.name}” has a finish “{shade.finish}” that cannot be photographed.",
            f"Use one of {', '.join(FINISHES)}.",
        )
    colour = shade_linear(shade.colour)
    if shade.finish == "metallic" or (foil and shade.finish != "matte"):
        return _mirror(colour, FOIL_ROUGHNESS) if foil else _chrome(colour)
    if shade.finish == "clear":
        return _clear(colour)
    if foil:
        return satin(colour, 0.65)
    return _latex(rgb(colour), pearl=shade.finish == "pearl")


def guide_colour(shade: Shade) -> Floats:
    """(3,) linear colour of a balloon as the denoiser is told; clear ones show what is behind."""
    return np.ones(3) if shade.finish == "clear" else shade_linear(shade.colour)


def matte_patch(colour: Floats) -> Material:
    """A flat matte card: plain diffuse, for calibration and for walls."""
    return _twosided({"type": "diffuse", "reflectance": rgb(colour)})


def _latex(base: dict[str, Any], *, pearl: bool) -> Material:
    if pearl:
        skin = {
            "type": "principled",
            "base_color": base,
            "metallic": 0.32,
            "roughness": 0.34,
            "specular": 0.5,
            "clearcoat": 0.7,
            "clearcoat_gloss": 0.93,
        }
    else:
        skin = {"type": "principled", "base_color": base, "roughness": 0.15, "specular": 0.5}
    through = {"type": "principledthin", "base_color": base, "diff_trans": 2.0, "roughness": 0.9}
    return {
        "type": "blendbsdf",
        "weight": GLOW * (0.6 if pearl else 1.0),
        "skin": _twosided(skin),
        "through": through,
    }


def _mirror(colour: Floats, roughness: float) -> Material:
    """Mirror film. A mirror of a dark shade still flashes white at a grazing angle."""
    return _twosided(
        {
            "type": "principled",
            "base_color": rgb(colour),
            "metallic": 1.0,
            "roughness": roughness,
            "specular": 0.5,
        }
    )


def _chrome(colour: Floats) -> Material:
    """Metallic latex: flakes in rubber throw part of the light about, the rest is mirrored."""
    return _twosided(
        {
            "type": "principled",
            "base_color": rgb(colour),
            "metallic": CHROME_MIRROR,
            "roughness": 0.25,
            "specular": 0.5,
        }
    )


def _clear(colour: Floats) -> Material:
    """Clear latex: tinted in passing, a little milky."""
    tint = np.clip(colour, 0.02, 1.0) ** 0.35
    return {
        "type": "blendbsdf",
        "weight": CLEAR_HAZE,
        "film": {
            "type": "thindielectric",
            "int_ior": 1.5,
            "specular_transmittance": rgb(tint),
        },
        "haze": {
            "type": "principledthin",
            "base_color": rgb(np.clip(colour, 0.0, 0.95)),
            "diff_trans": 1.2,
            "roughness": 0.5,
        },
    }


def metal(grey: float, roughness: float = 0.25) -> Material:
    """Bare metal of poles and frames."""
    return _twosided(
        {
            "type": "principled",
            "base_color": rgb(np.full(3, grey)),
            "metallic": 1.0,
            "roughness": roughness,
        }
    )


def satin(colour: Floats, metallic: float) -> Material:
    """Strips of film, thin and crinkled: part of their light is mirrored, part thrown about."""
    return _twosided(
        {
            "type": "principled",
            "base_color": rgb(colour),
            "metallic": metallic,
            "roughness": 0.3,
            "specular": 0.6,
        }
    )


def painted(colour: Floats, roughness: float = 0.4) -> Material:
    """Powder coat, plastic, lacquer."""
    return _twosided({"type": "principled", "base_color": rgb(colour), "roughness": roughness})


def _twosided(material: Material) -> Material:
    return {"type": "twosided", "side": material}
