"""pictures/: each piece and each option drawn and as 3D models."""

from airwright.papers.gallery.render import make

__all__ = ["make"]
