"""What a look at a job says to the browser: one JSON with picture, counts, money and findings."""

from __future__ import annotations

import base64
from collections.abc import Collection, Sequence
from typing import Any

import numpy as np

from airwright.decor.assembly import Assembly, HardwarePlaced, Stock
from airwright.decor.parts.grid import places_in
from airwright.decor.standing import Piece, stand
from airwright.desk.editing.builder import BuiltPiece, Evaluation
from airwright.pictures.printed import middle_of, triangles_of, words_on
from airwright.plan.export import finding_json
from airwright.plan.values import OptionPlan, PiecePlan


def answer(
    evaluation: Evaluation, have: Collection[str], *, price: bool, cost: bool
) -> dict[str, Any]:
    """A look as plain values.

    Args:
        look: what to tell.
        have: keys of pieces whose arrays the browser holds already; they are left out.
        price: whether this person may see prices.
        cost: whether this person may see cost and margin.
    """
    evaluation = evaluation.seen(price=price, cost=cost)
    plan = evaluation.shown
    plans = {piece.place: piece for piece in plan.pieces} if plan else {}
    places = _places(evaluation.pieces)
    return {
        "names": _names(evaluation),
        "pieces": [
            {**_piece(piece, plans.get(piece.place), have), "places": places[at]}
            for at, piece in enumerate(evaluation.pieces)
        ],
        "shades": _shades(evaluation),
        "totals": _totals(evaluation, price=price, cost=cost),
        "options": [_option(o, price=price, cost=cost) for o in plan.options] if plan else [],
        "findings": [finding_json(f) for f in evaluation.findings],
        "currency": evaluation.head().currency,
    }


def _places(pieces: Sequence[BuiltPiece]) -> list[list[list[float]]]:
    """Where the copies of each piece stand: right, away [m] and turn [rad]."""
    found: list[list[list[float]]] = [[] for _ in pieces]
    made = [(at, piece, piece.assembly) for at, piece in enumerate(pieces)]
    built = [(at, piece, body) for at, piece, body in made if body is not None]
    rule = [Piece.of(body, piece.spec.count, piece.spec) for _, piece, body in built]
    for one in stand(rule):
        at = built[one.piece][0]
        found[at].append([round(one.x, 4), round(one.y, 4), round(one.turn_rad, 6)])
    return found


def _names(evaluation: Evaluation) -> list[str]:
    """The name of every piece of the file, also of those that cannot be read."""
    rows = evaluation.tables.get("pieces", [])
    return [
        str(row.get("name", "")) if isinstance(row, dict) else ""
        for row in (rows if isinstance(rows, list) else [])
    ]


def _totals(evaluation: Evaluation, *, price: bool, cost: bool) -> dict[str, Any] | None:
    plan = evaluation.shown
    if plan is None:
        return None
    counted = {piece.name for piece in plan.pieces}
    totals: dict[str, Any] = {
        "left_out": [name for name in _names(evaluation) if name not in counted],
        "balloons": sum(len(p.assembly) * p.count for p in plan.in_scope),
        "hours": round(plan.hours, 4),
        "scope": list(plan.scope),
    }
    if price:
        totals |= {"price": str(plan.money.price), "total": str(plan.money.total)}
    if cost:
        totals |= {"cost": str(plan.money.cost), "margin": str(plan.money.margin)}
    return totals


def _option(option: OptionPlan, *, price: bool, cost: bool) -> dict[str, Any]:
    row: dict[str, Any] = {
        "name": option.name,
        "pieces": [piece.name for piece in option.pieces],
        "balloons": option.balloons,
        "hours": round(option.hours, 2),
    }
    if price:
        row["price"] = str(option.money.price)
    if cost:
        row |= {"cost": str(option.money.cost), "margin": str(option.money.margin)}
    return row


def _shades(evaluation: Evaluation) -> dict[str, dict[str, str]]:
    """The job's own shades by the name it gives them."""
    job = evaluation.job
    if job is None:
        return {}
    from airwright.decor.context import shades_of

    table = shades_of(job, evaluation.studio.catalog())
    return {
        name: {"colour": table[name].colour, "finish": table[name].finish}
        for name in job.shades
        if name in table
    }


def _piece(piece: BuiltPiece, plan: PiecePlan | None, have: Collection[str]) -> dict[str, Any]:
    spec, made = piece.spec, piece.assembly
    spot = spec.spot
    row: dict[str, Any] = {
        "index": int(piece.place[len("pieces[") : -1]),
        "name": spec.name,
        "kind": spec.kind,
        "count": spec.count,
        "key": piece.key if made is not None else None,
        "spot": None if spot is None else {"x": spot.x, "y": spot.y, "facing": spot.facing},
    }
    if made is not None:
        row |= {
            "balloons": len(made),
            "layers": made.layers,
            "size": [round(value, 4) for value in (made.width_m, made.depth_m, made.height_m)],
        }
        if piece.key not in have:
            row["picture"] = picture(made)
    if plan is not None:
        row |= {
            "hours": round(plan.hours, 4),
            "mass_kg": round(plan.mass_kg, 2),
            "tally": [
                [line.size, round(line.inflated_in, 2), line.shade, line.role, line.count]
                for line in (*plan.balloons, *plan.ties)
            ],
        }
    return row


def _cells(made: Assembly) -> dict[str, str] | None:
    """Row and place of each balloon of a wall, whose layers hold many clusters side by side."""
    if made.kind != "wall" or len(made) == 0:
        return None
    row, place = places_in(made.centre, made.radius)
    return {"row": _packed(row, "<i2"), "place": _packed(place, "<i2")}


def picture(made: Assembly) -> dict[str, Any]:
    """The arrays a browser draws a piece from; numbers packed little-endian, in base64."""
    return {
        "centre": _packed(made.centre, "<f4"),
        "axis": _packed(made.axis, "<f4"),
        "radius": _packed(made.radius, "<f4"),
        "stock": _packed(made.stock, "<i2"),
        "shade": _packed(made.shade, "<i2"),
        "layer": _packed(made.layer, "<i2"),
        "slot": _packed(made.slot, "<i2"),
        "role": _packed(made.role, "<i2"),
        "cells": _cells(made),
        "stocks": [_stock(stock) for stock in made.stocks],
        "shades": [
            {"name": s.name, "colour": s.colour, "finish": s.finish, "inner": s.inner}
            for s in made.shades
        ],
        "hardware": [
            {
                "use": part.use,
                "path": _points(part.path),
                "across": part.diameter_m,
                "height": part.height_m,
                "colour": None if part.shade is None else part.shade.colour,
                "print": _print(part),
            }
            for part in made.hardware
        ],
        "strands": [
            {
                "path": _points(strand.path),
                "across": strand.diameter_m,
                "colour": strand.shade.colour,
            }
            for strand in made.strands
        ],
        "fabrics": [
            {
                "material": fabric.material,
                "radius": fabric.radius_m,
                "from": fabric.bottom_m,
                "to": fabric.top_m,
                "colour": fabric.shade.colour,
                "at": list(fabric.at),
            }
            for fabric in made.fabrics
        ],
    }


def _print(part: HardwarePlaced) -> list[list[float]] | None:
    """Triangles of the words on a board, x and z of each corner in turn [m]; None without."""
    shapes = words_on(part)
    if not shapes:
        return None
    middle = middle_of(part)
    corners = np.concatenate([triangles_of(shape) for shape in shapes]) + middle[[0, 2]]
    return [[round(float(value), 4) for value in triangle.ravel()] for triangle in corners]


def _stock(stock: Stock) -> dict[str, Any]:
    return {"shape": shape_name(stock), "size": stock.size, "mark": stock.mark}


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


def _points(path: tuple[tuple[float, float, float], ...]) -> list[list[float]]:
    return [[round(value, 4) for value in point] for point in path]
