"""pictures/: each piece and each option drawn and as 3D models."""

from airwright.papers.common.document import Audience
from airwright.papers.gallery.render import make

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "make"]
