"""What changed between two editions, in words and money."""

from __future__ import annotations

from collections.abc import Iterator

from airwright.language import listing, message
from airwright.language.figures import said_date, said_end, said_money
from airwright.papers.edition.model import Edition, OfferedOption, OfferedPiece
from airwright.units import LENGTH, System, show

TALLER_M = 0.005
"""A difference in size that nobody would measure [m]."""


def changes(before: Edition, now: Edition) -> tuple[str, ...]:
    """Sentences, the offer's head first, then option by option; () when nothing is different.

    The number, the days of making and of validity are no changes.
    """
    return (*_head(before, now), *_options(before, now))


def _head(before: Edition, now: Edition) -> Iterator[str]:
    if before.date != now.date and now.date is not None:
        yield message("The day is now {day}.", day=said_date(now.date))
    if (before.guests, before.strike) != (now.guests, now.strike):
        yield message("Guests come at {guests}, take-down is at {strike}.",
                      guests=now.guests, strike=said_end(now.guests, now.strike))  # fmt: skip
    if before.venue != now.venue:
        yield message("The venue is now {venue}.", venue=now.venue or "–")
    if before.title != now.title:
        yield message("The title is now {title}.", title=now.title)
    if before.currency != now.currency:
        yield message("Prices are now in {currency}.", currency=now.currency)
    if before.terms != now.terms:
        yield message("The terms changed.")


def _options(before: Edition, now: Edition) -> Iterator[str]:
    old = {option.name: option for option in before.options}
    new = {option.name: option for option in now.options}
    for name in old:
        if name not in new:
            yield message('"{name}" is no longer offered.', name=name)
    for name, option in new.items():
        total = said_money(option.total, now.currency)
        if name not in old:
            yield message('"{name}" is new, {total}.', name=name, total=total)
            continue
        yield from _option(old[name], option, before, now)


def _option(old: OfferedOption, new: OfferedOption, before: Edition, now: Edition) -> Iterator[str]:
    if old.total != new.total or before.currency != now.currency:
        yield message(
            '"{name}" costs {now} instead of {before}.',
            name=new.name,
            now=said_money(new.total, now.currency),
            before=said_money(old.total, before.currency),
        )
    elif [(x.what, x.price) for x in old.lines] != [(x.what, x.price) for x in new.lines]:
        yield message('"{name}" costs the same, put together differently.', name=new.name)
    if old.dues != new.dues and old.total == new.total:
        yield message('"{name}" is paid in other parts.', name=new.name)
    was, here = ({piece.name: piece for piece in option.pieces} for option in (old, new))
    for name in was:
        if name not in here:
            yield message('"{option}" is without {piece}.', option=new.name, piece=name)
    for name, piece in here.items():
        if name not in was:
            yield message('"{option}" has {n} × {piece} more.', option=new.name, piece=name,
                          n=piece.count)  # fmt: skip
        else:
            yield from _piece(was[name], piece, new.name, now)
    if old.note != new.note:
        yield message('"{name}" is described in other words.', name=new.name)


def _piece(old: OfferedPiece, new: OfferedPiece, option: str, now: Edition) -> Iterator[str]:
    if old.count != new.count:
        yield message(
            '"{option}" has {now} × {piece} instead of {before}.',
            option=option, piece=new.name, now=new.count, before=old.count,
        )  # fmt: skip
    system = System(now.units)
    for what, a, b in (
        (message("tall"), old.height_m, new.height_m),
        (message("wide"), old.width_m, new.width_m),
    ):
        if abs(a - b) > TALLER_M:
            yield message(
                '{piece} in "{option}" is {now} {what} instead of {before}.',
                piece=new.name, option=option, what=what,
                now=show(b, LENGTH, system), before=show(a, LENGTH, system),
            )  # fmt: skip
    if old.shades != new.shades:
        names = [shade.name for shade in new.shades]
        yield message(
            '{piece} in "{option}" comes in {shades}.',
            piece=new.name, option=option, shades=listing(names),
        )  # fmt: skip
    elif old.contents != new.contents:
        yield message('{piece} in "{option}" is made differently.', piece=new.name, option=option)
