"""The solver behind buying against integer programmes whose optimum is known.

Sources: diet problem of V. Chvátal, Linear Programming (1983), its integer optimum as printed by
the NAG library's example of h02buc; KNAPSACK_01 data set of Florida State University; the cutting
stock example of encyclopaedias (73 rolls). `data/*.csv` says what was read and what re-proved.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from airwright.operations.buying.program import Program

DATA = Path(__file__).parent / "data"
SECONDS = 60.0


def rows(name: str) -> list[dict[str, str]]:
    text = (DATA / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in text if not line.startswith("#")))


@pytest.mark.published
def test_diet(compare) -> None:
    program = Program()
    foods = [program.variable(most, whole=True) for most in (4, 3, 2, 8, 2, 2)]
    for amounts, least in (
        ((110, 205, 160, 160, 420, 260), 2000),
        ((4, 32, 13, 8, 4, 14), 55),
        ((2, 12, 54, 285, 22, 80), 800),
    ):
        program.row(dict(zip(foods, map(float, amounts), strict=True)), at_least=least)
    costs = dict(zip(foods, (3.0, 24.0, 13.0, 9.0, 20.0, 19.0), strict=True))
    found = program.minimise(costs, SECONDS)
    assert found.proven
    source = "Chvátal 1983; integer optimum as printed for NAG h02buc"
    compare(found.objective, 97.0, rtol=1e-9, source=source, what="cheapest diet, whole portions")
    portions = [round(value) for value in found.values[:6]]
    compare(str(portions), "[4, 0, 0, 5, 2, 0]", source=source, what="portions")


@pytest.mark.other_program
@pytest.mark.parametrize("row", rows("knapsack.csv"), ids=lambda row: row["instance"])
def test_knapsack(compare, row: dict[str, str]) -> None:
    program = Program()
    weights, profits = (list(map(float, row[key].split())) for key in ("weights", "profits"))
    things = [program.variable(1, whole=True) for _ in weights]
    program.row(dict(zip(things, weights, strict=True)), at_most=float(row["capacity"]))
    found = program.minimise(
        {at: -profit for at, profit in zip(things, profits, strict=True)}, SECONDS
    )
    assert found.proven
    compare(-found.objective, float(row["optimum"]), rtol=1e-9,
            source=f"KNAPSACK_01 {row['instance']}, re-proved with scipy's milp",
            what="best knapsack")  # fmt: skip


@pytest.mark.other_program
def test_cutting_stock(compare) -> None:
    strips = [(int(row["width_mm"]), int(row["demand"])) for row in rows("cutting_stock.csv")]
    patterns: list[tuple[int, ...]] = []

    def cut(at: int, room: int, taken: tuple[int, ...]) -> None:
        if at == len(strips):
            patterns.append(taken)
            return
        for count in range(room // strips[at][0] + 1):
            cut(at + 1, room - count * strips[at][0], (*taken, count))

    cut(0, 5600, ())
    patterns = [pattern for pattern in patterns if any(pattern)]
    program = Program()
    rolls = [program.variable(100, whole=True) for _ in patterns]
    for at, (_, demand) in enumerate(strips):
        program.row(
            {roll: float(pattern[at]) for roll, pattern in zip(rolls, patterns, strict=True)},
            at_least=demand,
        )
    found = program.minimise(dict.fromkeys(rolls, 1.0), SECONDS, absolute_gap=0.9)
    source = "13 widths from 5600 mm, re-proved with scipy's milp"
    compare(round(found.objective), 73, source=source, what="rolls to cut")
    assert found.bound > 72
