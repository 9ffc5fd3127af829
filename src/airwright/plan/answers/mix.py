"""Which one or two balloons come nearest to a colour that no bag holds."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from airwright.catalog import Balloon
from airwright.decor.assembly import Shade
from airwright.decor.context import stock_of
from airwright.decor.double import DOUBT, HIDING, Pigment, pigment_of, seen, wall_film, wall_m
from airwright.decor.double import WHITE as WHITE_BALLOON
from airwright.job.cluster import Inflated
from airwright.language import message
from airwright.physics.errors import OutOfRangeError
from airwright.physics.films import Film
from airwright.physics.srgb import HEX, hex_of_light
from airwright.plan.answers.base import Answer, require_latex
from airwright.plan.packs import unit_price

MOST: Final = 5
"""Recipes told."""

FAR: Final = 12.0
"""CIEDE2000 beyond which the formula misleads about which of two colours is nearer; it was made
for small differences (`docs/validation.md`)."""

SAME: Final = 2.3
"""CIEDE2000 that most people just notice side by side; from memory of the literature."""

WORTH: Final = 1.0
"""CIEDE2000 that a second balloon must bring the outer one nearer."""

SURE: Final = 3.0
"""A prediction is called sure when doubt about the hiding moves it by less than this."""


@dataclass(frozen=True, slots=True)
class Recipe:
    """One balloon, or one in another.

    Attributes:
        outside, inside: shades in stock; inside None for a single balloon.
        colour: as it will look, "#rrggbb".
        difference: CIEDE2000 to the colour wanted.
        doubt: CIEDE2000 by which the prediction may be off, for want of a trial.
        sure: "tried", "sure", "likely" or "try it first".
        price: of the balloons of one, in the catalogue's currency.
    """

    outside: str
    inside: str | None
    colour: str
    difference: float
    doubt: float
    sure: str
    price: Decimal


@dataclass(frozen=True, slots=True)
class MixAnswer(Answer):
    """The nearest recipes.

    Attributes:
        target: the colour wanted.
        size, made_m: balloon and diameter [m].
        recipes: nearest first, five at the most.
        near: whether any comes close enough to be called that colour.
    """

    target: str
    size: str
    made_m: float
    recipes: tuple[Recipe, ...]
    near: bool
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Walls:
    """Walls of one shade: as estimated, and hiding less and more than that."""

    usual: Film
    less: Film
    more: Film
    tried: bool


def mix_answer(
    target: str,
    row: Balloon,
    made: Inflated,
    shades: Iterable[Shade],
    *,
    hiding: Mapping[str, float] | None = None,
) -> MixAnswer:
    """Try every shade alone and every pair.

    Args:
        target: "#rrggbb".
        row, made: size and diameter of both balloons.
        shades: on the shelf.
        hiding: shade name → scattering times thickness of one wall, from trials.

    Raises:
        OutOfRangeError: no colour, no latex, or no shades.
    """
    if not HEX.fullmatch(target):
        raise OutOfRangeError("colour", target[:20], message('Write it like "#c9b8d4".'))
    require_latex(row)
    shelf = [shade for shade in shades if HEX.fullmatch(shade.colour)]
    if not shelf:
        raise OutOfRangeError("shelf", "no shades", message("Name a stock file that holds some."))
    stock = stock_of(row, made)
    thick = wall_m(row, stock.inflated_m)
    walls = {shade.name: _walls(shade, row, thick, hiding or {}) for shade in shelf}
    price = unit_price(row.packs)
    wanted = _lab(target)
    recipes = [_recipe(outside, inside, walls, wanted, price) for outside, inside in _pairs(shelf)]
    best = _nearest(recipes, target)
    return MixAnswer(
        target=target.lower(),
        size=row.size,
        made_m=stock.inflated_m,
        recipes=best,
        near=best[0].difference <= FAR,
        doubts=_doubts(best),
    )


def _nearest(recipes: Sequence[Recipe], target: str) -> tuple[Recipe, ...]:
    """The best few; a second balloon must earn its place against its outer one alone."""
    alone = {r.outside: r.difference for r in recipes if r.inside is None}
    worth = [r for r in recipes if r.inside is None or r.difference < alone[r.outside] - WORTH]
    if min(r.difference for r in worth) <= FAR:
        worth.sort(key=lambda r: (round(r.difference, 2), r.inside is not None, r.outside))
    else:  # far away CIEDE2000 misleads: OKLab tells which is less wrong
        worth.sort(key=lambda r: (_far_difference(r.colour, target), r.outside))
    return tuple(worth[:MOST])


def _far_difference(one: str, other: str) -> float:
    from coloraide import Color

    return round(float(Color(one).delta_e(Color(other), method="ok")), 6)


def _pairs(shelf: Sequence[Shade]) -> Iterable[tuple[Shade, Shade | None]]:
    for outside in shelf:
        yield outside, None
        if outside.finish == "metallic":
            continue  # chrome lets nothing through that could be told apart
        for inside in shelf:
            if inside.name != outside.name:
                yield outside, inside


def _walls(shade: Shade, row: Balloon, thick: float, hiding: Mapping[str, float]) -> _Walls:
    known = hiding.get(shade.name)

    def wall(factor: float) -> Film:
        return wall_film(_pigment(shade, row, known, factor), thick)

    return _Walls(wall(1.0), wall(1.0 / DOUBT), wall(DOUBT), known is not None)


def _pigment(shade: Shade, row: Balloon, known: float | None, factor: float) -> Pigment:
    if known is not None:
        return pigment_of(shade, row, known)
    return pigment_of(shade, row, HIDING[shade.finish] * factor)


def _recipe(
    outside: Shade,
    inside: Shade | None,
    walls: Mapping[str, _Walls],
    wanted: Sequence[float],
    price: Decimal,
) -> Recipe:
    outer, inner = walls[outside.name], None if inside is None else walls[inside.name]

    def looks(pick: Callable[[_Walls], Film]) -> str:
        behind = None if inner is None else inner.usual
        return hex_of_light(seen(pick(outer), behind) / WHITE_BALLOON)

    colour = outside.colour.lower() if inner is None and outer.tried else looks(lambda w: w.usual)
    doubt = max(
        _difference(_lab(colour), _lab(looks(pick)))
        for pick in (lambda w: w.less, lambda w: w.more)
    )
    return Recipe(
        outside=outside.name,
        inside=None if inside is None else inside.name,
        colour=colour,
        difference=_difference(_lab(colour), wanted),
        doubt=doubt,
        sure=_sure(doubt, outer.tried, inside is None),
        price=price * (1 if inside is None else 2),
    )


def _sure(doubt: float, tried: bool, single: bool) -> str:
    if tried:
        return "tried"
    if single or doubt <= SURE:
        return "sure"
    return "likely" if doubt <= 2 * SURE else "try it first"


def _lab(colour: str) -> tuple[float, ...]:
    return _lab_of(colour.lower())


def _lab_of(colour: str) -> tuple[float, ...]:
    from coloraide import Color

    lightness, a, b = Color(colour).convert("lab-d65").coords()
    return (float(lightness), float(a), float(b))


def _difference(one: Sequence[float], other: Sequence[float]) -> float:
    from coloraide import Color

    first, second = Color("lab-d65", list(one)), Color("lab-d65", list(other))
    return float(first.delta_e(second, method="2000"))


def _doubts(best: Sequence[Recipe]) -> tuple[str, ...]:
    found = [
        message(
            "Predicted from each shade's one color and a guess at how well its rubber hides what "
            "is behind it; the outer shade rules, and a dark outer hides the inner. Blow up one "
            "of each before you promise it."
        )
    ]
    if best[0].difference > FAR:
        found.insert(
            0,
            message(
                "Nothing on the shelf comes near this color: beyond a difference of "
                "{far} the order of these recipes means little.",
                far=f"{FAR:g}",
            ),
        )
    if any(math.isclose(r.difference, best[0].difference, abs_tol=1.0) for r in best[1:]):
        found.append(message("The first few are as good as each other to the eye."))
    return tuple(found)
