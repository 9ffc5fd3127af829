"""How long air-filled latex looks fresh."""

from __future__ import annotations

from dataclasses import dataclass

from airwright.language import message
from airwright.physics.errors import require
from airwright.plan.ageing import life_at
from airwright.plan.answers.base import Answer


@dataclass(frozen=True, slots=True)
class FreshAnswer(Answer):
    """Latex in one place, after some hours in the workshop.

    Attributes:
        place: "indoors", "shade" or "sun".
        temperature_c: mean temperature there [°C].
        good_shortest_h, good_usual_h, good_longest_h: how long it stays good there [h].
        hours, ahead_hours: asked for there, and in the workshop before [h].
        used_least, used_usual, used_most: share of its good life used up, against the longest,
            usual and shortest life [-].
        verdict: "fresh", "doubtful" or "tired".
    """

    place: str
    temperature_c: float
    good_shortest_h: float
    good_usual_h: float
    good_longest_h: float
    hours: float
    ahead_hours: float
    used_least: float
    used_usual: float
    used_most: float
    verdict: str
    doubts: tuple[str, ...]


def fresh_answer(
    place: str, temperature_c: float, hours: float, ahead_hours: float, workshop_c: float = 20.0
) -> FreshAnswer:
    """Reckon how fresh latex stays.

    Args:
        place: "indoors", "shade" or "sun".
        temperature_c: mean there [°C].
        hours: there [h].
        ahead_hours, workshop_c: in the workshop before, and its temperature [h], [°C].

    Raises:
        PhysicsError: unknown place, or out of range.
    """
    require("hours", hours, message("From zero to a month."), low=0.0, high=720.0, unit="h")
    require(
        "hours in the workshop",
        ahead_hours,
        message("Up to a month."),
        low=0.0,
        high=720.0,
        unit="h",
    )
    life = life_at(place, hours, temperature_c, ahead_hours, workshop_c)
    return FreshAnswer(
        place=place,
        temperature_c=temperature_c,
        good_shortest_h=life.good_shortest_h,
        good_usual_h=life.good_usual_h,
        good_longest_h=life.good_longest_h,
        hours=hours,
        ahead_hours=ahead_hours,
        used_least=life.used_least,
        used_usual=life.used_usual,
        used_most=life.used_most,
        verdict="tired" if life.tired else "doubtful" if life.doubtful else "fresh",
        doubts=(
            message(
                "All hours are common practice, without a source. Dark, clear and tight "
                "balloons are nearer the shortest. Every 10 °C (18 °F) more halves them."
            ),
        ),
    )
