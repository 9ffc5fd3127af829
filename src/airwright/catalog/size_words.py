"""A balloon's size in words: the catalogue writes "18in foil round", people "18in foil, round"."""

from __future__ import annotations

from airwright.language import Text, joined, message


def size_word(size: str) -> Text:
    """A catalogue size as its reader says it; a round balloon's stays as it is."""
    nominal, _, figure = size.partition(" foil ")
    if figure:
        return _foil(nominal, figure)
    nominal, _, link = size.partition(" link")
    if nominal != size and not link:
        return message("{size} link", size=nominal)
    return joined([size])


def _foil(nominal: str, figure: str) -> Text:
    words = {
        "round": message("{size} foil, round", size=nominal),
        "heart": message("{size} foil, heart", size=nominal),
        "star": message("{size} foil, star", size=nominal),
        "starburst": message("{size} foil, starburst", size=nominal),
    }
    return words.get(figure, message("{size} foil {figure}", size=nominal, figure=figure))
