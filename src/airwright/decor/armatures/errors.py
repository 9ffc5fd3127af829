"""What is wrong with a curve that cannot be drawn."""

from __future__ import annotations

from airwright.language import message


class ArmatureError(ValueError):
    """A curve that makes no sense; `what` and `mend` are sentences for the decorator."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


def positive(name: str, value: float) -> float:
    """`value` when it is a finite length above zero. Raises ArmatureError."""
    if not 0.0 < value < float("inf"):
        raise ArmatureError(
            message("The {name} is {value} m.", name=name, value=value),
            message("Give a length above zero."),
        )
    return value
