"""Cheapest bags against optima proved with scipy's milp and dynamic programming."""

from decimal import Decimal

import pytest

from airwright.catalog import Pack
from airwright.plan.packs import cheapest


def _dynamic(packs: list[tuple[int, str]], need: int) -> Decimal:
    best = [Decimal(0)] + [Decimal("Infinity")] * need
    for total in range(1, need + 1):
        best[total] = min(best[max(0, total - n)] + Decimal(price) for n, price in packs)
    return best[need]


def _bought(packs: list[tuple[int, str]], need: int) -> tuple[Decimal, int]:
    lines = cheapest([Pack(count=n, price=Decimal(price)) for n, price in packs], need)
    cost = sum((line.price * line.bags for line in lines), Decimal(0))
    return cost, sum(line.count * line.bags for line in lines)


@pytest.mark.other_program
@pytest.mark.parametrize(
    ("packs", "need", "cost"),
    [
        ([(25, "6.5"), (50, "11.5"), (100, "20")], 130, "31.5"),
        ([(25, "4"), (100, "14")], 190, "28"),
    ],
)
def test_worked_examples(compare, packs, need, cost) -> None:
    compare(
        _bought(packs, need)[0],
        Decimal(cost),
        source="optimum by milp and by dynamic programming (checks, section 10)",
        what=f"cheapest bags for {need}",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("need", [1, 24, 25, 26, 99, 101, 137, 400])
def test_dynamic_programming_finds_nothing_cheaper(compare, need: int) -> None:
    packs = [(10, "2.90"), (25, "5.20"), (50, "8.90"), (100, "14.90")]
    cost, count = _bought(packs, need)
    assert count >= need
    compare(cost, _dynamic(packs, need), source="dynamic programming in the test", what=f"{need}")
