"""What a make sheet says, as plain values: one sheet a piece, for the hands that make it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from airwright.catalog import Family
from airwright.decor.assembly import Assembly
from airwright.job.findings import Finding, Severity, within
from airwright.papers.common.parts import (
    Caution,
    Masthead,
    Occasion,
    Swatch,
    cautions,
    masthead,
    occasion,
    swatch_of,
    swatches,
)
from airwright.papers.make_sheet.clusters import ClusterCard, cluster_cards
from airwright.papers.make_sheet.techniques import techniques_for
from airwright.plan.values import PiecePlan, Plan
from airwright.units import INCH_M

REMINDERS: Final = frozenset({"choking", "latex", "helium", "no-release", "foil"})
"""Codes of the cautions that every job brings; a sheet says those of its piece in one line each."""


@dataclass(frozen=True, slots=True)
class SizeRow:
    """Balloons of one size, diameter, shade and use.

    Attributes:
        inflated_m: across when it is ready [m]; 0 for one that is used flat.
        one, together: for one piece, and for all copies.
        foil: filled until firm, not measured.
    """

    size: str
    inflated_m: float
    shade: Swatch
    role: str
    one: int
    together: int
    helium: bool
    foil: bool


@dataclass(frozen=True, slots=True)
class Part:
    """A thing that is no balloon (quantities in `unit`)."""

    item: str
    one: float
    together: float
    unit: str


@dataclass(frozen=True, slots=True)
class Strip:
    """A sleeve to cut: strip length = layers × round the pole + overlap [m]."""

    material: str
    shade: Swatch
    length_m: float
    drop_m: float
    layers: int


@dataclass(frozen=True, slots=True)
class Cut:
    """Ribbons or lines of one length [m], `count` of them for one piece."""

    item: str
    length_m: float
    count: int


@dataclass(frozen=True, slots=True)
class Work:
    """One operation: how often and how long [h of one pair of hands], for one and for all."""

    operation: str
    what: str
    place: str
    quantity: float
    one_h: float
    together_h: float


@dataclass(frozen=True, slots=True)
class StepText:
    """One step of building, in order."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class PieceSheet:
    """Everything about one kind of piece; sizes are of one [m].

    Attributes:
        count: how many of it.
        sizes, flat: balloons to inflate, and those used flat (ties and loops).
        layers, pitch_m: of the body; 0 and None where it has none.
        cautions: findings about this piece, and those about the job that name it.
        reminders: what everybody who makes it must know, in short; more stands on the first page.
    """

    name: str
    what: str
    count: int
    height_m: float
    width_m: float
    depth_m: float
    layers: int
    pitch_m: float | None
    swatches: tuple[Swatch, ...]
    sizes: tuple[SizeRow, ...]
    flat: tuple[SizeRow, ...]
    clusters: tuple[ClusterCard, ...]
    steps: tuple[StepText, ...]
    parts: tuple[Part, ...]
    strips: tuple[Strip, ...]
    cuts: tuple[Cut, ...]
    work: tuple[Work, ...]
    cautions: tuple[Caution, ...]
    reminders: tuple[str, ...]

    @property
    def balloons(self) -> int:
        """Balloons to inflate for one."""
        return sum(row.one for row in self.sizes)


@dataclass(frozen=True, slots=True)
class MakeSheet:
    """The whole make sheet.

    Attributes:
        cautions: those that hold for every piece.
        techniques: names of the hand movements that the pieces need.
    """

    masthead: Masthead
    occasion: Occasion
    made: dt.date
    pieces: tuple[PieceSheet, ...]
    swatches: tuple[Swatch, ...]
    sizes: tuple[SizeRow, ...]
    cautions: tuple[Caution, ...]
    techniques: tuple[str, ...]
    option: str | None
    hands: int


def make_sheet_of(plan: Plan, today: dt.date) -> MakeSheet:
    """Read a make sheet off a plan: the pieces of its scope, in the job's order.

    Args:
        plan: the whole job, planned.
        today: the day the sheet is made.
    """
    pieces = plan.in_scope
    sheets = tuple(_piece(piece, plan.findings) for piece in pieces)
    return MakeSheet(
        masthead=masthead(plan),
        occasion=occasion(plan),
        made=today,
        pieces=sheets,
        swatches=swatches(pieces),
        sizes=_all_sizes(sheets),
        cautions=_general(plan),
        techniques=techniques_for(pieces),
        option=plan.job.job.chosen,
        hands=plan.studio.crew.hands,
    )


def _piece(piece: PiecePlan, findings: Iterable[Finding]) -> PieceSheet:
    assembly, many = piece.assembly, piece.count
    return PieceSheet(
        name=piece.name,
        what=piece.spec.kind.replace("_", " ").replace("-", " "),
        count=many,
        height_m=assembly.height_m,
        width_m=assembly.width_m,
        depth_m=assembly.depth_m,
        layers=assembly.layers,
        pitch_m=assembly.pitch_m,
        swatches=swatches([piece]),
        sizes=_sizes(piece),
        flat=_flat(piece),
        clusters=cluster_cards(piece),
        steps=tuple(StepText(step.title, step.text) for step in assembly.steps),
        parts=tuple(
            Part(line.item, line.quantity, line.quantity * many, line.unit)
            for line in piece.hardware
        ),
        strips=_strips(assembly),
        cuts=_cuts(assembly),
        work=tuple(
            Work(w.operation, w.what, w.place, w.quantity, w.hours, w.hours * many)
            for w in piece.work
        ),
        cautions=_own(findings, piece),
        reminders=_reminders(findings, piece),
    )


def _swatch(assembly: Assembly, name: str) -> Swatch:
    shades = (*assembly.shades, *(strand.shade for strand in assembly.strands))
    found = next((shade for shade in shades if shade.name == name), None)
    return Swatch(name, "#888888") if found is None else swatch_of(found)


def _sizes(piece: PiecePlan) -> tuple[SizeRow, ...]:
    foils = {s.size for s in piece.assembly.stocks if s.family is Family.FOIL}
    return tuple(
        SizeRow(
            size=line.size,
            inflated_m=line.inflated_in * INCH_M,
            shade=_swatch(piece.assembly, line.shade),
            role=line.role,
            one=line.count,
            together=line.count * piece.count,
            helium=line.helium,
            foil=line.size in foils,
        )
        for line in piece.balloons
    )


def _flat(piece: PiecePlan) -> tuple[SizeRow, ...]:
    """Modelling balloons used flat; loops of several copies are cut from the same ones."""
    parts: dict[tuple[str, str], float] = {}
    for strand in piece.assembly.strands:
        if strand.stock_size is not None:
            key = (strand.stock_size, strand.shade.name)
            parts[key] = parts.get(key, 0.0) + strand.balloons
    return tuple(
        SizeRow(
            size=size,
            inflated_m=0.0,
            shade=_swatch(piece.assembly, shade),
            role="tie",
            one=-int(-(count - 1e-9) // 1),
            together=-int(-(count * piece.count - 1e-9) // 1),
            helium=False,
            foil=False,
        )
        for (size, shade), count in sorted(parts.items())
    )


def _strips(assembly: Assembly) -> tuple[Strip, ...]:
    return tuple(
        Strip(
            fabric.material,
            swatch_of(fabric.shade),
            fabric.strip_m,
            fabric.drop_m,
            fabric.layers,
        )
        for fabric in assembly.fabrics
    )


def _cuts(assembly: Assembly) -> tuple[Cut, ...]:
    """Ribbon lengths to the centimetre, longest first."""
    counts: dict[tuple[str, float], int] = {}
    for strand in assembly.strands:
        if strand.item is not None and strand.item != "rubber band":
            key = (strand.item, round(strand.cut_m, 2))
            counts[key] = counts.get(key, 0) + 1
    rows = sorted(counts.items(), key=lambda row: (row[0][0], -row[0][1]))
    return tuple(Cut(item, length, count) for (item, length), count in rows)


def _own(findings: Iterable[Finding], piece: PiecePlan) -> tuple[Caution, ...]:
    """Cautions and hints about one piece, and cautions of the job that name it."""
    return cautions(
        found
        for found in findings
        if found.severity is not Severity.ERROR
        and (
            within(found.place, piece.place)
            or (
                found.severity is Severity.CAUTION
                and piece.name in found.pieces
                and found.code not in REMINDERS
            )
        )
    )


def _reminders(findings: Iterable[Finding], piece: PiecePlan) -> tuple[str, ...]:
    mine = (
        found.what
        for found in findings
        if found.code in REMINDERS and (not found.pieces or piece.name in found.pieces)
    )
    return tuple(dict.fromkeys(mine))


def _general(plan: Plan) -> tuple[Caution, ...]:
    """Cautions about no single piece."""
    return cautions(
        found
        for found in plan.findings
        if found.severity is Severity.CAUTION and not found.place.startswith("pieces[")
    )


def _all_sizes(sheets: Sequence[PieceSheet]) -> tuple[SizeRow, ...]:
    """Balloons of the whole job by size, diameter and shade, so that the pump runs once."""
    sums: dict[tuple[str, float, str, str], SizeRow] = {}
    for sheet in sheets:
        for row in sheet.sizes:
            key = (row.size, row.inflated_m, row.shade.name, str(row.helium))
            had = sums.get(key)
            many = row.together + (had.together if had else 0)
            sums[key] = SizeRow(
                row.size, row.inflated_m, row.shade, "", many, many, row.helium, row.foil
            )
    return tuple(sorted(sums.values(), key=lambda r: (-r.inflated_m, r.size, r.shade.name)))
