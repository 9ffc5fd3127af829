"""What can go wrong in the store, for developers; the desk words it for people."""

from __future__ import annotations

from airwright.language import file_word, message


class StoreError(Exception):
    """The store could not do what was asked; `what` and `mend` are for people."""

    def __init__(self, what: str, mend: str) -> None:
        super().__init__(f"{what} {mend}")
        self.what = what
        self.mend = mend


class Missing(StoreError):
    """A row that is not there (any more)."""

    def __init__(self, thing: str) -> None:
        super().__init__(
            message("This {thing} is not here any more.", thing=file_word(thing)),
            message("Go back to the jobs."),
        )


class Overtaken(StoreError):
    """Somebody else changed the same thing first.

    Attributes:
        current: the version that stands now.
    """

    def __init__(
        self, current: int, what: str = message("Somebody else changed this first.")
    ) -> None:
        super().__init__(what, message("Look at what stands now, then make your change again."))
        self.current = current


class Unavailable(StoreError):
    """The database is out of reach or too busy just now; later it may not be."""

    def __init__(
        self,
        what: str = "The database does not answer just now.",
        mend: str = "Try again in a moment, then look whether your change is there.",
    ) -> None:
        super().__init__(what, mend)
