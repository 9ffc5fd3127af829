"""pictures/: each piece and each option as vector drawings, for everything else and for sharing."""

from airwright.papers.gallery.render import make

__all__ = ["make"]
