"""What to buy, in a terminal."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from rich.table import Table

from airwright.cli.show import console, finding_lines
from airwright.language.figures import said_money
from airwright.operations.buying.answer import Order
from airwright.operations.buying.report import Report

if TYPE_CHECKING:
    from rich.console import Console


def show_report(report: Report, out: Path | None) -> None:
    """Orders, what they cost and how sure that is the least; then what else is worth knowing."""
    screen, answer = console(), report.answer
    for order in answer.orders:
        _order(screen, order, answer.currency)
    if not answer.orders:
        screen.print("Nothing has to be ordered.")
    _totals(screen, report)
    _substitutes(screen, report)
    _short(screen, report)
    told = console(stderr=True)
    for finding in report.findings:
        for line in finding_lines(finding, Path("buying")):
            told.print(line, soft_wrap=False)
    if out is not None:
        screen.print(f"Written into {out}.")


def _order(screen: Console, order: Order, currency: str) -> None:
    screen.print(
        f"{order.supplier}: order on {order.order_on:%a} {order.order_on.day} "
        f"{order.order_on:%b %Y}, here on {order.arrives_on:%a} {order.arrives_on.day} "
        f"{order.arrives_on:%b}",
        style="bold",
    )
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    table.add_column("Goods", overflow="fold")
    for title in ("Packs", "Pieces", "Price"):
        table.add_column(title, justify="right", no_wrap=True)
    for line in order.lines:
        packs = f"{line.packs} × {line.pack}"
        table.add_row(str(line.goods), packs, f"{line.units:,}", said_money(line.price, currency))
    table.add_row("freight", "", "", said_money(order.freight, currency), style="dim")
    screen.print(table)
    screen.print()


def _totals(screen: Console, report: Report) -> None:
    answer, habit = report.answer, report.habit
    sure = "proven cheapest" if answer.proven else f"within {100 * answer.gap:.1f} % of the least"
    screen.print(f"To pay {said_money(answer.cost, answer.currency)}, {sure}.", style="bold")
    if habit is not None and habit.cost and not habit.short and not answer.short:
        saving = habit.cost - answer.cost
        verb, differs = ("saves", saving) if saving >= 0 else ("costs", -saving)
        more = "" if saving >= 0 else " more"
        screen.print(
            f"Each job alone, in the smallest packs that fit, would cost "
            f"{said_money(habit.cost, answer.currency)} in {habit.parcels} orders; this {verb} "
            f"{said_money(differs, answer.currency)}{more} ({100 * differs / habit.cost:.0f} %)."
        )
    left = sum(one.quantity for one in answer.left_over)
    if left:
        screen.print(f"Left over in the end: {left:,} pieces of {_kinds(len(answer.left_over))}.")
    if report.added is not None:
        screen.print(f"The job thought of adds {said_money(report.added, answer.currency)}.")


def _kinds(count: int) -> str:
    return "1 kind" if count == 1 else f"{count} kinds"


def _substitutes(screen: Console, report: Report) -> None:
    for one in report.substitutes:
        gain = f"saves {said_money(one.saving, report.answer.currency)}"
        if one.saving < 0:
            gain = f"costs {said_money(-one.saving, report.answer.currency)} more"
        if one.short:
            gain += f", {one.short} fewer are missing"
        screen.print(
            f"Could be: {one.instead.shown_shade} in place of {one.goods} "
            f"(colour difference {one.delta_e:.1f}) {gain}. "
            f"If the client agrees: --substitute "
            f'"{one.goods.shown_shade}={one.instead.shown_shade}"'
        )


def _short(screen: Console, report: Report) -> None:
    for short in report.answer.short:
        screen.print(
            f"Missing on {short.need.due.isoformat()}: {short.quantity} of {short.need.goods}",
            style="bold red",
        )
        for way in report.remedies.get(short, ()):
            screen.print(f"  - {way.what} {_price(way.more, report.answer.currency, way.short)}")


def _price(more: Decimal, currency: str, still: int) -> str:
    words = "no extra cost" if not more else f"{said_money(abs(more), currency)} "
    if more:
        words += "more" if more > 0 else "less"
    return f"({words})" if not still else f"({words}; {still} still missing)"
