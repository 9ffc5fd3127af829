"""What physics says when a question lies outside what it can answer.

Every error carries a machine code, the quantity, the offending value, the bounds and a
cure, so that an upper room can turn it into a finding without parsing any text.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from airwright.physics.types import Floats, Real


class PhysicsError(ValueError):
    """A question physics refuses to answer; the root of the tree."""

    code = "physics"

    def __init__(
        self,
        quantity: str,
        value: float | str,
        cure: str,
        *,
        low: float | None = None,
        high: float | None = None,
        unit: str = "",
        index: int | None = None,
        code: str | None = None,
    ) -> None:
        self.code = code or type(self).code
        self.quantity = quantity
        self.value = value
        self.low = low
        self.high = high
        self.unit = unit
        self.index = index
        self.cure = cure
        super().__init__(self._sentence())

    def _sentence(self) -> str:
        shown = f"{self.value:.6g}" if isinstance(self.value, float) else str(self.value)
        where = "" if self.index is None else f" (row {self.index})"
        unit = f" {self.unit}" if self.unit else ""
        bounds = self._bounds()
        return f"{self.quantity} is {shown}{unit}{where}{bounds}. {self.cure}"

    def _bounds(self) -> str:
        if self.low is None and self.high is None:
            return ""
        if self.high is None:
            return f", must be at least {self.low:g}"
        if self.low is None:
            return f", must be at most {self.high:g}"
        return f", must lie between {self.low:g} and {self.high:g}"


class OutOfRangeError(PhysicsError):
    """A value outside the range in which the method holds."""

    code = "physics.out-of-range"


class NotFiniteError(PhysicsError):
    """Not a number, or infinite."""

    code = "physics.not-a-number"


class AmbiguousPressureError(PhysicsError):
    """A cylinder pressure without saying gauge or absolute."""

    code = "physics.gauge-or-absolute"


class UnknownMethodError(PhysicsError):
    """A method or model name that the registry does not hold."""

    code = "physics.unknown-method"


class NotSolvedError(PhysicsError):
    """No balance exists, or none was found to the stated tolerance."""

    code = "physics.not-solved"


def require(
    quantity: str,
    value: Real,
    cure: str,
    *,
    low: float | None = None,
    high: float | None = None,
    unit: str = "",
    above: bool = False,
    code: str | None = None,
) -> Floats:
    """Return `value` as floats, or raise naming the first entry out of bounds.

    `above=True` makes the lower bound exclusive (a mass above zero).
    """
    array = np.asarray(value, dtype=np.float64)
    flat = array.ravel()
    finite = np.isfinite(flat)
    if not finite.all():
        row = int(np.argmin(finite))
        raise NotFiniteError(quantity, float(flat[row]), cure, unit=unit, index=_row(array, row))
    wrong = np.zeros(flat.shape, dtype=bool)
    if low is not None:
        wrong |= (flat <= low) if above else (flat < low)
    if high is not None:
        wrong |= flat > high
    if wrong.any():
        row = int(np.argmax(wrong))
        raise OutOfRangeError(
            quantity,
            float(flat[row]),
            cure,
            low=low,
            high=high,
            unit=unit,
            index=_row(array, row),
            code=code,
        )
    return array


def _row(array: Floats, row: int) -> int | None:
    return row if array.ndim else None
