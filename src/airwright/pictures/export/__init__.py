"""3D files of an Assembly for viewers, web pages and phones: GLB and USDZ."""

from airwright.pictures.export.errors import ExchangeError
from airwright.pictures.export.glb import to_glb
from airwright.pictures.export.usdz import to_usdz

__all__ = ["ExchangeError", "to_glb", "to_usdz"]
