"""Words of the trade that papers share: kinds of pieces, what a balloon is there for."""

from __future__ import annotations

from airwright.language import Text, counted, message
from airwright.language.saying import say


def kind_word(kind: str) -> str:
    """A kind of piece in words; a kind nobody named here stays as the job file writes it."""
    known = {
        "arch": message("arch"),
        "bouquet": message("bouquet"),
        "cloud": message("cloud"),
        "column": message("column"),
        "drop": message("balloon drop"),
        "garland": message("garland"),
        "wall": message("wall"),
    }
    return known.get(kind, kind.replace("_", " ").replace("-", " "))


def role_word(role: str) -> str:
    """What a balloon is there for; nothing for those of the body."""
    known = {
        "filler": message("filler"),
        "topper": message("topper"),
        "tie": message("tie"),
        "floater": message("floats"),
        "accent": message("accent"),
        "body": "",
    }
    return known.get(role, role)


def people(count: int) -> Text:
    """ "1 person", "2 people"."""
    return counted("{n} person", "{n} people", count)


def balloons(count: int) -> Text:
    """ "1 balloon", "1,200 balloons"."""
    return counted("{n} balloon", "{n} balloons", count)


def span(hours: float) -> Text:
    """A time to five minutes, for people: "45 min", "2 h 5 min"; at least five minutes."""
    minutes = max(5, round(hours * 12) * 5)
    whole, rest = divmod(minutes, 60)
    if not whole:
        return message("{minutes} min", minutes=rest)
    if not rest:
        return message("{hours} h", hours=whole)
    return message("{hours} h {minutes} min", hours=whole, minutes=rest)


def number(value: float) -> str:
    """A plain number with what decimals it needs, as the reader writes it."""
    return say(int(value)) if float(value).is_integer() else say(f"{value:,g}")
