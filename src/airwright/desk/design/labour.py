"""Where a job's hours go, as the design page tells it."""

from __future__ import annotations

from airwright.desk.design.contexts import HoursLine, HoursPlace, HoursShown
from airwright.desk.editing.builder import Evaluation
from airwright.language import counted, file_word, message
from airwright.language.figures import said_hours
from airwright.plan.crew import CrewPlan
from airwright.plan.labour import PLACE_WORDS, PLACES, labour_of

PER_WORDS = {"metre": "m", "km": "km", "kg": "kg"}
"""Units that stand behind a quantity; what is counted goes without one."""
TWO = {
    "weight": message("one part is too heavy for one person"),
    "frame": message("a tall frame is raised by two"),
    "ladder": message("what hangs high takes a second person at the ladder"),
}


def hours_shown(evaluation: Evaluation) -> HoursShown | None:
    """The hours of the plan's scope, by place and operation; None where nothing is planned."""
    plan = evaluation.plan
    if plan is None or not plan.in_scope:
        return None
    labour = labour_of(plan.in_scope, plan.job_work, plan.crew)
    places = tuple(
        HoursPlace(
            PLACE_WORDS[place],
            said_hours(labour.hours_at(place)),
            tuple(
                HoursLine(
                    file_word(line.what[0].upper() + line.what[1:]),
                    _quantity(line.quantity, line.per),
                    said_hours(line.hours),
                )
                for line in labour.lines
                if line.place == place
            ),
        )
        for place in PLACES
        if labour.hours_at(place) > 0
    )
    return HoursShown(_crew(plan.crew), places)


def _quantity(quantity: float, per: str) -> str:
    number = (
        f"{quantity:,.0f}" if quantity >= 10 or quantity == round(quantity) else f"{quantity:.1f}"
    )
    return f"{number} {PER_WORDS[per]}" if per in PER_WORDS else number


def _crew(crew: CrewPlan) -> str:
    """ "2 people build in 33 min and take down in 14 min, 25 min away: a tall frame …." """
    times = {"build": said_hours(crew.build_h), "strike": said_hours(crew.strike_h)}
    said = counted(
        "{n} person builds on site in {build} and takes down in {strike}",
        "{n} people build on site in {build} and take down in {strike}",
        crew.hands,
        **times,
    )
    if crew.strike_hands != crew.hands:
        said = message(
            "{built}, {struck}",
            built=counted(
                "{n} person builds on site in {build}",
                "{n} people build on site in {build}",
                crew.hands,
                **times,
            ),
            struck=counted(
                "{n} takes down in {strike}",
                "{n} take down in {strike}",
                crew.strike_hands,
                **times,
            ),
        )
    if crew.two_because and crew.hands > 1:
        return message("{said}; {why}.", said=said, why=TWO[crew.two_because])
    return message("{said}.", said=said)
