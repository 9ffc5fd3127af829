"""From a folder of saved designs to looks, each planned small, medium and large."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from airwright.decor.pieces import SPECS
from airwright.job import Job, Studio, read_job
from airwright.job.findings import Finding, error, hint
from airwright.job.reading import LARGEST_FILE
from airwright.plan.planning import JobHasErrors, make_plan
from airwright.plan.resize import ResizeError, scaled
from airwright.plan.values import OptionPlan, Plan

Progress = Callable[[int, int, str], None]
"""Called with (plans done, plans in all, name of the next design)."""

SIZES: Final = (("Small", 0.75), ("Medium", 1.0), ("Large", 1.35))
MEDIUM: Final = "Medium"
"""The size a design was saved in; it is the one photographed."""
MOST_DESIGNS: Final = 200
NOT_DESIGNS: Final = ("studio.toml",)
MARKS_SUFFIX: Final = ".marks.toml"
HANDS_DAY_H: Final = 6.0
"""Hours a pair of hands makes balloons in a working day, the rest goes to calls and clearing up.
Common practice, from memory."""
ENDING: Final = ".toml"


@dataclass(frozen=True, slots=True)
class Trouble:
    """A finding about one file of the folder."""

    path: Path
    finding: Finding


@dataclass(frozen=True, slots=True, eq=False)
class Design:
    """A saved design that can be read."""

    path: Path
    job: Job


@dataclass(frozen=True, slots=True, eq=False)
class Sized:
    """One size of a look: its name, its factor, and its plan."""

    name: str
    factor: float
    plan: Plan
    option: OptionPlan


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """One look: an option of a design, or the whole design where it names none.

    Attributes:
        name: the option's, or the design's title.
        sizes: those that can be built, smallest first.
        usual: the size it was saved in.
    """

    name: str
    design: Design
    sizes: tuple[Sized, ...]
    usual: Sized


def read_designs(folder: Path) -> tuple[tuple[Design, ...], tuple[Trouble, ...]]:
    """Every job file of a folder, in the order of their names, and what is wrong with the others.

    Raises:
        OSError: the folder cannot be read.
    """
    paths = sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() == ENDING
        and path.name not in NOT_DESIGNS
        and not path.name.endswith(MARKS_SUFFIX)
        and not path.name.startswith(".")
    )
    designs: list[Design] = []
    troubles: list[Trouble] = []
    for path in paths[:MOST_DESIGNS]:
        job, findings = _read(path)
        troubles += [Trouble(path, finding) for finding in findings]
        if job is not None:
            designs.append(Design(path, job))
    if len(paths) > MOST_DESIGNS:
        what = f"The folder holds {len(paths)} designs; the first {MOST_DESIGNS} are shown."
        troubles.append(Trouble(folder, hint("many-designs", "", what, "Make several folders.")))
    return tuple(designs), tuple(troubles)


def _read(path: Path) -> tuple[Job | None, Sequence[Finding]]:
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST_FILE + 1)
    except OSError as problem:
        what = f"{path.name} cannot be read: {problem.strerror}."
        return None, [error("unreadable", "", what, "Check its permissions.")]
    reading = read_job(data, SPECS)
    if reading.job is None:
        return None, reading.findings
    if not reading.job.pieces:
        what = f"{path.name} holds no piece to show."
        return None, [error("no-pieces", "pieces", what, "Add a piece to it.")]
    return reading.job, ()


def plan_looks(
    designs: Sequence[Design], studio: Studio, *, progress: Progress | None = None
) -> tuple[tuple[Look, ...], tuple[Trouble, ...]]:
    """Plan every design in every size.

    A size out of a piece's bounds is left out with a hint; a design that cannot be built as it
    was saved is left out with its errors.
    """
    looks: list[Look] = []
    troubles: list[Trouble] = []
    total = len(designs) * len(SIZES)
    for at, design in enumerate(designs):
        plans: list[tuple[str, float, Plan]] = []
        # the size it was saved in first: without it there is no look
        for done, (name, factor) in enumerate(sorted(SIZES, key=lambda size: size[1] != 1.0)):
            if progress is not None:
                progress(at * len(SIZES) + done, total, design.job.job.title)
            made = _planned(design, studio, name, factor)
            if isinstance(made, Plan):
                plans.append((name, factor, made))
            else:
                troubles += made
            if not plans:
                break
        looks += _looks(design, plans)
    return tuple(looks), tuple(troubles)


def _planned(design: Design, studio: Studio, name: str, factor: float) -> Plan | list[Trouble]:
    try:
        job = scaled(design.job, factor, system=studio.studio.units)
        return make_plan(job, studio)
    except ResizeError as problem:
        return [_left_out(design, name, problem.what)]
    except JobHasErrors as problem:
        if factor == 1.0:
            return [Trouble(design.path, finding) for finding in problem.findings]
        return [_left_out(design, name, problem.findings[0].what)]


def _left_out(design: Design, size: str, why: str) -> Trouble:
    what = f'"{design.job.job.title}" is not offered {size.lower()}: {why}'
    return Trouble(design.path, hint("size-left-out", "", what, "The other sizes are shown."))


def _looks(design: Design, plans: Sequence[tuple[str, float, Plan]]) -> list[Look]:
    looks = []
    order = sorted(plans, key=lambda plan: plan[1])
    for at, spec in enumerate(design.job.effective_options() if plans else ()):
        sizes = tuple(Sized(name, f, plan, plan.options[at]) for name, f, plan in order)
        name = spec.name if design.job.options else design.job.job.title
        usual = next(size for size in sizes if size.name == MEDIUM)
        looks.append(Look(name, design, sizes, usual))
    return looks


def making_days(size: Sized) -> int:
    """Working days in the workshop for the crew it takes, one at least."""
    hours = sum(piece.hours_at("workshop") * piece.count for piece in size.option.pieces)
    hours += sum(line.hours for line in size.option.job_work if line.place == "workshop")
    hands = size.option.crew.hands
    return max(1, math.ceil(hours / (HANDS_DAY_H * hands)))
