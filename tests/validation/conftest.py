"""The ``compare`` fixture: our figure beside a published one.

    def test_treloar_peak(compare):
        compare(peak_mpa, 0.506, rtol=0.02, source="Treloar 1944, table 2",
                what="peak pressure of the equibiaxial data", unit="MPa")

``ours`` and ``published`` are numbers, arrays of one shape, or (compared for
equality) integers, decimals, strings and booleans.  Floats need ``rtol`` or
``atol``.  Every call is one row of the validation page, also when it fails.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import numpy as np
import pytest

from tests.conftest import VALIDATION_ROW, origin_of

Compare = Callable[..., None]


@pytest.fixture
def compare(request: pytest.FixtureRequest) -> Compare:
    """Assert that ours is close to published, and record the pair."""
    node = request.node
    calls = 0

    def check(
        ours: Any,
        published: Any,
        *,
        rtol: float | None = None,
        atol: float | None = None,
        source: str,
        what: str,
        unit: str = "",
    ) -> None:
        nonlocal calls
        if not source.strip() or not what.strip():
            raise ValueError("compare() needs a source and a what, in words")
        shown_ours, shown_published, miss, allowed, ok = judge(ours, published, rtol, atol)
        node.user_properties.append(
            (
                VALIDATION_ROW,
                {
                    "test": node.nodeid,
                    "order": calls,
                    "marker": origin_of(node),
                    "source": source,
                    "what": what,
                    "unit": unit,
                    "ours": shown_ours,
                    "published": shown_published,
                    "tolerance": describe(rtol, atol),
                    "values": int(np.size(published)),
                    "ok": ok,
                },
            )
        )
        calls += 1
        assert ok, (
            f"{what}: ours {shown_ours} {unit}, {source} has {shown_published} {unit}; "
            f"off by {miss}, allowed {allowed}"
        )

    return check


def judge(
    ours: Any, published: Any, rtol: float | None, atol: float | None
) -> tuple[Any, Any, Any, Any, bool]:
    """(ours, published, miss, allowed, ok) at the value that fits worst."""
    exact = rtol is None and atol is None
    if exact and isinstance(published, str | bool | int | Decimal):
        return plain(ours), plain(published), "a different value", "none", bool(ours == published)
    if exact:
        raise TypeError("compare() of floats needs rtol or atol")
    a, b = np.asarray(ours, dtype=float), np.asarray(published, dtype=float)
    if b.size == 0:
        raise ValueError("compare() was given nothing to compare")
    if a.shape != b.shape:
        raise ValueError(f"compare() of unlike shapes: ours {a.shape}, published {b.shape}")
    limit = (atol or 0.0) + (rtol or 0.0) * np.abs(b)
    miss = np.abs(a - b)
    ok = bool(np.all(np.isfinite(a)) and np.all(np.isfinite(b)) and np.all(miss <= limit))
    with np.errstate(divide="ignore", invalid="ignore"):
        strain = np.where(limit > 0, miss / limit, np.where(miss > 0, math.inf, 0.0))
    worst = int(np.argmax(np.nan_to_num(strain, nan=math.inf, posinf=math.inf)))
    return (
        float(a.flat[worst]),
        float(b.flat[worst]),
        float(miss.flat[worst]),
        float(limit.flat[worst]),
        ok,
    )


def plain(value: Any) -> Any:
    """A value that JSON can hold."""
    return value if isinstance(value, str | bool | int) else str(value)


def describe(rtol: float | None, atol: float | None) -> str:
    """How far ours may be off: "0.1 %", "0.02" (in the unit of the row), or "equal"."""
    parts = [f"{100 * rtol:g} %"] if rtol is not None else []
    parts += [f"{atol:g}"] if atol is not None else []
    return " + ".join(parts) or "equal"
