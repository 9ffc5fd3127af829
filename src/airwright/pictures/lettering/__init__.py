"""Lettering for balloons: text as outlines, laid out for the curve, as files for a cutter.

layout      shapes as they are seen → shapes as they are cut, and how far film may go
cut_files   SVG, DXF and PDF at true scale
"""

from airwright.decor.glyphs import FontRefused, Letter, letters_of, read_font
from airwright.pictures.lettering.cut_files import (
    dxf_file,
    pdf_page,
    placing_file,
    sheet_of,
    svg_file,
)
from airwright.pictures.lettering.layout import Lettering, LetteringRefused, lay_out

__all__ = [
    "FontRefused",
    "Letter",
    "Lettering",
    "LetteringRefused",
    "dxf_file",
    "lay_out",
    "letters_of",
    "pdf_page",
    "placing_file",
    "read_font",
    "sheet_of",
    "svg_file",
]
