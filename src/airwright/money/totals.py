"""A document's sums, named for EN 16931-1 (BT-106 to BT-115), and the rules between them.

lines     BT-106  sum of the lines
taken off BT-107  allowances on the whole document
added     BT-108  charges on the whole document
net       BT-109  lines - taken off + added
tax       BT-110  sum of the tax groups
gross     BT-112  net + tax
prepaid   BT-113  paid already
rounding  BT-114  to the amount agreed
due       BT-115  gross - prepaid + rounding
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from airwright.money.amount import ZERO, cent, rounded, shared
from airwright.money.lines import Line, sum_of
from airwright.money.tax import NO_TAX, Tax, TaxBasis, TaxGroup, net_of, tax_groups


@dataclass(frozen=True, slots=True)
class Adjustment:
    """Something on the whole document: taken off (BG-20) when negative, added (BG-21) else."""

    what: str
    amount: Decimal
    tax: Tax = NO_TAX


@dataclass(frozen=True, slots=True)
class Totals:
    """A document's sums; see the head of this file. Every amount is whole cents."""

    currency: str
    lines: Decimal
    taken_off: Decimal
    added: Decimal
    net: Decimal
    tax: Decimal
    gross: Decimal
    prepaid: Decimal
    rounding: Decimal
    due: Decimal
    groups: tuple[TaxGroup, ...]


def totals(
    currency: str,
    lines: Sequence[Line],
    adjustments: Sequence[Adjustment] = (),
    *,
    prepaid: Decimal = ZERO,
    rounding: Decimal = ZERO,
) -> Totals:
    """Sums of a document whose lines are told before tax.

    Args:
        currency: ISO 4217 code of the whole document.
        lines, adjustments: amounts before tax.
        prepaid: paid already, tax included.
        rounding: to the amount agreed; see `net_lines`.
    """
    line_sum = sum_of(lines)
    taken_off = -sum((a.amount for a in adjustments if a.amount < 0), ZERO)
    added = sum((a.amount for a in adjustments if a.amount >= 0), ZERO)
    groups = tax_groups(
        [*((one.price, one.tax) for one in lines), *((a.amount, a.tax) for a in adjustments)],
        currency,
    )
    net = line_sum - taken_off + added
    tax = sum((group.amount for group in groups), ZERO)
    zero = rounded(ZERO, currency)
    return Totals(
        currency=currency,
        lines=line_sum + zero,
        taken_off=taken_off + zero,
        added=added + zero,
        net=net + zero,
        tax=tax + zero,
        gross=net + tax + zero,
        prepaid=prepaid + zero,
        rounding=rounding + zero,
        due=net + tax - prepaid + rounding + zero,
        groups=groups,
    )


def net_lines(currency: str, lines: Sequence[Line]) -> tuple[tuple[Line, ...], Decimal]:
    """Lines told with their tax, turned into lines before tax, and the rounding left.

    Per tax group the net total is taken from the gross total once and dealt over its lines by
    the cent. Tax on that net total can miss the gross total by a cent (at 19 % no net amount
    leads to 0.03); that cent is the rounding (BT-114), so that what is due is what was agreed.

    Returns:
        Net lines in the same order (unit price = net price / quantity, not rounded), rounding.
    """
    found: list[Line] = list(lines)
    rounding = ZERO
    by_group: dict[tuple[str, Decimal], list[int]] = {}
    for at, one in enumerate(lines):
        by_group.setdefault(one.tax.key, []).append(at)
    for members in by_group.values():
        tax = lines[members[0]].tax
        gross = sum((lines[at].price for at in members), ZERO)
        net = net_of(gross, tax, currency)
        for at, price in zip(members, _nets(lines, members, tax, net, currency), strict=True):
            one = lines[at]
            each = price if one.quantity == 0 else price / one.quantity
            found[at] = replace(one, price=price, unit_price=each)
        rounding += gross - net - rounded(net * tax.rate, currency)
    return tuple(found), rounding


def _nets(
    lines: Sequence[Line], members: Sequence[int], tax: Tax, net: Decimal, currency: str
) -> list[Decimal]:
    """Net prices near gross / (1 + rate) that add up to the group's net total."""
    nets = [net_of(lines[at].price, tax, currency) for at in members]
    off = net - sum(nets, ZERO)
    if off:
        for at, part in enumerate(shared(off, [abs(each) for each in nets], currency)):
            nets[at] += part
    return nets


def totals_as_told(currency: str, lines: Sequence[Line], basis: TaxBasis) -> Totals:
    """Sums of lines as the studio tells prices: before tax, or with it."""
    if basis is TaxBasis.ON_TOP:
        return totals(currency, lines)
    before, rounding = net_lines(currency, lines)
    return totals(currency, before, rounding=rounding)


def broken_rules(found: Totals, lines: Iterable[Line]) -> tuple[str, ...]:
    """Names of the arithmetic rules of EN 16931 that a document's sums break, to the cent."""
    checks = {
        "BR-CO-10": found.lines == sum_of(lines),
        "BR-CO-13": found.net == found.lines - found.taken_off + found.added,
        "BR-CO-14": found.tax == sum((g.amount for g in found.groups), ZERO),
        "BR-CO-15": found.gross == found.net + found.tax,
        "BR-CO-16": found.due == found.gross - found.prepaid + found.rounding,
        "BR-CO-17": all(
            g.amount == rounded(g.base * g.tax.rate, found.currency) for g in found.groups
        ),
        "BR-DEC": all(
            value == value.quantize(cent(found.currency))
            for value in (found.lines, found.net, found.tax, found.gross, found.due)
        ),
    }
    return tuple(name for name, holds in checks.items() if not holds)
