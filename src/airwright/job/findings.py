"""Findings: what is wrong or risky, where, and how to mend it. Data, never printed here."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from airwright.language import message


class Severity(StrEnum):
    """How much a finding matters. An error stops the plan; the others travel with it."""

    ERROR = "error"
    CAUTION = "caution"
    HINT = "hint"


_RANK = {Severity.ERROR: 0, Severity.CAUTION: 1, Severity.HINT: 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong or risky.

    Attributes:
        code: stable name for programs, "unknown-size".
        severity: error, caution or hint.
        place: path in the job file, counted from 0: "pieces[2].height"; "" for the whole job.
        what: a sentence a decorator understands.
        mend: what to do about it.
        line, column: where it stands in the file, counted from 1; None when not in a file.
        standard: the published rule behind it, if any.
        pieces: names of the pieces it is about, where it covers several of the job; () where
            `place` says all.
    """

    code: str
    severity: Severity
    place: str
    what: str
    mend: str
    line: int | None = None
    column: int | None = None
    standard: str | None = None
    pieces: tuple[str, ...] = ()

    def at(self, line: int | None, column: int | None) -> Finding:
        """The same finding with its place in the file."""
        return replace(self, line=line, column=column)


def error(code: str, place: str, what: str, mend: str) -> Finding:
    """A finding that stops the plan."""
    return Finding(code, Severity.ERROR, place, what, mend)


def caution(
    code: str,
    place: str,
    what: str,
    mend: str,
    standard: str | None = None,
    pieces: Iterable[str] = (),
) -> Finding:
    """A finding about a risk; `pieces` are named once each."""
    named = tuple(dict.fromkeys(pieces))
    return Finding(code, Severity.CAUTION, place, what, mend, standard=standard, pieces=named)


def hint(code: str, place: str, what: str, mend: str, pieces: Iterable[str] = ()) -> Finding:
    """A finding worth knowing; `pieces` are named once each."""
    return Finding(code, Severity.HINT, place, what, mend, pieces=tuple(dict.fromkeys(pieces)))


def within(place: str, whole: str) -> bool:
    """Whether a place is `whole` or lies in it: "pieces[2].height" in "pieces[2]"."""
    return place == whole or place.startswith((f"{whole}.", f"{whole}["))


def naming(found: Finding, place: str, name: str) -> Finding:
    """A finding about the piece at `place`, its name put in front unless it is said already.

    A finding is read on its own, in a list without places: "Pebble column: Whole layers come …".
    """
    if (
        not within(found.place, place)
        or found.what.startswith(f"{name}: ")
        or f'"{name}"' in found.what
    ):
        return found
    return replace(found, what=message("{name}: {what}", name=name, what=found.what))


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings without repeats, errors first, then by line and place."""
    unique = dict.fromkeys(findings)
    return tuple(sorted(unique, key=lambda f: (_RANK[f.severity], f.line or 0, f.place, f.code)))


MOST_FINDINGS = 200
"""More than this nobody reads; a file that is wrong throughout is told in part."""


def in_part(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings in order, the first of them where there are too many to read."""
    if len(findings) <= MOST_FINDINGS:
        return in_order(findings)
    left = len(findings) - MOST_FINDINGS
    worst = sorted(findings, key=lambda found: _RANK[found.severity])[:MOST_FINDINGS]
    what = message("There are {left} more findings like these.", left=left)
    mend = message("Fix the ones above first.")
    rest = Finding("more-findings", worst[0].severity, "", what, mend)
    return (*in_order(worst), rest)


def has_errors(findings: Iterable[Finding]) -> bool:
    """Whether any finding stops the plan."""
    return any(finding.severity is Severity.ERROR for finding in findings)


def place_of(path: Iterable[str | int]) -> str:
    """("pieces", 2, "height") as "pieces[2].height"."""
    text = ""
    for part in path:
        if isinstance(part, int):
            text += f"[{part}]"
        else:
            text += f".{part}" if text else str(part)
    return text
