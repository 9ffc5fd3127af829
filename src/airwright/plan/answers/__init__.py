"""Answers to single questions, as frozen values: the commands, the desk and the docs share them.

Each module holds one question: a frozen answer with its range and doubts, and the function that
reckons it from SI values. A question that cannot be answered raises `PhysicsError` with its cure;
no answer holds a number from outside a method's range.
"""

from airwright.plan.answers.cylinder import CylinderAnswer, cylinder_answer
from airwright.plan.answers.fill import FillAnswer, fill_answer
from airwright.plan.answers.fresh import FreshAnswer, fresh_answer
from airwright.plan.answers.lift import LiftAnswer, lift_answer
from airwright.plan.answers.room import RoomAnswer, room_answer
from airwright.plan.answers.size import SizeAnswer, size_answer
from airwright.plan.answers.string import StringAnswer, string_answer
from airwright.plan.answers.wind import WindAnswer, wind_answer

__all__ = [
    "CylinderAnswer",
    "FillAnswer",
    "FreshAnswer",
    "LiftAnswer",
    "RoomAnswer",
    "SizeAnswer",
    "StringAnswer",
    "WindAnswer",
    "cylinder_answer",
    "fill_answer",
    "fresh_answer",
    "lift_answer",
    "room_answer",
    "size_answer",
    "string_answer",
    "wind_answer",
]
