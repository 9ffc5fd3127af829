"""What is carried and what is built, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from markupsafe import Markup

from airwright import units
from airwright.desk.day.contexts import Floor, Line, Section
from airwright.desk.editing.builder import Evaluation
from airwright.papers.load_list.floor import placed_of, places_of, rows
from airwright.pictures.drawing import DrawingError, draw_floor_plan, to_svg
from airwright.pictures.drawing.floor_plan import near_ones
from airwright.plan.load import Item, groups_of
from airwright.plan.values import Plan
from airwright.store.tables import Tick

SCREEN_MM = (95.0, 125.0)


def sections(evaluation: Evaluation, ticks: Iterable[Tick]) -> tuple[Section, ...]:
    """Load list first, then the steps of each piece, then take-down."""
    plan = evaluation.plan
    if plan is None:
        return ()
    known = {tick.item: tick for tick in ticks}
    return (
        *(
            _section(f"Van: {title}", "load", lines, known)
            for title, lines in _load(plan, evaluation)
        ),
        *(_section(name, "build", lines, known) for name, lines in _building(plan)),
        _section("Take down", "strike", _strike(), known),
    )


def floor(evaluation: Evaluation) -> Floor | None:
    """The floor from above with its measures, if any piece has a spot."""
    plan = evaluation.plan
    places = places_of(plan) if plan is not None else ()
    if plan is None or not places:
        return None
    system = evaluation.studio.studio.units
    try:
        # Drawn for a hand's width, so that its figures can be read on a phone.
        near, off = near_ones(placed_of(plan), *SCREEN_MM)
        drawing = to_svg(draw_floor_plan(near, *SCREEN_MM, system=system))
    except DrawingError:
        drawing, off = "", ()
    return Floor(Markup(drawing), tuple(rows(places, system)), off)


def _section(
    title: str, kind: str, lines: list[tuple[str, str, str]], known: Mapping[str, Tick]
) -> Section:
    made = []
    for item, text, more in lines:
        tick = known.get(item)
        on = tick is not None and tick.ticked
        made.append(Line(item, text, more, on, tick.actor if tick is not None and on else ""))
    return Section(title, kind, tuple(made), sum(line.ticked for line in made))


def _load(plan: Plan, evaluation: Evaluation) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """What the load list says, group by group, so that paper and phone never differ."""
    system = evaluation.studio.studio.units
    return [
        (
            group.title[:1].lower() + group.title[1:],
            [
                (f"load:{item.name}"[:200], f"{_quantity(item, system)} {item.name}", _detail(item))
                for item in group.items
            ],
        )
        for group in groups_of(plan)
    ]


def _quantity(item: Item, system: units.System) -> str:
    if item.unit == "m":
        return units.show(item.quantity, units.LENGTH, system)
    if item.unit == "kg":
        return f"{units.show(item.quantity, units.MASS, system)} of"
    return f"{round(item.quantity):,} ×"


def _detail(item: Item) -> str:
    return "carried, or found and filled in on site" if item.ballast else item.detail


def _building(plan: Plan) -> list[tuple[str, list[tuple[str, str, str]]]]:
    blocks = []
    for piece in plan.in_scope:
        for number in range(1, min(piece.count, 12) + 1):
            name = piece.name if piece.count == 1 else f"{piece.name}, {number} of {piece.count}"
            lines = [
                (f"build:{piece.name}:{number}:{at}"[:200], step.title, step.text)
                for at, step in enumerate(piece.assembly.steps)
            ]
            blocks.append((name, lines))
    return blocks


def _strike() -> list[tuple[str, str, str]]:
    """Common practice; no balloon leaves the ground."""
    return [
        ("strike:photo", "Take a last photograph", "It sells the next job."),
        ("strike:pop", "Pop every balloon, none flies away", "Necks first, away from faces."),
        ("strike:pick", "Pick up every scrap", "Broken rubber chokes small children and animals."),
        ("strike:count", "Count poles, bases and weights back in", ""),
    ]
