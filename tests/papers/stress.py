"""Jobs that try to break a layout, by name. Built when asked for, so that collecting is quick."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from functools import cache

from airwright.plan.values import Plan
from airwright.units import System
from tests.papers.plans import (
    ARABIC,
    CJK,
    HEBREW,
    HINDI,
    LONG,
    MARKUP,
    TAX,
    THAI,
    plan_with,
    studio_with,
)


def endless() -> Plan:
    names = [LONG[at:] + "xyz"[:at] for at in range(3)]
    return plan_with(
        names,
        [(LONG[at : at + 80], names[at:]) for at in range(3)],
        head={"title": LONG, "client": LONG, "contact": LONG},
        venue={"name": LONG, "address": LONG + LONG[:100]},
        note=LONG + LONG[:100],
        studio=studio_with(
            house={
                "name": LONG[:120],
                "address": LONG + LONG[:100],
                "contact": LONG,
                "terms": LONG * 20,
            },
            pricing={"tax": TAX, "tax_name": LONG[:40]},
        ),
    )


def scripts() -> Plan:
    return plan_with(
        [ARABIC, CJK, f"{HEBREW} (2)"],
        [(ARABIC, [ARABIC]), (CJK, [CJK]), (HEBREW, [f"{HEBREW} (2)"])],
        head={"title": CJK, "client": ARABIC, "contact": HEBREW},
        venue={"name": THAI, "address": HINDI},
        note=HINDI,
        studio=studio_with(house={"name": HEBREW}),
    )


def markup() -> Plan:
    return plan_with(
        [MARKUP, MARKUP + "2", MARKUP + "3"],
        [(MARKUP[:80], [MARKUP]), ("b" + MARKUP[:70], [MARKUP + "2"])],
        head={"title": MARKUP, "client": MARKUP, "contact": MARKUP},
        venue={"name": MARKUP, "address": MARKUP},
        note=MARKUP,
        studio=studio_with(house={"name": MARKUP, "terms": MARKUP}),
    )


def forty() -> Plan:
    names = [f"Piece number {n}" for n in range(40)]
    return plan_with(
        names,
        [("Everything there is", names), ("One", names[3:4])],
        head={"chosen": "Everything there is"},
        studio=studio_with(pricing={"tax": TAX, "tax_name": "Sales tax"}),
    )


def alone() -> Plan:
    return plan_with(
        ["Only"],
        head={"client": "", "note": "Invented scenario"},
        venue={"name": "", "setting": "open air", "gust": 8.0},
        studio=studio_with(
            house={"units": System.METRIC, "name": "Ballonwerk Nord"},
            pricing={"tax": Decimal("0.19"), "tax_name": "USt."},
        ),
    )


def twelve() -> Plan:
    return plan_with(
        [f"P{n}" for n in range(12)],
        [(f"Option {n}", [f"P{n}"]) for n in range(12)],
        note="A short note about it.",
        head={"currency": "JPY"},
        studio=studio_with(
            pricing={
                "labour_rate": Decimal(900),
                "currency": "JPY",
                "catalog_rate": Decimal(150),
                "price_step": Decimal(100),
            }
        ),
    )


def dear() -> Plan:
    return plan_with(
        options=[("A", ["One"]), ("B", ["Two", "Three"])],
        head={"currency": "KWD"},
        count=400,
        studio=studio_with(
            pricing={
                "labour_rate": Decimal(1000),
                "currency": "KWD",
                "catalog_rate": Decimal(99999),
                "tax": TAX,
                "tax_name": "VAT",
            }
        ),
    )


CASES: dict[str, Callable[[], Plan]] = {
    case.__name__: cache(case) for case in (endless, scripts, markup, forty, alone, twelve, dear)
}
