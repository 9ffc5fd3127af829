"""Photographs of decor that does not exist yet.

`photograph` makes one, `save_png` writes it, `PhotoCache` keeps it until what it shows changes.
"""

from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.errors import PhotoCancelledError, PhotoError
from airwright.pictures.photo.photograph import Photo, photograph, save_png
from airwright.pictures.photo.places import PLACES, Place, place_named
from airwright.pictures.photo.quality import QUALITIES, Quality, quality_named

__all__ = [
    "PLACES",
    "QUALITIES",
    "Camera",
    "Photo",
    "PhotoCancelledError",
    "PhotoError",
    "Place",
    "Quality",
    "photograph",
    "place_named",
    "quality_named",
    "save_png",
]
