"""Checks across the job file that no single key can make: names that must meet, times that
must follow each other. Sizes and what can be built are checked by `airwright.decor`."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Sequence

from airwright.job.findings import MOST_FINDINGS, Finding, caution, error, hint
from airwright.job.models import Job
from airwright.language import Text, message
from airwright.nearest import nearest


def findings(job: Job, piece_places: Sequence[str], names: Sequence[str]) -> list[Finding]:
    """Everything that contradicts itself inside one job.

    Args:
        job: the job with the pieces that could be read.
        piece_places: "pieces[2]" for each of them.
        names: names of all pieces in the file, those with errors included.
    """
    return [
        *_duplicate_names(job, piece_places),
        *_copies(job, piece_places, names),
        *_options(job, names),
        *_left_out(job, piece_places),
        *_chosen(job),
        *_times(job),
    ]


def _duplicate_names(job: Job, piece_places: Sequence[str]) -> list[Finding]:
    found = []
    option_places = [f"options[{at}]" for at in range(len(job.options))]
    for word, names, places in (
        ("pieces", [piece.name for piece in job.pieces], piece_places),
        ("options", [option.name for option in job.options], option_places),
    ):
        counts = Counter(names)
        for name, place in zip(names, places, strict=True):
            if counts[name] > 1:
                what = message(
                    '{counts} {word} are called "{name}".',
                    counts=counts[name],
                    word=word,
                    name=name,
                )
                mend = message("Give each its own name.")
                found.append(error("duplicate-name", f"{place}.name", what, mend))
    return found


def _copies(job: Job, piece_places: Sequence[str], names: Sequence[str]) -> list[Finding]:
    """Copies that are to stand at either side of a piece that is not there."""
    found = []
    for piece, place in zip(job.pieces, piece_places, strict=True):
        copies = piece.copies
        if copies is None or copies.of is None:
            continue
        where = f"{place}.copies.of"
        if copies.stand != "either side":
            what = message("Only copies at either side stand beside another piece.")
            mend = message('Write stand = "either side", or leave "of" out.')
            found.append(caution("copies-of-unused", where, what, mend))
        elif copies.of == piece.name:
            what = message("A piece cannot stand at either side of itself.")
            mend = message("Name the arch or the table that its copies flank.")
            found.append(error("copies-of-itself", where, what, mend))
        elif copies.of not in names:
            what = message('There is no piece called "{name}".', name=copies.of)
            found.append(error("unknown-piece", where, what, _known(copies.of, names)))
    return found


def _known(name: str, names: Sequence[str]) -> Text:
    """The piece that may have been meant, or those there are."""
    near = nearest(name, names)
    if near:
        return message('Did you mean "{near}"?', near=near[0])
    known = ", ".join(f'"{known}"' for known in names[:8])
    return message("Pieces in this job: {known}.", known=known)


def _options(job: Job, names: Sequence[str]) -> list[Finding]:
    found: list[Finding] = []
    there = set(names)
    for at, option in enumerate(job.options):
        if len(found) > MOST_FINDINGS:
            break  # nobody reads more
        seen: set[str] = set()
        for index, name in enumerate(option.pieces):
            place = f"options[{at}].pieces[{index}]"
            if name not in there:
                mend = _known(name, names)
                what = message(
                    'The option "{name}" names a piece "{name_2}" that is not there.',
                    name=option.name,
                    name_2=name,
                )
                found.append(error("unknown-piece", place, what, mend))
            elif name in seen:
                what = message(
                    'The option "{name}" names "{name_2}" twice.', name=option.name, name_2=name
                )
                mend = message("Name it once; set the piece's count for more of it.")
                found.append(error("repeated-piece", place, what, mend))
            seen.add(name)
        found += [
            error(
                "unknown-piece",
                f"options[{at}].counts",
                message(
                    'The option "{name}" counts "{piece}", which is not in it.',
                    name=option.name,
                    piece=name,
                ),
                message("Name it under pieces, too, or leave its count out."),
            )
            for name in option.counts
            if name not in option.pieces
        ]
    return found


def _left_out(job: Job, piece_places: Sequence[str]) -> list[Finding]:
    used = {name for option in job.options for name in option.pieces}
    found = []
    for piece, place in zip(job.pieces, piece_places, strict=True):
        if job.options and piece.name not in used:
            what = message('No option offers "{name}".', name=piece.name)
            mend = message("Add it to an option, or leave it out of the file.")
            found.append(hint("piece-in-no-option", place, what, mend))
    return found


def _chosen(job: Job) -> list[Finding]:
    offered = [option.name for option in job.effective_options()]
    if job.job.chosen is None or job.job.chosen in offered:
        return []
    near = nearest(job.job.chosen, offered, cutoff=0.4)
    mend = (
        message('Did you mean "{near}"?', near=near[0])
        if near
        else message("Options: {offered}.", offered=", ".join(offered))
    )
    what = message('The chosen option "{chosen}" is not offered.', chosen=job.job.chosen)
    return [error("unknown-option", "job.chosen", what, mend)]


def _times(job: Job) -> list[Finding]:
    found = []
    if job.venue.access >= job.job.guests:
        what = message(
            "Guests come at {guests}, but the crew may enter only at {access}.",
            guests=job.job.guests,
            access=job.venue.access,
        )
        mend = message("Ask for earlier access, or correct one of the times.")
        found.append(error("access-after-guests", "venue.access", what, mend))
    if job.venue.access <= job.job.strike <= job.job.guests:
        what = message(
            "It is taken down at {strike}, before the guests come at {guests}.",
            strike=job.job.strike,
            guests=job.job.guests,
        )
        mend = message(
            "Correct one of the times; one before {access} is taken for the next day.",
            access=job.venue.access,
        )
        found.append(error("strike-before-guests", "job.strike", what, mend))
    return found + _fill(job)


def _fill(job: Job) -> list[Finding]:
    """Whether floating balloons are up when the guests come, and nobody is asked to fill early."""
    fill, access, guests = job.job.fill, job.venue.access, job.job.guests
    if fill is None or access <= fill < guests:
        return []
    if fill < access:
        what = message(
            "Helium balloons are filled at {fill}, but the crew may enter only at {access}.",
            fill=fill,
            access=access,
        )
    else:
        what = message(
            "Helium balloons are filled at {fill}; the guests come at {guests}.",
            fill=fill,
            guests=guests,
        )
    mend = message(
        "Fill them between {access} and {guests}, or correct one of the times.",
        access=access,
        guests=guests,
    )
    return [caution("fill-time", "job.fill", what, mend)]


def past_date(job: Job, today: dt.date) -> list[Finding]:
    """A caution when the event lies before today (the caller knows the date)."""
    if job.job.date < today:
        what = message("The event was on {date}, which is past.", date=f"{job.job.date:%Y-%m-%d}")
        return [
            caution(
                "past-date", "job.date", what, message("Correct the date if it is still to come.")
            )
        ]
    return []
