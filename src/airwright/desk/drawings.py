"""Drawings of a job's decor from the front, for pages and lists."""

from __future__ import annotations

from collections.abc import Iterable

from airwright.decor.assembly import Assembly
from airwright.desk.editing.builder import BuiltPiece, Evaluation


def side_by_side(pieces: Iterable[BuiltPiece]) -> Assembly | None:
    """Pieces of a draft on one floor, one of each, as every picture of several shows them."""
    from airwright.pictures.drawing import Standing, arrange

    made = [
        Standing(piece.assembly, spec=piece.spec)
        for piece in pieces
        if piece.assembly is not None and len(piece.assembly)
    ]
    return arrange(made, name="All pieces") if made else None


def best_sight(evaluation: Evaluation) -> Assembly | None:
    """What says best what a job is: the option taken, else the dearest one."""
    from airwright.papers.photographs import option_scene

    plan = evaluation.shown
    if plan is None or not plan.options:
        return side_by_side(evaluation.pieces)
    taken = next((o for o in plan.options if o.name == plan.job.job.chosen), None)
    return option_scene(taken or max(plan.options, key=lambda o: o.money.price))


def svg(made: Assembly, prefix: str, *, person: bool = False) -> str:
    """A drawing from the front, to stand in a page."""
    from airwright.pictures.drawing import Options, draw, to_svg

    return to_svg(draw(made, "front", options=Options(person=person)), prefix=prefix)
