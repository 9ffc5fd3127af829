"""What is carried and what is built, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from markupsafe import Markup

from airwright import units
from airwright.desk.day.contexts import Floor, Line, Section
from airwright.desk.live.builder import Look
from airwright.papers.load_list.floor import placed_of, places_of, rows
from airwright.pictures.drawing import DrawingError, draw_floor_plan, to_svg
from airwright.plan.values import Need, Plan
from airwright.store.tables import Tick

SCREEN_MM = (95.0, 125.0)
ALWAYS = (
    "inflator and its lead",
    "scissors, tape, spare 260s",
    "ladder",
    "first-aid kit",
    "bags for the rubbish",
)
"""What goes along on every job (common practice)."""


def sections(look: Look, ticks: Iterable[Tick]) -> tuple[Section, ...]:
    """Load list first, then the steps of each piece, then take-down."""
    plan = look.plan
    if plan is None:
        return ()
    known = {tick.item: tick for tick in ticks}
    return (
        _section("Into the van", "load", _load(plan, look), known),
        *(_section(name, "build", lines, known) for name, lines in _building(plan)),
        _section("Take-down", "strike", _strike(), known),
    )


def floor(look: Look) -> Floor | None:
    """The floor from above with its measures, if any piece has a spot."""
    plan = look.plan
    places = places_of(plan) if plan is not None else ()
    if plan is None or not places:
        return None
    system = look.studio.studio.units
    try:
        # Drawn for a hand's width, so that its figures can be read on a phone.
        drawing = to_svg(draw_floor_plan(placed_of(plan), *SCREEN_MM, system=system))
    except DrawingError:
        drawing = ""
    return Floor(Markup(drawing), tuple(rows(places, system)))


def _section(
    title: str, kind: str, lines: list[tuple[str, str, str]], known: Mapping[str, Tick]
) -> Section:
    made = []
    for item, text, more in lines:
        tick = known.get(item)
        on = tick is not None and tick.ticked
        made.append(Line(item, text, more, on, tick.actor if tick is not None and on else ""))
    return Section(title, kind, tuple(made), sum(line.ticked for line in made))


def _load(plan: Plan, look: Look) -> list[tuple[str, str, str]]:
    system = look.studio.studio.units
    lines = []
    for need in plan.needs:
        name = need.item if need.shade is None else f"{need.item}, {need.shade}"
        lines.append((f"load:{name}"[:200], f"{_quantity(need, system)} {name}", _spare(need)))
    return [*lines, *((f"load:{item}", item[:1].upper() + item[1:], "") for item in ALWAYS)]


def _quantity(need: Need, system: units.System) -> str:
    if need.unit == "m":
        return units.show(need.total, units.LENGTH, system)
    if need.unit == "kg":
        return f"{units.show(need.total, units.MASS, system)} of"
    return f"{round(need.total):,} ×"


def _spare(need: Need) -> str:
    return f"{round(need.spare):,} of them spare" if need.spare >= 1 else ""


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
