"""A job as its client may see it."""

from __future__ import annotations

from airwright.desk.client.contexts import Choice
from airwright.desk.design.views import option_scene, svg
from airwright.desk.editing.builder import Evaluation
from airwright.desk.pages import money


def choices(evaluation: Evaluation) -> tuple[Choice, ...]:
    """Every option with its picture and price."""
    if evaluation.plan is None:
        return ()
    found = []
    for at, option in enumerate(evaluation.plan.options):
        names = [piece.name for piece in option.pieces]
        scene = option_scene(evaluation.pieces, names)
        sums = option.money
        found.append(
            Choice(
                name=option.name,
                note=option.option.note,
                picture=svg(scene, f"c{at}-") if scene is not None else "",
                pieces=tuple((piece.name, piece.count) for piece in option.pieces),
                balloons=option.balloons,
                price=money(sums.price, sums.currency),
                total=money(sums.total, sums.currency),
                tax=evaluation.studio.pricing.tax_name if sums.tax else "",
            )
        )
    return tuple(found)
