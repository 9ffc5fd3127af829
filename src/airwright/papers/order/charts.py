"""Pictures of buying: the shelf over time, and what the saving is made of (SVG)."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.language.figures import said_money
from airwright.operations.buying.report import Report
from airwright.operations.goods import Goods
from airwright.papers.common.document import Paper
from airwright.pictures.drawing.svg import escape, number

WIDTH, ROW, LEFT, RIGHT, TOP = 900.0, 54.0, 210.0, 70.0, 66.0
INK, SOFT, LINE, FREE, RESERVED, WARN = (
    "#22303a", "#5d6b75", "#d5dce0", "#7fb3b3", "#e2b08a", "#b4472f",
)  # fmt: skip
Across = Callable[[dt.date], float]
"""Where a day stands, from the left."""

MOST_ROWS: Final = 14
"""Goods drawn one by one, those most of which is used first."""


@dataclass(frozen=True, slots=True)
class Level:
    """Goods on the shelf from a day on, in the evening: how many, and how many of them are
    promised to needs that are still to come."""

    day: dt.date
    on_hand: int
    promised: int


def charts_of(report: Report, mark: str) -> tuple[Paper, ...]:
    """stock.svg and saving.svg; none where nothing is needed."""
    if not report.question.needs:
        return ()
    return (
        Paper("stock.svg", stock_chart(report).encode(), mark),
        Paper("saving.svg", saving_chart(report).encode(), mark),
    )


def levels(report: Report, goods: Goods) -> tuple[Level, ...]:
    """Goods from today on, day by day on which something changes."""
    question, answer = report.question, report.answer
    swapped = {one.need: one.instead for one in answer.swapped}
    comes: dict[dt.date, int] = {}
    goes: dict[dt.date, int] = {}

    def add(days: dict[dt.date, int], day: dt.date, count: int) -> None:
        days[max(day, question.today)] = days.get(max(day, question.today), 0) + count

    for lot in question.lots:
        if lot.goods == goods and (lot.good_until is None or lot.good_until >= question.today):
            add(comes, lot.since or question.today, lot.quantity)
    for order in answer.orders:
        for line in order.lines:
            if line.goods == goods:
                add(comes, order.arrives_on, line.units)
    for need in question.needs:
        if swapped.get(need, need.goods) == goods:
            add(goes, need.due, need.quantity)
    hand, to_come = 0, sum(goes.values())
    found = []
    for day in sorted({question.today, *comes, *goes}):
        hand += comes.get(day, 0) - goes.get(day, 0)
        to_come -= goes.get(day, 0)
        found.append(Level(day, hand, min(max(hand, 0), to_come)))
    return tuple(found)


def stock_chart(report: Report) -> str:
    """The shelf over time: what is there, what of it is promised, what comes in."""
    question = report.question
    used: dict[Goods, int] = {}
    for need in question.needs:
        used[need.goods] = used.get(need.goods, 0) + need.quantity
    shown = sorted(used, key=lambda goods: (-used[goods], goods))[:MOST_ROWS]
    last = max(need.due for need in question.needs)
    days = max((last - question.today).days + 3, 7)
    scale = (WIDTH - LEFT - RIGHT) / days

    def x(day: dt.date) -> float:
        return LEFT + (day - question.today).days * scale

    height = TOP + ROW * len(shown) + 34
    parts = [_text(16, 26, "The shelf over time", 17, INK, "bold"), *_legend(16, 46)]
    parts += _weeks(question.today, days, x, TOP, height - 34)
    for at, goods in enumerate(shown):
        parts += _row(report, goods, TOP + at * ROW, x, x(last) + 2 * scale)
    rest = len(used) - len(shown)
    if rest:
        parts.append(
            _text(16, height - 10, f"and {rest} more goods, less of which is used", 11, SOFT)
        )
    return _svg(WIDTH, height, parts, "The shelf over time")


def _row(report: Report, goods: Goods, top: float, x: Across, end: float) -> list[str]:
    rows = levels(report, goods)
    peak = max(1, *(level.on_hand for level in rows))
    base, tall = top + ROW - 12, ROW - 20

    def y(count: int) -> float:
        return base - tall * max(count, 0) / peak

    parts = [
        _text(16, top + 24, _short(goods.shown_item, 26), 12, INK, "bold"),
        _text(16, top + 40, _short(goods.shown_shade or "one kind", 28), 11, SOFT),
        _line(LEFT, base, WIDTH - RIGHT, base, LINE),
        _text(WIDTH - RIGHT + 8, y(peak) + 4, f"{peak:,}", 11, SOFT),
    ]
    for at, level in enumerate(rows):
        x0 = x(level.day)
        x1 = x(rows[at + 1].day) if at + 1 < len(rows) else end
        parts += [
            _bar(x0, y(level.on_hand), x1 - x0, base - y(level.on_hand), FREE),
            _bar(x0, y(level.promised), x1 - x0, base - y(level.promised), RESERVED),
        ]
        if level.on_hand < 0:
            parts.append(_text(x0, base - 4, f"{-level.on_hand} short", 11, WARN, "bold"))
    said_to = -math.inf
    for order in sorted(report.answer.orders, key=lambda one: one.arrives_on):
        units = sum(line.units for line in order.lines if line.goods == goods)
        if units:
            spot, words = x(order.arrives_on), f"+{units:,}"
            parts.append(f'<path d="M{number(spot)} {number(base)}l-5 9h10z" fill="{INK}"/>')
            said = max(spot + 7, said_to)
            parts.append(_text(said, base + 10, words, 10, INK))
            said_to = said + 7.0 * len(words) + 4
    return parts


def _weeks(today: dt.date, days: int, x: Across, top: float, bottom: float) -> list[str]:
    step = 7 if days <= 70 else 28
    parts = []
    for number_of in range(0, days + 1, step):
        day = today + dt.timedelta(days=number_of)
        parts.append(_line(x(day), top, x(day), bottom, LINE))
        parts.append(_text(x(day) + 3, top - 4, f"{day.day} {day:%b}", 11, SOFT))
    return parts


def _legend(x: float, y: float) -> list[str]:
    parts, at = [], x
    for colour, words in ((FREE, "free"), (RESERVED, "promised to jobs")):
        parts += [_bar(at, y - 9, 12, 12, colour), _text(at + 17, y + 1, words, 12, SOFT)]
        at += 30 + 7.0 * len(words)
    parts.append(f'<path d="M{number(at + 5)} {number(y - 8)}l-5 9h10z" fill="{INK}"/>')
    parts.append(_text(at + 16, y + 1, "comes in", 12, SOFT))
    return parts


def saving_chart(report: Report) -> str:
    """From buying by habit to these orders: where the difference comes from."""
    habit, answer = report.habit, report.answer
    assert habit is not None
    goods = sum((order.goods for order in answer.orders), Decimal(0))
    freight = answer.cost - goods
    bars = [
        ("By habit: each job alone", habit.goods, habit.freight, habit.parcels, habit.units),
        ("These orders", goods, freight, len(answer.orders), answer.units),
    ]
    most = max(float(one[1] + one[2]) for one in bars) or 1.0
    parts = [_text(16, 26, "What the saving is made of", 17, INK, "bold")]
    scale = (WIDTH - LEFT - 160) / most
    for at, (name, part, carriage, parcels, units) in enumerate(bars):
        top = 48 + at * 58
        wide, more = float(part) * scale, float(carriage) * scale
        orders = "1 order" if parcels == 1 else f"{parcels} orders"
        parts += [
            _text(16, top + 18, name, 13, INK, "bold"),
            _text(16, top + 34, f"{orders}, {units:,} pieces", 11, SOFT),
            _bar(LEFT, top, wide, 34, FREE),
            _bar(LEFT + wide, top, more, 34, RESERVED),
            _text(LEFT + wide + more + 8, top + 22, said_money(part + carriage, answer.currency),
                  14, INK, "bold"),
        ]  # fmt: skip
    parts += _saving_words(report, goods, freight, 48 + 2 * 58 + 12)
    return _svg(WIDTH, 48 + 2 * 58 + 76, parts, "What the saving is made of")


def _saving_words(report: Report, goods: Decimal, freight: Decimal, top: float) -> list[str]:
    habit, answer = report.habit, report.answer
    assert habit is not None

    def words(name: str, before: Decimal, after: Decimal) -> str:
        change = said_money(abs(before - after), answer.currency)
        return f"{name}: {change} {'less' if after <= before else 'more'}"

    saving = habit.cost - answer.cost
    share = f" ({100 * abs(saving) / habit.cost:.0f} %)" if habit.cost else ""
    rows = [
        (FREE, words("goods, by fuller packs and price breaks over all jobs", habit.goods, goods)),
        (RESERVED, words("freight, by fewer and fuller parcels", habit.freight, freight)),
    ]
    parts = []
    for at, (colour, text) in enumerate(rows):
        parts += [
            _bar(LEFT, top + at * 18, 12, 12, colour),
            _text(LEFT + 17, top + at * 18 + 10, text, 12, SOFT),
        ]
    more_or_less = "less" if saving >= 0 else "more"
    total = f"together: {said_money(abs(saving), answer.currency)} {more_or_less}{share}"
    parts.append(_text(LEFT + 17, top + 2 * 18 + 12, total, 13, INK, "bold"))
    return parts


# ---- svg ---------------------------------------------------------------------------------------


def _svg(width: float, height: float, parts: Sequence[str], title: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'role="img" aria-label="{escape(title)}" font-family="sans-serif">'
        f"<title>{escape(title)}</title>"
        f'<rect width="100%" height="100%" fill="#ffffff"/>{"".join(parts)}</svg>\n'
    )


def _text(x: float, y: float, words: str, size: float, colour: str, weight: str = "normal") -> str:
    return (
        f'<text x="{number(x)}" y="{number(y)}" font-size="{number(size)}" '
        f'font-weight="{weight}" fill="{colour}">{escape(words)}</text>'
    )


def _bar(x: float, y: float, width: float, height: float, colour: str) -> str:
    if width <= 0 or height <= 0:
        return ""
    return (
        f'<rect x="{number(x)}" y="{number(y)}" width="{number(width)}" '
        f'height="{number(height)}" fill="{colour}"/>'
    )


def _line(x0: float, y0: float, x1: float, y1: float, colour: str) -> str:
    return (
        f'<line x1="{number(x0)}" y1="{number(y0)}" x2="{number(x1)}" y2="{number(y1)}" '
        f'stroke="{colour}"/>'
    )


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1] + "…"
