"""safety-sheet.pdf: one page for the crew on weights, wind, fixing, ladder, cylinder, lifting."""

from airwright.papers.common.document import Audience
from airwright.papers.safety_sheet.model import SafetySheet, safety_sheet_of
from airwright.papers.safety_sheet.render import make, render

AUDIENCE = Audience.CREW

__all__ = ["AUDIENCE", "SafetySheet", "make", "render", "safety_sheet_of"]
