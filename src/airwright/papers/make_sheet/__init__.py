"""make-sheet.pdf: for the hands that make it, read at a work table with gloves on."""

from airwright.papers.common.document import Audience
from airwright.papers.make_sheet.model import MakeSheet, make_sheet_of
from airwright.papers.make_sheet.render import make, render

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "MakeSheet", "make", "make_sheet_of", "render"]
