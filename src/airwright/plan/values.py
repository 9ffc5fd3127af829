"""The Plan: everything read off the Assemblies of a job, one frozen value a stage."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from airwright.decor.context import Context
from airwright.job.findings import Finding
from airwright.job.models import Job, OptionSpec
from airwright.job.pieces import Door
from airwright.job.studio import Studio
from airwright.money.lines import Line
from airwright.plan.crew import CrewPlan
from airwright.plan.physics import JobPhysics
from airwright.plan.piece_values import (
    BalloonLine,
    ClusterLine,
    HardwareLine,
    Money,
    Need,
    PackLine,
    PiecePlan,
    WorkLine,
)

__all__ = [
    "BalloonLine",
    "ClusterLine",
    "HardwareLine",
    "Money",
    "Need",
    "OptionPlan",
    "PackLine",
    "PiecePlan",
    "Plan",
    "WorkLine",
]


@dataclass(frozen=True, slots=True, eq=False)
class OptionPlan:
    """One way of filling the brief, reckoned for itself alone.

    Attributes:
        option: name, pieces and note.
        pieces: its pieces, in its own order.
        balloons: inflated balloons in it, spares not counted.
        hours: hands' time, driving and loading included [h].
        job_work: time that belongs to no piece.
        crew: who goes, and how long they take on site and for the take-down.
        money: its reckoning.
        lines: pieces, job lines and what comes off; they sum to the price.
        door: the venue's, which its pictures show.
    """

    option: OptionSpec
    pieces: tuple[PiecePlan, ...]
    balloons: int
    hours: float
    job_work: tuple[WorkLine, ...]
    crew: CrewPlan
    money: Money
    lines: tuple[Line, ...]
    door: Door | None = None

    @property
    def name(self) -> str:
        """The option's name."""
        return self.option.name

    @property
    def site_hours(self) -> float:
        """Time its crew takes on site before guests come [h]."""
        return self.crew.build_h

    @property
    def strike_hours(self) -> float:
        """Time its crew takes to take it down [h]."""
        return self.crew.strike_h

    @property
    def piece_prices(self) -> tuple[Decimal, ...]:
        """Price of each piece in the option's order, counts included, quantity price off."""
        return tuple(
            sum((line.price for line in self.lines if line.piece == piece.name), Decimal(0))
            for piece in self.pieces
        )

    @property
    def pieces_price(self) -> Decimal:
        """All pieces together, without the lines beside them: what a menu shows."""
        return sum(self.piece_prices, Decimal(0))

    @property
    def beside(self) -> tuple[Line, ...]:
        """Lines of the whole option, beside its pieces."""
        return tuple(line for line in self.lines if line.piece is None)


@dataclass(frozen=True, slots=True, eq=False)
class Plan:
    """The whole job, planned.

    `scope` names the pieces that needs, money and sheets cover: those of the chosen option,
    or all of them while nothing is chosen. `job_work` is the time that belongs to
    no piece, `crew` who goes, `physics` holds what warmth, gas and time do to the pieces,
    `chance_short` the chance that any of its balloons runs short [-].
    """

    job: Job
    studio: Studio
    context: Context
    pieces: tuple[PiecePlan, ...]
    scope: tuple[str, ...]
    needs: tuple[Need, ...]
    options: tuple[OptionPlan, ...]
    money: Money
    hours: float
    job_work: tuple[WorkLine, ...]
    crew: CrewPlan
    findings: tuple[Finding, ...]
    physics: JobPhysics | None = None
    chance_short: float = 0.0

    def piece(self, name: str) -> PiecePlan:
        """The piece of that name. Raises KeyError."""
        for piece in self.pieces:
            if piece.name == name:
                return piece
        raise KeyError(name)

    @property
    def in_scope(self) -> tuple[PiecePlan, ...]:
        """The pieces that are bought, made and carried."""
        return tuple(piece for piece in self.pieces if piece.name in self.scope)
