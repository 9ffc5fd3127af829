"""One size for a floating balloon: not too tight at its warmest, and up until strike.

Smaller is slacker but sinks sooner, so that the two are weighed together: the largest size that
is not too tight is the one that floats longest. Where that does not last, no size of this
balloon serves, and what would is named: a coating, a larger balloon, or filling later.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from airwright.catalog import Balloon, Catalog, Family
from airwright.decor.assembly import Shade, Stock
from airwright.job.studio import Helium
from airwright.physics.errors import PhysicsError
from airwright.plan.floating import lines_of
from airwright.plan.piece_values import PiecePlan
from airwright.plan.surroundings import Surroundings, earlier
from airwright.plan.to_json import json_values
from airwright.plan.warmth import ROUND_FAMILIES, STEP_IN, Kind, size_checks
from airwright.units import INCH_M

SMALLER_H: Final = 0.15
"""One made smaller hangs on a longer ribbon, and is down so much sooner [h]. An upper bound: a
bouquet of 11 in balloons made half an inch smaller loses 0.1 h."""
QUARTER_H: Final = 0.25
"""Times to fill are told in quarters of an hour."""
LEAST_H: Final = 0.5
"""Filling later than this before the guests come is no cure: it would not be up for them."""


@dataclass(frozen=True, slots=True)
class HeliumSize:
    """One kind of floating latex balloon, weighed.

    Attributes:
        size: catalogue size.
        pieces: names of the pieces that hold it.
        made_m: diameter the job asks for [m].
        wanted_h: how long it must stay up, from filling to strike [h].
        tight: whether it is too tight at its warmest, made so.
        good_h, safe_h, down_h: how long it looks good, is safe to count on, and when it is down,
            made so; 0 where it does not float [h].
        most_m: largest size that is not too tight, in holes of a template [m].
        most_good_h, most_safe_h, most_down_h: the same of that [h].
        serves_m: a size that is neither too tight nor sinks early; None where none does [m].
        coated_serves: whether `most_m` would serve with an inner coating.
        larger: catalogue size, and size to fill it to [m], that would serve; None if none.
        fill_before_h, fill_from: filled so long before strike [h], or from that time of day on,
            `most_m` lasts; None where that is too late for the guests.
    """

    size: str
    pieces: tuple[str, ...]
    made_m: float
    wanted_h: float
    tight: bool
    good_h: float
    safe_h: float
    down_h: float
    most_m: float
    most_good_h: float
    most_safe_h: float
    most_down_h: float
    serves_m: float | None
    coated_serves: bool
    larger: tuple[str, float] | None
    fill_before_h: float | None
    fill_from: str | None

    @property
    def early(self) -> bool:
        """Whether it cannot be counted on until strike, made as the job asks."""
        return self.safe_h < self.wanted_h

    @property
    def fine(self) -> bool:
        """Whether it may stay as it is."""
        return not self.tight and not self.early

    def to_json(self) -> dict[str, Any]:
        """Rounded plain values for plan.json."""
        return json_values(self)


def helium_sizes(
    pieces: Sequence[PiecePlan], catalog: Catalog, around: Surroundings, helium: Helium
) -> tuple[HeliumSize, ...]:
    """Every kind of floating latex balloon of some pieces in one setting.

    A size serves all its shades, so the darkest decides; the ribbon is the heaviest it has.
    """
    found: dict[tuple[str, float], _Kind] = {}
    for piece in pieces:
        carried = max((line.carried_kg for line in piece.floats), default=0.0)
        for at, stock in enumerate(piece.assembly.stocks):
            if not stock.helium or stock.family not in ROUND_FAMILIES:
                continue
            kind = found.setdefault((stock.size, stock.inflated_m), _Kind(stock))
            used = np.unique(piece.assembly.shade[piece.assembly.stock == at])
            kind.shades |= {piece.assembly.shades[int(k)]: None for k in used}
            kind.pieces[piece.name] = None
            kind.carried_kg = max(kind.carried_kg, carried)
    rows = []
    for kind in found.values():
        try:
            rows.append(_Weighed(kind, catalog, around, helium).answer())
        except PhysicsError:
            continue  # told with the sizes, as not reckoned
    return tuple(rows)


class _Kind:
    """A floating stock with all shades and pieces it comes in."""

    def __init__(self, stock: Stock) -> None:
        self.stock = stock
        self.shades: dict[Shade, None] = {}
        self.pieces: dict[str, None] = {}
        self.carried_kg = 0.0


class _Weighed:
    """One kind against warmth and time."""

    def __init__(self, kind: _Kind, catalog: Catalog, around: Surroundings, helium: Helium) -> None:
        self.kind, self.catalog, self.around, self.helium = kind, catalog, around, helium

    def answer(self) -> HeliumSize:
        stock, wanted = self.kind.stock, self.around.float_hours
        row = self.catalog.balloon(stock.size)
        most = self.largest(row)
        made = stock.inflated_m
        tight = made > most + 1e-9
        now, best = self.times(row, made), self.times(row, most)
        serves = next((m for m, times in ((made, now), (most, best))
                       if m <= most + 1e-9 and times[1] >= wanted), None)  # fmt: skip
        sooner = SMALLER_H if most < made - 1e-9 else 0.0
        before = self.fill_before(best[1] - sooner)
        return HeliumSize(
            size=stock.size,
            pieces=tuple(self.kind.pieces),
            made_m=made,
            wanted_h=wanted,
            tight=tight,
            good_h=now[0],
            safe_h=now[1],
            down_h=now[2],
            most_m=most,
            most_good_h=best[0],
            most_safe_h=best[1],
            most_down_h=best[2],
            serves_m=serves,
            coated_serves=self.helium.coated == "no" and self.times(row, most, "yes")[1] >= wanted,
            larger=None if serves is not None else self.larger(row),
            fill_before_h=before,
            fill_from=None if before is None else earlier(self.around.strike, before),
        )

    def fill_before(self, safe_h: float) -> float | None:
        """How long before strike it is filled at the earliest, if the guests still find it up."""
        before = QUARTER_H * float(np.floor(safe_h / QUARTER_H))
        if self.around.guest_hours + LEAST_H <= before < self.around.float_hours:
            return before
        return None

    def largest(self, row: Balloon) -> float:
        """Largest hole of a template that leaves every shade its margin [m]."""
        asked = row.nominal_in * INCH_M
        stock = self.stock_at(row, asked)
        kinds = {Kind(stock, shade): {"": 1} for shade in self.kind.shades}
        checks = size_checks(kinds, self.catalog, self.around)
        most = min(check.inflate_to_m for check in checks)
        return float(np.floor(most / INCH_M / STEP_IN + 1e-9) * STEP_IN * INCH_M)

    def times(self, row: Balloon, across_m: float, coated: str = "") -> tuple[float, float, float]:
        """How long one so made looks good and is safe, and when it is down; 0 where it does not
        float [h]."""
        if across_m <= 0.0:
            return 0.0, 0.0, 0.0
        helium = self.helium.model_copy(update={"coated": coated}) if coated else self.helium
        stock = self.stock_at(row, across_m)
        skins = max((len(shade.bags) for shade in self.kind.shades), default=1)
        (line,) = lines_of(
            (stock,), (1,), self.kind.carried_kg, self.catalog, self.around, helium, (skins,)
        )
        return (line.good_h, line.safe_h, line.usual_h) if line.floats else (0.0, 0.0, 0.0)

    def stock_at(self, row: Balloon, across_m: float) -> Stock:
        return Stock(row.size, row.family, row.nominal_in * INCH_M, across_m, helium=True)

    def larger(self, row: Balloon) -> tuple[str, float] | None:
        """The next larger balloon sold to float that lasts, and the size to fill it to [m]."""
        others = sorted(
            (other for other in self.catalog.balloons.values()
             if other.helium and other.family is Family.ROUND
             and other.nominal_in > row.nominal_in),
            key=lambda other: other.nominal_in,
        )  # fmt: skip
        for other in others:
            most = self.largest(other)
            if self.times(other, most)[1] >= self.around.float_hours:
                return other.size, most
        return None
