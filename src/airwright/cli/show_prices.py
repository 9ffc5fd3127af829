"""Prices in a terminal: pieces, the lines of each option, and options side by side."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from rich.table import Table

from airwright.cli.show import bare_table
from airwright.language.figures import said_money

if TYPE_CHECKING:
    from airwright.money.price import PiecePrice
    from airwright.plan.values import Plan


def piece_prices_table(plan: Plan) -> Table:
    """What one of each piece costs and is sold for: the same in every option."""
    table = bare_table("Piece")
    for title in ("Materials", "Labour", "Wear", "Helium", "Cost", "Margin", "Price of one"):
        table.add_column(title, justify="right", no_wrap=True)
    code = plan.money.currency
    for piece in plan.pieces:
        price = piece.price
        if price is None:
            continue
        parts = (price.cost.materials, price.cost.labour, price.cost.wear, price.cost.gas)
        table.add_row(
            piece.name,
            *(said_money(part, code) if part else "–" for part in parts),
            said_money(price.full_cost, code),
            percent(price.margin_share),
            _unit_price(price, code),
        )
    return table


def _unit_price(price: PiecePrice, code: str) -> str:
    shown = said_money(price.unit_price, code)
    return f"{shown} by hand" if price.by_hand else shown


def lines_tables(plan: Plan) -> Iterator[Table]:
    """What each option's price is made of, one table an option."""
    code = plan.money.currency
    for option in plan.options:
        table = bare_table(option.name)
        for title in ("Quantity", "Each", "Price"):
            table.add_column(title, justify="right", no_wrap=True)
        for line in option.lines:
            one = line.quantity == 1
            table.add_row(
                line.what,
                "" if one else f"{line.quantity:f}",
                "" if one else said_money(line.unit_price, code),
                said_money(line.price, code),
            )
        table.add_row("Price", "", "", said_money(option.money.price, code), style="bold")
        if option.money.tax:
            _tax_rows(table, option.money.price, option.money.tax, option.money.total, plan)
        yield table


def _tax_rows(table: Table, price: Decimal, tax: Decimal, total: Decimal, plan: Plan) -> None:
    code, name = plan.money.currency, plan.studio.pricing.tax_name
    if price == total:
        table.add_row(f"{name} in it", "", "", said_money(tax, code))
        return
    table.add_row(name, "", "", said_money(tax, code))
    table.add_row("Total", "", "", said_money(total, code), style="bold")


def prices_table(plan: Plan) -> Table:
    """Options side by side, with cost and margin."""
    table = bare_table("Option")
    for title in ("Balloons", "Hours", "On site", "Cost", "Margin", "", "Deposit"):
        table.add_column(title, justify="right", no_wrap=True)
    table.add_column("Price", justify="right", style="bold", no_wrap=True)
    for option in plan.options:
        money = option.money
        table.add_row(
            option.name,
            str(option.balloons),
            f"{option.hours:.1f}",
            f"{option.site_hours:.1f} h",
            said_money(money.cost, money.currency),
            said_money(money.margin, money.currency),
            percent(money.margin_share),
            said_money(money.deposit, money.currency),
            said_money(money.price, money.currency),
        )
    return table


def percent(share: Decimal) -> str:
    """A share for people: "61 %"."""
    return f"{share * 100:.0f} %"
