"""Spares against the table computed with scipy.stats.binom, and printed binomial tables."""

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.stats import nbinom

from airwright.plan.spares import Line, chance_enough, chance_short, cheapest_spares, to_buy
from tests.validation.reading import rows

ROWS = rows("spares_binomial.csv")


@pytest.mark.other_program
@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['need']}-{r['p_fail']}-{r['confidence']}")
def test_smallest_purchase_matches_the_table(compare, row: dict[str, str]) -> None:
    need, rate, sure = int(row["need"]), float(row["p_fail"]), float(row["confidence"])
    compare(
        to_buy(need, rate, 1 - sure),
        int(row["n_buy"]),
        source="scipy.stats.binom.cdf 1.17.1, spares_binomial.csv",
        what=f"buy for {need} good ones, {rate:.0%} fail, {sure:.0%} sure",
        unit="balloons",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("need", "rate", "risk"), [(7, 0.3, 0.01), (240, 0.015, 0.05), (1, 0.5, 0.2)]
)
def test_negative_binomial_identity(compare, need: int, rate: float, risk: float) -> None:
    """Failures before the need-th success are negative binomial: the same spares."""
    compare(
        to_buy(need, rate, risk) - need,
        int(nbinom.ppf(1 - risk, need, 1 - rate)),
        source="negative binomial quantile (closed form, scipy.stats.nbinom)",
        what=f"spares for {need} at {rate:.1%}",
        unit="balloons",
    )


@pytest.mark.other_program
def test_beta_binomial_with_a_doubtful_rate(compare) -> None:
    """100 balloons bought, rate from Beta(2, 38): P(at most 10 fail), and the 95 % point."""
    compare(
        chance_enough(Line(need=90, rate=0.05, seen=40), 10),
        0.9013417,
        rtol=1e-6,
        source="scipy.stats.betabinom 1.17.1: n=100, a=2, b=38, cdf(10)",
        what="chance that at most 10 of 100 fail, rate known from 40",
        unit="-",
    )
    doubtful = next(s for s in range(40) if chance_enough(Line(100 - s, 0.05, 40), s) >= 0.95)
    certain = next(s for s in range(40) if chance_enough(Line(100 - s, 0.05, 1e9), s) >= 0.95)
    compare(
        doubtful,
        13,
        source="scipy.stats.betabinom 1.17.1: ppf(0.95)",
        what="failures of 100 not exceeded in 95 %, rate known from 40",
        unit="balloons",
    )
    compare(
        certain,
        9,
        source="scipy.stats.binom 1.17.1: ppf(0.95; 100, 0.05)",
        what="failures of 100 not exceeded in 95 %, rate certain",
        unit="balloons",
    )


@pytest.mark.closed_form
def test_spares_of_a_whole_job_two_lines_by_hand(compare) -> None:
    """Need 1 and 1, each fails for certain with 1/10: one spare each leaves 1 - 0.99^2 short."""
    lines = [Line(1, 0.1, float("inf"), cost=1.0)] * 2
    compare(
        chance_short(lines, [1, 1]),
        1 - 0.99**2,
        rtol=1e-12,
        source="1 - (1 - 0.1^2)^2 (closed form)",
        what="chance short of two lines with a spare each",
        unit="-",
    )
    assert cheapest_spares(lines, 0.02) == (1, 1)
    assert sorted(cheapest_spares(lines, 0.019)) == [1, 2]


@pytest.mark.other_program
def test_cheapest_set_is_that_of_an_integer_programme(compare) -> None:
    """Ten lines: our search against HiGHS (scipy.optimize.milp), levels and doubts as here."""
    needs, rates = [4, 12, 36, 27, 18, 60, 8, 100, 2, 24], [0.05, 0.03, 0.02, 0.02, 0.04]
    prices = [2.3, 0.5, 0.15, 0.07, 0.11]
    lines = [
        Line(need, rates[at % 5], 200.0, cost=prices[(3 * at) % 5]) for at, need in enumerate(needs)
    ]
    most = 15
    doubts = np.array([[-np.log(chance_enough(line, s)) for s in range(most)] for line in lines])
    costs = np.array([[line.cost * s for s in range(most)] for line in lines])
    found = milp(
        costs.ravel(),
        constraints=[
            LinearConstraint(np.kron(np.eye(len(lines)), np.ones(most)), 1, 1),
            LinearConstraint(doubts.ravel()[None, :] / -np.log(0.95), ub=1.0),
        ],
        integrality=np.ones(costs.size),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )
    spares = cheapest_spares(lines, 0.05)
    assert chance_short(lines, spares) <= 0.05
    compare(
        sum(line.cost * spare for line, spare in zip(lines, spares, strict=True)),
        float(found.fun),
        atol=2e-3,
        source="HiGHS through scipy.optimize.milp, levels 0 to 14",
        what="cost of the spares of ten lines, 95 % sure together",
        unit="USD",
    )
