"""What an order to a supplier says, as plain values."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from airwright.job.studio import House
from airwright.operations.buying.answer import Line, Order
from airwright.operations.buying.values import Question
from airwright.papers.common.parts import Masthead


@dataclass(frozen=True, slots=True)
class OrderSheet:
    """One order.

    Attributes:
        masthead: who orders.
        supplier, mail: who delivers, and where orders are sent.
        order_on, arrives_on: the day it must go out, and the day the parcel must be there.
        lines: what is ordered.
        codes: bar code or order number of a line, where the price list has one.
        goods, freight: as the price list says.
    """

    masthead: Masthead
    supplier: str
    mail: str
    order_on: dt.date
    arrives_on: dt.date
    currency: str
    lines: tuple[Line, ...]
    codes: tuple[str, ...]
    goods: Decimal
    freight: Decimal

    @property
    def total(self) -> Decimal:
        """Goods and freight."""
        return self.goods + self.freight


def sheets_of(
    question: Question, orders: tuple[Order, ...], house: House, mails: Mapping[str, str]
) -> tuple[OrderSheet, ...]:
    """Orders as sheets.

    Args:
        question: what was asked, with the suppliers' offers.
        orders: the answer's.
        house: who orders.
        mails: supplier's name → address.
    """
    return tuple(_sheet(question, order, house, mails) for order in orders)


def _sheet(question: Question, order: Order, house: House, mails: Mapping[str, str]) -> OrderSheet:
    supplier = next(one for one in question.suppliers if one.name == order.supplier)
    codes = tuple(
        next(
            (
                offer.code
                for offer in supplier.offers
                if offer.serves(line.goods) and offer.pack == line.pack and offer.code
            ),
            "",
        )
        for line in order.lines
    )
    return OrderSheet(
        masthead=Masthead(house.name, house.address, house.contact),
        supplier=order.supplier,
        mail=mails.get(order.supplier, ""),
        order_on=order.order_on,
        arrives_on=order.arrives_on,
        currency=question.currency,
        lines=order.lines,
        codes=codes,
        goods=order.goods,
        freight=order.freight,
    )
