"""What can go wrong when a 3D file is written."""

from __future__ import annotations


class ExchangeError(ValueError):
    """A 3D file that cannot be written: `what` is wrong, and how to `mend` it."""

    def __init__(self, what: str, mend: str) -> None:
        self.what = what
        self.mend = mend
        super().__init__(f"{what} {mend}")
