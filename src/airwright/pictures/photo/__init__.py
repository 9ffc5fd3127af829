"""Photographs of decor that does not exist yet.

`photograph` makes one, `save_png` writes it, `PhotoCache` keeps it until what it shows changes.
"""

from airwright.pictures.photo.cache import PhotoCache, fingerprint
from airwright.pictures.photo.camera import Camera
from airwright.pictures.photo.errors import PhotoCancelledError, PhotoError
from airwright.pictures.photo.photograph import Photo, hangs, photograph, save_png
from airwright.pictures.photo.places import PLACES, Place, place_named
from airwright.pictures.photo.pose import view_of_heights, view_of_rectangle
from airwright.pictures.photo.quality import QUALITIES, Quality, quality_named
from airwright.pictures.photo.room import Room, RoomPhoto, photograph_in_room
from airwright.pictures.photo.room_light import FLOORS, LIGHTS, Light, sun_of_shadow
from airwright.pictures.photo.venue import Venue, read_venue
from airwright.pictures.photo.view import View

__all__ = [
    "FLOORS",
    "LIGHTS",
    "PLACES",
    "QUALITIES",
    "Camera",
    "Light",
    "Photo",
    "PhotoCache",
    "PhotoCancelledError",
    "PhotoError",
    "Place",
    "Quality",
    "Room",
    "RoomPhoto",
    "Venue",
    "View",
    "fingerprint",
    "hangs",
    "photograph",
    "photograph_in_room",
    "place_named",
    "quality_named",
    "read_venue",
    "save_png",
    "sun_of_shadow",
    "view_of_heights",
    "view_of_rectangle",
]
