"""Where a job's hours go, as the design page tells it."""

from __future__ import annotations

from airwright.desk.design.contexts import HoursLine, HoursPlace, HoursShown
from airwright.desk.editing.builder import Evaluation
from airwright.language.figures import said_hours
from airwright.plan.crew import CrewPlan
from airwright.plan.labour import PLACES, labour_of

PLACE_WORDS = {
    "workshop": "In the workshop",
    "road": "On the road",
    "site": "On site",
    "take-down": "Take down",
}
PER_WORDS = {"metre": "m", "km": "km", "kg": "kg"}
"""Units that stand behind a quantity; what is counted goes without one."""
TWO = {
    "weight": "one part is too heavy for one person",
    "frame": "a tall frame is raised by two",
    "ladder": "what hangs high takes a second person at the ladder",
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
                    line.what[0].upper() + line.what[1:],
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
    who = "1 person builds" if crew.hands == 1 else f"{crew.hands} people build"
    said = f"{who} on site in {said_hours(crew.build_h)}"
    if crew.strike_hands == crew.hands:
        said += f" and {'takes' if crew.hands == 1 else 'take'} down in {said_hours(crew.strike_h)}"
    else:
        one = crew.strike_hands == 1
        takes = "takes" if one else "take"
        said += f", {crew.strike_hands} {takes} down in {said_hours(crew.strike_h)}"
    if crew.two_because and crew.hands > 1:
        said += f"; {TWO[crew.two_because]}"
    return f"{said}."
