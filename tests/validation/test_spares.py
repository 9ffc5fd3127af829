"""Spares against the table computed with scipy.stats.binom, and printed binomial tables."""

import pytest
from scipy.stats import nbinom

from airwright.plan.spares import to_buy
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
