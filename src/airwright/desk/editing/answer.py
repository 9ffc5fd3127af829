"""What a look at a job says to the browser: one answer with picture, counts, money and findings."""

from __future__ import annotations

import base64
import math
from collections.abc import Collection, Sequence
from typing import Any

import numpy as np

from airwright.decor.assembly import Assembly, HardwarePlaced, Stock
from airwright.decor.pieces import KINDS
from airwright.decor.standing import Piece, stand
from airwright.desk.editing import job_state
from airwright.desk.editing.builder import BuiltPiece, Evaluation
from airwright.job.findings import Finding
from airwright.job.models import Job
from airwright.language import say
from airwright.pictures.printed import middle_of, triangles_of, words_on
from airwright.plan.values import OptionPlan, PiecePlan


def answer(
    evaluation: Evaluation,
    have: Collection[str],
    *,
    price: bool,
    cost: bool,
    version: int = 0,
    undo: str | None = None,
    redo: str | None = None,
    merged: bool = False,
    focus: int | None = None,
    made: int | None = None,
) -> job_state.JobState:
    """A job as the browser is told of it.

    Args:
        evaluation: what to tell.
        have: keys of pieces whose arrays the browser holds already; they are left out.
        price: whether this person may see prices.
        cost: whether this person may see cost and margin.
        version, undo, redo, merged, focus, made: see `airwright.desk.job_changes.Changed`.
    """
    evaluation = evaluation.seen(price=price, cost=cost)
    plan = evaluation.shown
    plans = {piece.place: piece for piece in plan.pieces} if plan else {}
    places = _places(evaluation.pieces, evaluation.job)
    return job_state.JobState(
        version=version,
        undo=undo,
        redo=redo,
        merged=merged,
        focus=focus,
        made=made,
        names=_names(evaluation),
        pieces=[
            _piece(piece, plans.get(piece.place), have, places[at])
            for at, piece in enumerate(evaluation.pieces)
        ],
        door=_door(evaluation.job),
        shades=_shades(evaluation),
        totals=_totals(evaluation, price=price, cost=cost),
        options=[_option(o, price=price, cost=cost) for o in plan.options] if plan else [],
        findings=[_finding(finding) for finding in evaluation.findings],
        currency=evaluation.head().currency,
    )


def _places(pieces: Sequence[BuiltPiece], job: Job | None) -> list[list[job_state.Point]]:
    """Where the copies of each piece stand: right, away [m] and turn [rad]."""
    found: list[list[job_state.Point]] = [[] for _ in pieces]
    made = [(at, piece, piece.assembly) for at, piece in enumerate(pieces)]
    built = [(at, piece, body) for at, piece, body in made if body is not None]
    rule = [Piece.of(body, piece.spec.count, piece.spec) for _, piece, body in built]
    if job is not None and job.venue.door is not None:
        rule.append(Piece.gate(job.venue.door))
    for one in stand(rule):
        if one.piece == len(built):  # the door itself
            continue
        at = built[one.piece][0]
        found[at].append((round(one.x, 4), round(one.y, 4), round(one.turn_rad, 6)))
    return found


def _door(job: Job | None) -> job_state.DoorState | None:
    """The venue's door."""
    door = None if job is None else job.venue.door
    if door is None:
        return None
    turn = round(math.radians(door.facing), 6)
    return job_state.DoorState(x=door.x, y=door.y, turn=turn, width=door.width, height=door.height)


def _names(evaluation: Evaluation) -> list[str]:
    """The name of every piece of the file, also of those that cannot be read."""
    rows = evaluation.tables.get("pieces", [])
    return [
        str(row.get("name", "")) if isinstance(row, dict) else ""
        for row in (rows if isinstance(rows, list) else [])
    ]


def _totals(evaluation: Evaluation, *, price: bool, cost: bool) -> job_state.TotalsState | None:
    plan = evaluation.shown
    if plan is None:
        return None
    counted = {piece.name for piece in plan.pieces}
    money = plan.money
    priced = {"price": str(money.price), "total": str(money.total)} if price else {}
    costed = {"cost": str(money.cost), "margin": str(money.margin)} if cost else {}
    return job_state.TotalsState(
        left_out=[name for name in _names(evaluation) if name not in counted],
        balloons=sum(len(p.assembly) * p.count for p in plan.in_scope),
        hours=round(plan.hours, 4),
        scope=list(plan.scope),
        **priced,
        **costed,
    )


def _option(option: OptionPlan, *, price: bool, cost: bool) -> job_state.OptionState:
    money = option.money
    priced = {"price": str(money.price)} if price else {}
    costed = {"cost": str(money.cost), "margin": str(money.margin)} if cost else {}
    return job_state.OptionState(
        name=option.name,
        pieces=[piece.name for piece in option.pieces],
        balloons=option.balloons,
        hours=round(option.hours, 2),
        **priced,
        **costed,
    )


def _finding(finding: Finding) -> job_state.FindingState:
    return job_state.FindingState(
        code=finding.code,
        severity=finding.severity.value,
        place=finding.place,
        what=say(finding.what),
        mend=say(finding.mend),
        line=finding.line,
        column=finding.column,
        standard=finding.standard,
        pieces=list(finding.pieces),
    )


def _shades(evaluation: Evaluation) -> dict[str, job_state.ColourState]:
    """The job's own shades by the name it gives them."""
    job = evaluation.job
    if job is None:
        return {}
    from airwright.decor.context import shades_of

    table = shades_of(job, evaluation.studio.catalog())
    return {
        name: job_state.ColourState(colour=table[name].colour, finish=table[name].finish)
        for name in job.shades
        if name in table
    }


def _piece(
    piece: BuiltPiece, plan: PiecePlan | None, have: Collection[str], places: list[job_state.Point]
) -> job_state.PieceState:
    spec, made = piece.spec, piece.assembly
    spot = spec.spot
    more: dict[str, Any] = {}
    if made is not None:
        more |= {
            "balloons": len(made),
            "layers": made.layers,
            "size": tuple(round(v, 4) for v in (made.width_m, made.depth_m, made.height_m)),
        }
        if piece.key not in have:
            more["picture"] = picture(made)
    if plan is not None:
        more |= {
            "hours": round(plan.hours, 4),
            "mass_kg": round(plan.mass_kg, 2),
            "tally": [
                (line.size, round(line.inflated_in, 2), line.shade, line.role, line.count)
                for line in (*plan.balloons, *plan.ties)
            ],
        }
    return job_state.PieceState(
        index=int(piece.place[len("pieces[") : -1]),
        name=spec.name,
        kind=spec.kind,
        has_chart=spec.kind in KINDS and KINDS[spec.kind].has_chart,
        count=spec.count,
        key=piece.key if made is not None else None,
        spot=None if spot is None else job_state.SpotState(x=spot.x, y=spot.y, facing=spot.facing),
        places=places,
        **more,
    )


def _cells(made: Assembly) -> job_state.CellsState | None:
    """Row and place of each balloon of a kind whose chart has a cell a balloon."""
    kind = KINDS.get(made.kind)
    if kind is None or kind.cells is None or len(made) == 0:
        return None
    row, place = kind.cells(made)
    return job_state.CellsState(row=_packed(row, "<i2"), place=_packed(place, "<i2"))


def picture(made: Assembly) -> job_state.PictureState:
    """The arrays a browser draws a piece from; numbers packed little-endian, in base64."""
    return job_state.PictureState(
        centre=_packed(made.centre, "<f4"),
        axis=_packed(made.axis, "<f4"),
        radius=_packed(made.radius, "<f4"),
        stock=_packed(made.stock, "<i2"),
        shade=_packed(made.shade, "<i2"),
        layer=_packed(made.layer, "<i2"),
        slot=_packed(made.slot, "<i2"),
        role=_packed(made.role, "<i2"),
        cells=_cells(made),
        stocks=[
            job_state.StockState(
                shape=shape_name(stock),
                size=stock.size,
                mark=stock.mark,
                letters=_letters(stock.mark),
            )
            for stock in made.stocks
        ],
        shades=[
            job_state.ShadeState(name=s.name, colour=s.colour, finish=s.finish, inner=s.inner)
            for s in made.shades
        ],
        hardware=[
            job_state.HardwareState(
                use=part.use,
                path=_points(part.path),
                across=part.diameter_m,
                height=part.height_m,
                colour=None if part.shade is None else part.shade.colour,
                print=_print(part),
            )
            for part in made.hardware
        ],
        strands=[
            job_state.StrandState(
                path=_points(strand.path), across=strand.diameter_m, colour=strand.shade.colour
            )
            for strand in made.strands
        ],
        fabrics=[
            job_state.FabricState(
                material=fabric.material,
                radius=fabric.radius_m,
                bottom=fabric.bottom_m,
                top=fabric.top_m,
                colour=fabric.shade.colour,
                at=fabric.at,
            )
            for fabric in made.fabrics
        ],
    )


def _letters(mark: str | None) -> list[list[float]] | None:
    """Outlines of the words on a balloon, as all pictures lay them out; None without."""
    from airwright.pictures.printed import words_on_balloon

    shapes = words_on_balloon(mark)
    rings = [ring for shape in shapes for ring in (shape.exterior, *shape.interiors)]
    return [
        [round(float(v), 4) for point in ring.coords[:-1] for v in point] for ring in rings
    ] or None


def _print(part: HardwarePlaced) -> list[list[float]] | None:
    """Triangles of the words on a board, x and z of each corner in turn [m]; None without."""
    shapes = words_on(part)
    if not shapes:
        return None
    middle = middle_of(part)
    corners = np.concatenate([triangles_of(shape) for shape in shapes]) + middle[[0, 2]]
    return [[round(float(value), 4) for value in triangle.ravel()] for triangle in corners]


def shape_name(stock: Stock) -> str:
    """Which unit mesh a balloon is drawn with: the part of a mesh's address after /shapes/."""
    if stock.family.value == "foil":
        return f"foil-{stock.outline or 'round'}"
    if stock.family.value == "modelling":
        ratio = stock.length_m / stock.inflated_m if stock.inflated_m else 0.0
        return f"long-{min(max(round(ratio), 0), 60)}"
    tightness = stock.inflated_m / stock.nominal_m if stock.nominal_m else 0.88
    return f"pear-{min(max(round(tightness * 100), 20), 120)}"


def _packed(values: Any, kind: str) -> str:
    return base64.b64encode(np.ascontiguousarray(values, dtype=kind).tobytes()).decode()


def _points(path: tuple[tuple[float, float, float], ...]) -> list[job_state.Point]:
    return [(round(x, 4), round(y, 4), round(z, 4)) for x, y, z in path]
