"""safety-sheet.pdf: one page for the crew on weights, wind, fixing, ladder, cylinder, lifting."""

from airwright.papers.safety_sheet.model import SafetySheet, safety_sheet_of
from airwright.papers.safety_sheet.render import make, render

__all__ = ["SafetySheet", "make", "render", "safety_sheet_of"]
