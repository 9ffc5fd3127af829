"""What a make sheet says, as plain values: a spread a piece, for the hands that make it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from airwright.catalog import Family
from airwright.catalog.size_words import size_word
from airwright.decor.assembly import Assembly
from airwright.language import message
from airwright.papers.common.dangers import Warned
from airwright.papers.common.parts import (
    Masthead,
    Occasion,
    Swatch,
    masthead,
    occasion,
    swatch_of,
    swatches,
)
from airwright.papers.common.trade_words import kind_word, role_word
from airwright.papers.make_sheet.clusters import ClusterCard, cluster_cards
from airwright.papers.make_sheet.techniques import techniques_for
from airwright.papers.make_sheet.watch_out import fill_words, warnings_of
from airwright.plan.cautions import REACH_M
from airwright.plan.float_words import float_words
from airwright.plan.piece_values import BalloonLine
from airwright.plan.stability import Stability
from airwright.plan.strength import Hanging
from airwright.plan.tally import cuts
from airwright.plan.values import PiecePlan, Plan
from airwright.plan.wording import Words
from airwright.units import INCH_M

HUNG_M = 0.3
"""A piece whose lowest point is higher than this hangs or floats [m]."""


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
    """Something to have at hand that is no inflated balloon (quantities in `unit`).

    Attributes:
        cut_m: length of each, for ribbon and line [m].
        depth_m, shade: of a sleeve's strip [m].
    """

    item: str
    one: float
    together: float
    unit: str
    cut_m: float = 0.0
    depth_m: float = 0.0
    shade: Swatch | None = None


@dataclass(frozen=True, slots=True)
class StepText:
    """One step of building, in order."""

    title: str
    text: str


@dataclass(frozen=True, slots=True)
class PieceSheet:
    """Everything about one kind of piece; sizes are of one [m].

    Attributes:
        kind, what: its kind as the job file writes it, and in words.
        count: how many of it.
        height_m: lowest to highest point; top_m: floor to the highest, where it does not stand.
        sizes: balloons to inflate.
        parts: what else to have at hand.
        layers, pitch_m: of the body; 0 and None where it has none.
        layers_range: fewest and most layers that hands may come to, where that is in doubt.
        minutes: for all copies with the usual crew.
        notes: what protects people here, one sentence each.
    """

    name: str
    kind: str
    what: str
    count: int
    height_m: float
    width_m: float
    depth_m: float
    top_m: float | None
    layers: int
    layers_range: tuple[int, int] | None
    pitch_m: float | None
    swatches: tuple[Swatch, ...]
    sizes: tuple[SizeRow, ...]
    clusters: tuple[ClusterCard, ...]
    steps: tuple[StepText, ...]
    parts: tuple[Part, ...]
    crew_hours: float
    notes: tuple[str, ...]

    @property
    def balloons(self) -> int:
        """Balloons to inflate for one."""
        return sum(row.one for row in self.sizes)


@dataclass(frozen=True, slots=True)
class MakeSheet:
    """The whole make sheet.

    Attributes:
        warnings: the dangers of the whole job, for one page.
        techniques: names of the hand movements that the pieces need.
        crew_hours: for all pieces with the usual crew [h].
    """

    masthead: Masthead
    occasion: Occasion
    made: dt.date
    pieces: tuple[PieceSheet, ...]
    swatches: tuple[Swatch, ...]
    sizes: tuple[SizeRow, ...]
    warnings: tuple[Warned, ...]
    techniques: tuple[str, ...]
    option: str | None
    hands: int
    crew_hours: float


def make_sheet_of(plan: Plan, today: dt.date) -> MakeSheet:
    """Read a make sheet off a plan: the pieces of its scope, in the job's order.

    Args:
        plan: the whole job, planned.
        today: the day the sheet is made.
    """
    pieces = plan.in_scope
    words, hands = Words(plan.studio.studio.units), plan.crew.hands
    sheets = tuple(_piece(piece, words, hands) for piece in pieces)
    return MakeSheet(
        masthead=masthead(plan),
        occasion=occasion(plan),
        made=today,
        pieces=sheets,
        swatches=swatches(pieces),
        sizes=_all_sizes(sheets),
        warnings=warnings_of(plan),
        techniques=techniques_for(pieces),
        option=plan.job.job.chosen,
        hands=hands,
        crew_hours=sum(sheet.crew_hours for sheet in sheets),
    )


def _piece(piece: PiecePlan, words: Words, hands: int) -> PieceSheet:
    assembly = piece.assembly
    hung = assembly.bottom_m > HUNG_M
    return PieceSheet(
        name=piece.name,
        kind=piece.spec.kind,
        what=kind_word(piece.spec.kind),
        count=piece.count,
        height_m=assembly.own_height_m if hung else assembly.height_m,
        width_m=assembly.width_m,
        depth_m=assembly.depth_m,
        top_m=assembly.height_m if hung else None,
        layers=assembly.layers,
        layers_range=assembly.layers_range,
        pitch_m=assembly.pitch_m,
        swatches=swatches([piece]),
        sizes=_sizes(piece),
        clusters=cluster_cards(piece),
        steps=tuple(StepText(step.title, step.text) for step in assembly.steps),
        parts=(*_flat(piece), *_things(piece), *_filling(piece)),
        crew_hours=piece.hours * piece.count / hands,
        notes=tuple(_notes(piece, words)),
    )


def _swatch(assembly: Assembly, name: str) -> Swatch:
    shades = (
        *assembly.shades,
        *(strand.shade for strand in assembly.strands),
        *(fabric.shade for fabric in assembly.fabrics),
    )
    found = next((shade for shade in shades if shade.name == name), None)
    return Swatch(name, "#888888") if found is None else swatch_of(found)


def _sizes(piece: PiecePlan) -> tuple[SizeRow, ...]:
    foils = {s.size for s in piece.assembly.stocks if s.family is Family.FOIL}
    return tuple(
        SizeRow(
            size=line.size,
            inflated_m=line.inflated_in * INCH_M,
            shade=_swatch(piece.assembly, line.shade),
            role=_use(line),
            one=line.count,
            together=line.count * piece.count,
            helium=line.helium,
            foil=line.size in foils,
        )
        for line in piece.balloons
    )


def _use(line: BalloonLine) -> str:
    """What they are there for, and for one in another which goes into which."""
    if len(line.bags) < 2:
        return role_word(line.role)
    pair = message("{inside} inside {outside}", inside=line.bags[1], outside=line.bags[0])
    role = role_word(line.role)
    return message("{pair}, {role}", pair=pair, role=role) if role else pair


def _flat(piece: PiecePlan) -> Iterator[Part]:
    """Modelling balloons used flat; loops of several copies are cut from the same ones."""
    parts: dict[tuple[str, str], float] = {}
    for strand in piece.assembly.strands:
        if strand.stock_size is not None:
            key = (strand.stock_size, strand.shade.bags[0])
            parts[key] = parts.get(key, 0.0) + strand.balloons
    for (size, shade), count in sorted(parts.items()):
        yield Part(
            message("{size}, left flat", size=size),
            -int(-(count - 1e-9) // 1),
            -int(-(count * piece.count - 1e-9) // 1),
            "each",
            shade=_swatch(piece.assembly, shade),
        )


def _things(piece: PiecePlan) -> Iterator[Part]:
    """Hardware; what is cut to length stands with its lengths instead of their sum."""
    many = piece.count
    lengths = cuts(piece.assembly)
    cut_items = {item for item, _, _ in lengths}
    for line in piece.hardware:
        if line.item in cut_items:
            continue
        shade = None if line.shade is None else _swatch(piece.assembly, line.shade)
        if line.depth_m is not None:
            yield Part(line.item, 1, many, "each", line.quantity, line.depth_m, shade)
            continue
        unit = "kg" if line.use == "filling" else line.unit
        yield Part(line.item, line.quantity, line.quantity * many, unit, shade=shade)
    for item, cut_m, count in lengths:
        yield Part(item, count, count * many, "each", cut_m)


def _filling(piece: PiecePlan) -> Iterator[Part]:
    one = piece.stability
    if not isinstance(one, Stability):
        return
    for item, kg in (
        (message("water or sand for the base"), one.ballast_kg),
        (message("sandbags"), one.sandbags_kg),
    ):
        if kg > 0:
            yield Part(item, kg, kg * piece.count, "kg")


def _notes(piece: PiecePlan, words: Words) -> Iterator[str]:
    """What protects people at this piece; the rest stands on the page of dangers."""
    one = piece.stability
    if isinstance(one, Stability) and one.ballast_kg > 0:
        yield message("First of all: {fill}.", fill=fill_words(one, words))
    if isinstance(one, Stability) and not one.holds:
        more = words.mass(one.sandbags_kg)
        if one.bases == 1:
            yield message(
                "Lay {more} of sandbags on the base before it stands outdoors.", more=more
            )
        else:
            yield message(
                "Lay {more} of sandbags in all on its {n} bases before it stands outdoors.",
                more=more,
                n=one.bases,
            )
    if isinstance(one, Hanging):
        yield message("Each fixing point holds {hold}.", hold=words.force(one.anchor_should_hold_n))
    if piece.assembly.height_m > REACH_M and not piece.rises_by_itself:
        yield message("Work from a step ladder; a second person holds it.")
    for line in {(row.size, row.inflated_m): row for row in piece.floats if row.floats}.values():
        yield message(
            "{size} at {across} with helium: {lasts} after filling.",
            size=size_word(line.size),
            across=words.size(line.inflated_m),
            lasts=float_words(line.good_h, line.safe_h, line.usual_h),
        )
    if piece.take_in_gust_m_s is not None:
        yield message(
            "Take it in at gusts above {limit}.", limit=words.limit(piece.take_in_gust_m_s)
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
