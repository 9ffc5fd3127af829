"""What is carried and what is built, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from markupsafe import Markup

from airwright import units
from airwright.decor.assembly import Assembly
from airwright.desk.access import Actor, Refused
from airwright.desk.day.contexts import FinishedPhoto, Floor, Line, OwnEntry, Section
from airwright.desk.editing.builder import Evaluation
from airwright.desk.editing.edits import EditError
from airwright.desk.pages import midway, money
from airwright.job.findings import Finding
from airwright.language import joined, message
from airwright.language.figures import said_hours
from airwright.papers.common.trade_words import item_word
from airwright.papers.load_list.floor import placed_of, places_of, rows
from airwright.papers.make_sheet.charts import has_chart
from airwright.papers.make_sheet.steps import step_look
from airwright.pictures.drawing import Drawing, DrawingError, draw_floor_plan, to_svg
from airwright.pictures.drawing.floor_plan import near_ones
from airwright.pictures.drawing.grids import is_grid
from airwright.plan.load import Item, groups_of
from airwright.plan.values import Plan
from airwright.store.errors import Missing
from airwright.store.files import FINISHED, Files
from airwright.store.tables import Actual, StoredFile, Tick
from airwright.store.types import new_id

SCREEN_MM = (95.0, 125.0)
MOST_COPIES = 12
"""Copies of a piece that are ticked one by one."""


def sections(evaluation: Evaluation, ticks: Iterable[Tick], at: str) -> tuple[Section, ...]:
    """Load list first, then the steps of each piece, then take-down.

    Args:
        evaluation: the job.
        ticks: what is done already.
        at: address below which the drawings of its steps are found.
    """
    plan = evaluation.plan
    if plan is None:
        return ()
    known = {tick.item: tick for tick in ticks}
    return (
        *(
            _section(message("Van: {title}", title=title), "load", lines, known)
            for title, lines in _load(plan, evaluation)
        ),
        *_building(plan, known, at),
        _section(message("Take down"), "strike", _strike(), known),
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
            midway(group.title),
            [
                (
                    f"load:{item.name}"[:200],
                    joined([_quantity(item, system), item_word(item.name)], " "),
                    _detail(item),
                )
                for item in group.items
            ],
        )
        for group in groups_of(plan)
    ]


def _quantity(item: Item, system: units.System) -> str:
    if item.unit == "m":
        return units.show(item.quantity, units.LENGTH, system)
    if item.unit == "kg":
        return message("{mass} of", mass=units.show(item.quantity, units.MASS, system))
    return message("{n} ×", n=round(item.quantity))


def _detail(item: Item) -> str:
    return message("carried, or found and filled in on site") if item.ballast else item.detail


def _building(plan: Plan, known: Mapping[str, Tick], at: str) -> Iterator[Section]:
    for piece in plan.in_scope:
        drawings = f"{at}/{index_of(piece.place)}"
        charted = has_chart(piece.assembly) or is_grid(piece.assembly)
        for number in range(1, min(piece.count, MOST_COPIES) + 1):
            name: str = piece.name
            if piece.count > 1:
                name = message("{name}, {n} of {count}", name=piece.name, n=number,
                               count=piece.count)  # fmt: skip
            lines = [
                (f"build:{piece.name}:{number}:{k}"[:200], step.title, step.text)
                for k, step in enumerate(piece.assembly.steps)
            ]
            made = _section(name, "build", lines, known)
            drawn = tuple(
                replace(line, picture=f"{drawings}/{k}.webp") for k, line in enumerate(made.lines)
            )
            chart = f"{drawings}/chart.svg" if charted else ""
            yield replace(made, lines=drawn, chart=chart)


def index_of(place: str) -> int:
    """Which piece of the job a place names: 2 for "pieces[2]"."""
    return int(place.removeprefix("pieces[").removesuffix("]"))


def built(evaluation: Evaluation, piece: int) -> Assembly | None:
    """A piece of the job by its place in the file; None where it is not there or has an error."""
    place = f"pieces[{piece}]"
    return next((p.assembly for p in evaluation.pieces if p.place == place), None)


def step_drawing(made: Assembly | None, at: int) -> Drawing | None:
    """What is new in a step, close by where it is small; None where there is no such step."""
    if made is None or not 0 <= at < len(made.steps):
        return None
    look = step_look(made, at)
    return look.close or look.whole


def cautions(evaluation: Evaluation) -> tuple[Finding, ...]:
    """What to take care of on site: never a word about money."""
    seen = evaluation.seen(price=False, cost=False)
    return tuple(found for found in seen.findings if found.severity == "caution")


def _strike() -> list[tuple[str, str, str]]:
    """Common practice; no balloon leaves the ground."""
    return [
        ("strike:photo", message("Take a last photograph"), message("It sells the next job.")),
        (
            "strike:pop",
            message("Pop every balloon, none flies away"),
            message("Necks first, away from faces."),
        ),
        (
            "strike:pick",
            message("Pick up every scrap"),
            message("Broken rubber chokes small children and animals."),
        ),
        ("strike:count", message("Count poles, bases and weights back in"), ""),
    ]


def own_entries(
    rows: Iterable[Actual], name: str, currency: str
) -> tuple[str, tuple[OwnEntry, ...]]:
    """One's own hours in all, and what one wrote down, newest first."""
    own = [row for row in rows if row.actor == name]
    worked = sum(float(row.amount) for row in own if row.kind == "hours")
    words = [
        (row.id, said_hours(float(row.amount)))
        if row.kind == "hours"
        else (row.id, f"{money(row.amount, currency)} {row.what}")
        for row in own
        if row.kind != "received"
    ]
    return said_hours(worked) if worked else "", tuple(
        OwnEntry(*one) for one in reversed(words[-12:])
    )


FINISHED_PX = 2000
MOST_FINISHED = 40


def finished(files: Iterable[StoredFile], name: str) -> tuple[FinishedPhoto, ...]:
    """Photographs of the finished decor, the newest first."""
    newest = sorted(files, key=lambda file: file.made, reverse=True)
    by = {file.id: _sender(file) for file in newest}
    return tuple(FinishedPhoto(file.id, by[file.id], by[file.id] == name) for file in newest)


def keep_finished(files: Files, job_id: str, content: bytes, actor: str) -> None:
    """Keep a photograph of the finished decor. Raises EditError when there are very many."""
    held = files.of_job(job_id, FINISHED)
    if len(held) >= MOST_FINISHED:
        raise EditError(
            message("{n} photos of this job are kept.", n=MOST_FINISHED),
            message("Delete one first."),
        )
    name = f"finished decor {new_id()}, {actor[:100]}.jpg"
    files.put(FINISHED, name, "image/jpeg", content, job_id=job_id)


def drop_finished(files: Files, job_id: str, file_id: str, actor: Actor) -> None:
    """Throw one away: one's own, or any for those who design. Raises Missing, Refused."""
    file = files.get(file_id, job_id)
    if file.use != FINISHED:
        raise Missing("file")
    if not actor.designs and _sender(file) != actor.name[:100]:
        raise Refused(message("Somebody else sent this photo."), message("Ask them to delete it."))
    files.remove(file)


def _sender(file: StoredFile) -> str:
    return file.name.partition(", ")[2].removesuffix(".jpg")
