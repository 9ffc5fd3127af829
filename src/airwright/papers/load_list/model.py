"""What a load list says, as plain values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from airwright.language import joined, listing, message, sentences
from airwright.language.figures import said_end, said_hours
from airwright.operations.goods import Goods, same_name
from airwright.operations.stock.ledger import OnShelf
from airwright.papers.common.parts import Masthead, Occasion, Swatch, masthead, occasion, swatches
from airwright.papers.load_list.floor import Place, places_of
from airwright.plan.load import Group, Item, VanLoad, groups_of, van_load
from airwright.plan.values import Plan

DAY_MIN: Final = 24 * 60


@dataclass(frozen=True, slots=True)
class Moment:
    """A time of the day, and what happens then ("HH:MM", local to the venue)."""

    clock: str
    what: str


@dataclass(frozen=True, slots=True)
class LoadList:
    """A whole load list.

    Attributes:
        pieces: names of what is covered, with counts.
        timetable: the day, in order.
        drive_m: one way [m].
        load: all of it against the van.
        ballast_kg: filling of bases and sandbags in it, which may be found on site instead.
        settings: where the pieces stand, "indoor" or which of them elsewhere.
        places: where the pieces stand, if the job says so.
    """

    masthead: Masthead
    occasion: Occasion
    pieces: tuple[str, ...]
    swatches: tuple[Swatch, ...]
    timetable: tuple[Moment, ...]
    drive_m: float
    hands: int
    groups: tuple[Group, ...]
    load: VanLoad
    ballast_kg: float
    settings: str
    places: tuple[Place, ...] = ()


def load_list_of(plan: Plan, shelf: Mapping[Goods, OnShelf] | None = None) -> LoadList:
    """Read a load list off a plan: what its scope needs, and the tools to build it.

    Args:
        plan: the whole job, planned.
        shelf: what the studio's shelf has for this job, and where.
    """
    groups = tuple(_with_places(group, shelf or {}) for group in groups_of(plan))
    items = [item for group in groups for item in group.items]
    return LoadList(
        masthead=masthead(plan),
        occasion=occasion(plan),
        pieces=tuple(
            piece.name if piece.count == 1 else f"{piece.count} × {piece.name}"
            for piece in plan.in_scope
        ),
        swatches=swatches(plan.in_scope),
        timetable=_timetable(plan, van_load(groups, plan.studio.van).trips),
        drive_m=plan.job.venue.drive,
        hands=plan.crew.hands,
        groups=groups,
        load=van_load(groups, plan.studio.van),
        ballast_kg=sum(item.mass_kg for item in items if item.ballast),
        settings=settings_of(plan),
        places=places_of(plan),
    )


def _with_places(group: Group, shelf: Mapping[Goods, OnShelf]) -> Group:
    """A group whose lines say where on the shelf to take them from."""
    places: dict[str, dict[str, None]] = {}
    for goods, held in shelf.items():
        places.setdefault(goods.item, {}).update(dict.fromkeys(held.places))

    def placed(item: Item) -> Item:
        found = tuple(places.get(same_name(item.name), ()))
        if not found:
            return item
        where = message("from {places}", places=listing(found))
        return replace(item, detail=joined([item.detail, where]) if item.detail else where)

    return replace(group, items=tuple(placed(item) for item in group.items))


def settings_of(plan: Plan) -> str:
    """ "indoor", or "indoor; open air: Gangway arch" where pieces differ."""
    words = {
        "indoor": message("indoor"),
        "sheltered": message("sheltered"),
        "open air": message("open air"),
    }
    by_setting: dict[str, list[str]] = {}
    for piece in plan.in_scope:
        by_setting.setdefault(plan.job.setting_of(piece.spec), []).append(piece.name)
    if len(by_setting) < 2:
        return words[next(iter(by_setting), plan.job.venue.setting)]
    return sentences(
        *(
            message("{setting}: {pieces}.", setting=words[setting], pieces=listing(names))
            for setting, names in by_setting.items()
        )
    )


def _timetable(plan: Plan, trips: int) -> tuple[Moment, ...]:
    """Leave, build, stand, take down; driving at the speed of the labour standard."""
    head, venue = plan.job.job, plan.job.venue
    one_way_h = plan.crew.drive_h
    moments = []
    if one_way_h > 0:
        # The last of several loads arrives at access; each one before it goes there and back.
        leave = minutes(venue.access) - 60 * one_way_h * (2 * trips - 1)
        what = message("leave the workshop ({drive} drive)", drive=said_hours(one_way_h, 5))
        if trips > 1:
            what = message(
                "leave the workshop with the first of {trips} van loads ({drive} drive each way)",
                trips=trips,
                drive=said_hours(one_way_h, 5),
            )
        moments.append(Moment(_clock(leave), what))
    moments += [
        Moment(
            venue.access,
            message(
                "access; set-up takes {time}",
                time=said_hours(plan.crew.build_h, 5),
            ),
        ),
        Moment(head.guests, message("guests come, everything stands")),
        Moment(
            said_end(head.guests, head.strike),
            message("take-down, {time}", time=said_hours(plan.crew.strike_h, 5)),
        ),
    ]
    return tuple(moments)


def minutes(clock: str) -> int:
    """ "06:30" as minutes after midnight."""
    hour, minute = clock.split(":")
    return int(hour) * 60 + int(minute)


def _clock(after_midnight: float) -> str:
    """Minutes after midnight as a clock, rounded down to five; the day before is said."""
    whole = int(after_midnight // 5 * 5)
    text = f"{whole % DAY_MIN // 60:02d}:{whole % 60:02d}"
    return text if whole >= 0 else message("{clock} the day before", clock=text)
