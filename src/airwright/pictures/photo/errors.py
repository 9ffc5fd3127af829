"""What goes wrong with a photograph, in words that say how to mend it."""

from __future__ import annotations


class PhotoError(Exception):
    """A photograph that cannot be made; the papers are then written with drawings.

    Attributes:
        code: machine code, "photo.…".
        what: what is wrong.
        mend: how to mend it.
    """

    def __init__(self, code: str, what: str, mend: str) -> None:
        self.code = code
        self.what = what
        self.mend = mend
        super().__init__(f"{what} {mend}")


class PhotoCancelledError(PhotoError):
    """Someone stopped it; nothing was written."""

    def __init__(self) -> None:
        super().__init__(
            "photo.cancelled", "The photograph was stopped.", "Start it again when wanted."
        )
