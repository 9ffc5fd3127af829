"""Small pictures look from where a piece is seen best."""

from __future__ import annotations

from airwright.pictures.drawing import View, best_look
from airwright.pictures.drawing.best_look import FROM_BELOW
from tests.decor.pieces.helpers import made


def test_a_ceiling_is_seen_from_below_and_all_else_from_the_front() -> None:
    assert best_look(made("ceiling")) is FROM_BELOW
    for kind in ("column", "hoop", "bouquet", "centrepiece", "cloud"):
        assert best_look(made(kind)) is View.FRONT
