"""The answer for programs: `airwright-buying/1`, with its JSON Schema."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from importlib.resources import files
from typing import Any, Final

from airwright.money.amount import amount_text
from airwright.operations.buying.answer import Answer, Order, Short
from airwright.operations.buying.habit import Habit
from airwright.operations.buying.remedies import Remedy
from airwright.operations.buying.report import Report
from airwright.operations.buying.substitutes import Substitute
from airwright.operations.goods import Goods
from airwright.plan.export import finding_json

FORMAT: Final = "airwright-buying/1"


def as_json(report: Report) -> dict[str, Any]:
    """The whole answer as plain values; keys may be added in later versions, never dropped."""
    answer, currency = report.answer, report.answer.currency
    return {
        "format": FORMAT,
        "currency": currency,
        "cost": amount_text(answer.cost, currency),
        "bound": amount_text(answer.bound, currency),
        "gap": round(answer.gap, 6),
        "proven": answer.proven,
        "net": amount_text(answer.net, currency),
        "holding": amount_text(answer.holding, currency),
        "worth_left": amount_text(answer.worth_left, currency),
        "orders": [_order(order, currency) for order in answer.orders],
        "left_over": [
            {
                **_named(left.goods),
                "quantity": left.quantity,
                "worth": amount_text(left.worth, currency),
            }
            for left in answer.left_over
        ],
        "substitutes": [
            *(_taken(one.need.goods, one.instead, one.need.quantity, one.need.due, one.need.job)
              for one in answer.swapped),
            *(_proposal(one, currency) for one in report.substitutes),
        ],
        "short": [_short(one, report.remedies.get(one, ()), currency) for one in answer.short],
        "habit": _habit(report.habit, answer, currency),
        "added": None if report.added is None else amount_text(report.added, currency),
        "findings": [finding_json(finding) for finding in report.findings],
    }  # fmt: skip


def dumps(report: Report) -> str:
    """buying.json as text, the same for the same answer."""
    return json.dumps(as_json(report), indent=1, ensure_ascii=False) + "\n"


def schema() -> dict[str, Any]:
    """The JSON Schema of the answer (draft 2020-12)."""
    text = files("airwright.operations.buying").joinpath("schema", "buying.schema.json")
    loaded: dict[str, Any] = json.loads(text.read_text("utf-8"))
    return loaded


def _named(goods: Goods) -> dict[str, Any]:
    return {"item": goods.shown_item, "shade": goods.shown_shade or None}


def _order(order: Order, currency: str) -> dict[str, Any]:
    return {
        "supplier": order.supplier,
        "order_on": order.order_on.isoformat(),
        "arrives_on": order.arrives_on.isoformat(),
        "usual_on": order.usual_on.isoformat(),
        "goods": amount_text(order.goods, currency),
        "freight": amount_text(order.freight, currency),
        "lines": [
            {
                **_named(line.goods),
                "pack": line.pack,
                "packs": line.packs,
                "units": line.units,
                "price": amount_text(line.price, currency),
                "pack_price": None if line.each is None else amount_text(line.each, currency),
            }
            for line in order.lines
        ],
    }


def _taken(goods: Goods, instead: Goods, quantity: int, due: dt.date, job: str) -> dict[str, Any]:
    return {
        **_named(goods),
        "instead": instead.shown_shade or instead.shown_item,
        "quantity": quantity,
        "due": due.isoformat(),
        "jobs": [job] if job else [],
        "applied": True,
        "colours": None,
        "delta_e": None,
        "saving": None,
        "less_short": None,
    }


def _proposal(one: Substitute, currency: str) -> dict[str, Any]:
    return {
        **_named(one.goods),
        "instead": one.instead.shown_shade or one.instead.shown_item,
        "quantity": one.quantity,
        "due": None,
        "jobs": list(one.jobs),
        "applied": False,
        "colours": list(one.colours),
        "delta_e": round(one.delta_e, 2),
        "saving": amount_text(one.saving, currency),
        "less_short": one.short,
    }


def _short(one: Short, ways: Iterable[Remedy], currency: str) -> dict[str, Any]:
    return {
        **_named(one.need.goods),
        "quantity": one.quantity,
        "needed": one.need.quantity,
        "due": one.need.due.isoformat(),
        "job": one.need.job or None,
        "remedies": [
            {"kind": way.kind, "what": str(way.what), "more": amount_text(way.more, currency),
             "short": way.short}
            for way in ways
        ],
    }  # fmt: skip


def _habit(habit: Habit | None, answer: Answer, currency: str) -> Mapping[str, Any] | None:
    if habit is None:
        return None
    saving: Decimal = habit.cost - answer.cost
    return {
        "cost": amount_text(habit.cost, currency),
        "goods": amount_text(habit.goods, currency),
        "freight": amount_text(habit.freight, currency),
        "orders": habit.parcels,
        "units": habit.units,
        "saving": amount_text(saving, currency),
    }
