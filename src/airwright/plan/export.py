"""The Plan as plan.json: stable, documented, with a JSON Schema."""

from __future__ import annotations

import dataclasses
import json
from decimal import Decimal
from importlib.resources import files
from typing import Any

from airwright.decor.contacts import contacts
from airwright.job.findings import Finding
from airwright.money.amount import amount_text
from airwright.money.lines import Line
from airwright.plan.labour import labour_of, work_json
from airwright.plan.load import groups_of, van_load
from airwright.plan.piece_values import Money, Need, PiecePlan
from airwright.plan.tally import cuts
from airwright.plan.to_json import json_values
from airwright.plan.values import OptionPlan, Plan

FORMAT = "airwright-plan/1"


def as_json(plan: Plan) -> dict[str, Any]:
    """The whole plan as plain values; keys may be added in later versions, never dropped."""
    currency = plan.job.job.currency
    return {
        "format": FORMAT,
        "job": {
            "title": plan.job.job.title,
            "client": plan.job.job.client,
            "date": plan.job.job.date.isoformat(),
        },
        "scope": list(plan.scope),
        "pieces": [_piece(piece, currency) for piece in plan.pieces],
        "needs": [_need(need, currency) for need in plan.needs],
        "options": [_option(option) for option in plan.options],
        "money": _money(plan.money),
        "hours": round(plan.hours, 3),
        "labour": labour_of(plan.in_scope, plan.job_work, plan.crew).to_json(),
        "chance_short": _chance(plan.chance_short),
        "day": _day(plan),
        "van": _van(plan),
        **_physics(plan),
        "findings": [finding_json(finding) for finding in plan.findings],
    }


def dumps(plan: Plan) -> str:
    """plan.json as text, the same for the same plan."""
    return json.dumps(as_json(plan), indent=1, ensure_ascii=False) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of plan.json (draft 2020-12)."""
    text = files("airwright.plan").joinpath("schema", "plan.schema.json").read_text("utf-8")
    loaded: dict[str, Any] = json.loads(text)
    return loaded


def finding_json(finding: Finding) -> dict[str, Any]:
    """A finding as plain values."""
    return {
        "code": finding.code,
        "severity": finding.severity.value,
        "place": finding.place,
        "what": finding.what,
        "mend": finding.mend,
        "line": finding.line,
        "column": finding.column,
        "standard": finding.standard,
        "pieces": list(finding.pieces),
    }


def _piece(piece: PiecePlan, currency: str) -> dict[str, Any]:
    assembly = piece.assembly
    return {
        "name": piece.name,
        "kind": piece.spec.kind,
        "count": piece.count,
        "layers": assembly.layers,
        "height_m": round(assembly.height_m, 4),
        "width_m": round(assembly.width_m, 4),
        "depth_m": round(assembly.depth_m, 4),
        "bottom_m": round(assembly.bottom_m, 4),
        "own_height_m": round(assembly.own_height_m, 4),
        "pitch_m": None if assembly.pitch_m is None else round(assembly.pitch_m, 5),
        "pitch_range_m": _range(assembly.pitch_range_m),
        "layers_range": _range(assembly.layers_range),
        "contacts": contacts(assembly),
        "balloons": [
            {
                "size_in": line.size_in,
                "inflated_in": line.inflated_in,
                "shade": line.shade,
                "role": line.role,
                "count": line.count,
                "size": line.size,
                "helium": line.helium,
                "bags": list(line.bags or (line.shade,)),
            }
            for line in (*piece.balloons, *piece.ties)
        ],
        "clusters": [
            {
                "recipe": line.recipe,
                "shades": list(line.shades),
                "count": line.count,
                "role": line.role,
            }
            for line in piece.clusters
        ],
        "hardware": [
            {
                "item": line.item,
                "quantity": line.quantity,
                "unit": line.unit,
                "shade": line.shade,
                "depth_m": line.depth_m,
            }
            for line in piece.hardware
        ],
        "cuts": [
            {"item": item, "cut_m": cut_m, "count": count} for item, cut_m, count in cuts(assembly)
        ],
        "steps": [
            {
                "title": str(step.title),
                "text": str(step.text),
                "measures": {name: round(value, 4) for name, value in step.measures},
            }
            for step in assembly.steps
        ],
        "mass_kg": round(piece.mass_kg, 3),
        "bulk_m3": round(piece.bulk_m3, 3),
        "hours": round(piece.hours, 3),
        "work": [work_json(line) for line in piece.work],
        "price": _price(piece, currency),
        "stability": None if piece.stability is None else piece.stability.to_json(),
        "floats": [line.to_json() for line in piece.floats],
        "weighting": None if piece.weighting is None else json_values(piece.weighting),
        "residual": {
            "force_n": assembly.residual.force_n,
            "relative": assembly.residual.relative,
            "converged": assembly.residual.converged,
        },
    }


def _range(pair: tuple[float, float] | None) -> list[float] | None:
    return None if pair is None else [round(end, 5) for end in pair]


def _day(plan: Plan) -> dict[str, Any]:
    """Times of the pieces in scope, for the crew of the job."""
    return {
        "hands": plan.crew.hands,
        "set_up_hours": round(plan.crew.build_h, 3),
        "take_down_hours": round(plan.crew.strike_h, 3),
        "one_way_hours": round(plan.crew.drive_h, 3),
        "drive_m": plan.job.venue.drive,
    }


def _van(plan: Plan) -> dict[str, Any]:
    """What goes along, against what the van takes."""
    groups = groups_of(plan)
    load = van_load(groups, plan.studio.van)
    return {
        "mass_kg": round(load.mass_kg, 3),
        "bulk_m3": round(load.bulk_m3, 3),
        "load_kg": load.load_kg,
        "room_m3": load.room_m3,
        "trips": load.trips,
        "groups": [
            {
                "title": str(group.title),
                "items": [
                    {
                        "item": str(item.name),
                        "quantity": _number(item.quantity),
                        "unit": item.unit,
                        "mass_kg": round(item.mass_kg, 3),
                        "bulk_m3": round(item.bulk_m3, 4),
                    }
                    for item in group.items
                ],
                "mass_kg": round(sum(item.mass_kg for item in group.items), 3),
                "bulk_m3": round(sum(item.bulk_m3 for item in group.items), 4),
            }
            for group in groups
        ],
    }


def _physics(plan: Plan) -> dict[str, Any]:
    """What warmth, gas and time do to the job, and the surroundings they were reckoned for."""
    found = plan.physics
    if found is None:
        return {}
    return {
        "surroundings": [json_values(around) for around in found.around],
        "sizes": [row.to_json() for row in found.sizes],
        "gas": None if found.gas is None else found.gas.to_json(),
        "helium_sizes": [row.to_json() for row in found.helium_sizes],
        "ageing": [life.to_json() for life in found.ageing],
    }


def _number(value: float) -> float | int:
    return int(value) if float(value).is_integer() else round(value, 3)


def _chance(chance: float) -> float:
    """A small chance keeps its digits."""
    return float(f"{chance:.6g}")


def _need(need: Need, currency: str) -> dict[str, Any]:
    return {
        "item": need.item,
        "size_in": need.size_in,
        "shade": need.shade,
        "used": _number(need.used),
        "spare": _number(need.spare),
        "reserve": need.reserve,
        "total": _number(need.total),
        "unit": need.unit,
        "kind": need.kind,
        "depth_m": need.depth_m,
        "mass_kg": round(need.mass_kg, 3),
        "failure_rate": need.failure_rate,
        "failure_seen": need.failure_seen,
        "chance_short": _chance(need.chance_short),
        "packs": [
            {"count": pack.count, "bags": pack.bags, "price": amount_text(pack.price, currency)}
            for pack in need.packs
        ],
    }


def _option(option: OptionPlan) -> dict[str, Any]:
    currency = option.money.currency
    return {
        "name": option.name,
        "pieces": list(option.option.pieces),
        "balloons": option.balloons,
        "hours": round(option.hours, 3),
        "site_hours": round(option.site_hours, 3),
        "labour": labour_of(option.pieces, option.job_work, option.crew).to_json(),
        "take_down_hours": round(option.strike_hours, 3),
        "deposit": amount_text(option.money.deposit, currency),
        "tax": amount_text(option.money.tax, currency),
        "cost": amount_text(option.money.cost, currency),
        "price": amount_text(option.money.price, currency),
        "total": amount_text(option.money.total, currency),
        "piece_prices": [amount_text(price, currency) for price in option.piece_prices],
        "margin": amount_text(option.money.margin, currency),
        "lines": [_line(line, currency) for line in option.lines],
    }


def _line(line: Line, currency: str) -> dict[str, Any]:
    return {
        "kind": line.kind.value,
        "piece": line.piece,
        "quantity": f"{line.quantity.normalize():f}",
        "unit_price": amount_text(line.unit_price, currency),
        "price": amount_text(line.price, currency),
        "what": line.what,
        "tax_rate": f"{line.tax.rate.normalize():f}",
    }


def _price(piece: PiecePlan, currency: str) -> dict[str, Any] | None:
    price = piece.price
    if price is None:
        return None
    return {
        "unit_price": amount_text(price.unit_price, currency),
        "cost": amount_text(price.full_cost, currency),
        "margin": amount_text(price.margin, currency),
        "by_hand": price.by_hand,
    }


def _money(money: Money) -> dict[str, str]:
    return {
        field.name: value if isinstance(value, str) else amount_text(Decimal(value), money.currency)
        for field in dataclasses.fields(money)
        for value in [getattr(money, field.name)]
    }
