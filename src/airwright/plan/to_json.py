"""Frozen values as plain ones, for JSON."""

from __future__ import annotations

import math
from dataclasses import asdict
from decimal import Decimal
from typing import Any, Final

DIGITS: Final = 6
"""Significant digits of plain values: far finer than any doubt in them."""


def json_values(value: Any) -> dict[str, Any]:
    """A frozen dataclass as rounded plain values; what is not finite becomes null."""
    return {key: _plain(item) for key, item in asdict(value).items()}


def _plain(item: Any) -> Any:
    if isinstance(item, float):
        return float(f"{item:.{DIGITS}g}") if math.isfinite(item) else None
    if isinstance(item, Decimal):
        return f"{item:f}"
    if isinstance(item, dict):
        return {key: _plain(part) for key, part in item.items()}
    if isinstance(item, list | tuple):
        return [_plain(part) for part in item]
    return item
