"""Size mixes with shares and blended shades: what garlands and clouds are made of."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from typing import Annotated, Protocol

import numpy as np
from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from airwright.catalog import Family
from airwright.decor import checks
from airwright.decor.assembly import Floats, Role
from airwright.decor.context import Context
from airwright.decor.draft import Draft
from airwright.decor.packing import Rail
from airwright.decor.parts.blend import blend, shares_of
from airwright.decor.parts.organic import Ints, OrganicShape, Size, Spread, counts_for, fill
from airwright.job.cluster import Cluster, Inflated, Part
from airwright.job.findings import Finding, error
from airwright.job.pieces import PieceSpec, Table
from airwright.language import Text, message
from airwright.params import Param

MOST_SHARE = 1000.0
"""Largest share of a shade; shares are only weighed against each other."""


def _read_shades(value: object) -> object:
    """A list of names, or names with shares; anything else is said in one sentence."""
    if isinstance(value, list) and all(isinstance(name, str) for name in value):
        return value
    if not isinstance(value, dict):
        raise _no_shades(message("These are no shades."))
    for name, share in value.items():
        plain = isinstance(share, int | float) and not isinstance(share, bool)
        if not plain or not 0 <= share <= MOST_SHARE:
            raise _no_shades(
                message('"{share}" is no share of {str}.', share=share, str=str(name)[:60])
            )
    return value


def _no_shades(what: str) -> PydanticCustomError:
    mend = message('Write ["coral", "sand"] for equal shares, or {{ coral = 3, sand = 1 }}.')
    return PydanticCustomError("shades", "{what}", {"what": what, "mend": mend})


BlendedShades = Annotated[
    list[str] | dict[str, float],
    BeforeValidator(_read_shades),
    Param(
        message("Shades in equal shares, or each with its share."),
        example='["coral", "sand"] or { coral = 3, sand = 1 }',
        group=message("Color"),
        shades=True,
    ),
]


class MixRow(Table):
    """One size of a mix."""

    balloon: Annotated[
        Inflated, Param(message("Size and inflated diameter."), example="11in @ 10in")
    ]
    share: Annotated[
        float,
        Param(message("How many of it, against the other sizes of the mix."), low=0, high=1000),
    ] = 1.0
    shades: Annotated[
        list[str],
        Param(
            message("Its own shades, where they differ from the others."), rare=True, shades=True
        ),
    ] = Field(default_factory=list)


SizeMix = Annotated[
    list[MixRow],
    Param(message("The sizes and their shares, by number of balloons."), group=message("Mix")),
]


def usual_mix() -> list[MixRow]:
    """Mostly 11 in, some 17 in, and 5 in accents."""
    return [
        MixRow(balloon=Inflated.parse("17in @ 15in"), share=1),
        MixRow(balloon=Inflated.parse("11in @ 10in"), share=5),
        MixRow(balloon=Inflated.parse("5in @ 4.5in"), share=5),
    ]


class Organic(PieceSpec):
    """A piece of mixed sizes that no two hands tie alike."""

    mix: SizeMix = Field(default_factory=usual_mix, min_length=1)
    density: Annotated[
        float,
        Param(
            message("How densely it is packed: 1 is usual, more is denser."),
            low=0.6,
            high=1.3,
            group=message("Mix"),
        ),
    ] = 1.0
    shades: BlendedShades
    seed: Annotated[
        int,
        Param(
            message("Another number turns and mixes it another way; counts stay."),
            low=0,
            high=999_999,
            rare=True,
        ),
    ] = 1


class Mixed(Protocol):
    """Any piece made of a size mix: organic ones, and drops."""

    @property
    def mix(self) -> list[MixRow]:
        """The sizes and their shares."""

    @property
    def shades(self) -> list[str] | dict[str, float]:
        """Shades of all sizes that have none of their own."""

    @property
    def seed(self) -> int:
        """What decides between arrangements that are as good."""


def used(spec: Mixed) -> list[MixRow]:
    """The rows of the mix that are not zero."""
    return [row for row in spec.mix if row.share > 0]


def mixed_shades(spec: Mixed, centre: Floats, radius: Floats, size: Ints) -> list[str]:
    """A shade name for each balloon, see `blend`.

    Args:
        spec: mix, shades and seed.
        centre, radius: (N, 3) and (N,) [m].
        size: (N,) which row of `used` each is.
    """
    shares = [shares_of(row.shades or spec.shades) for row in used(spec)]
    return blend(centre, radius, size, shares, spec.seed)


def mix_counts(spec: Organic, ctx: Context, length_m: float) -> list[int]:
    """How many of each row of `used` a line of that length takes."""
    rows = used(spec)
    across = [ctx.stock(row.balloon).inflated_m for row in rows]
    return counts_for(length_m, across, [row.share for row in rows], spec.density)


def fill_line(
    spec: Organic,
    ctx: Context,
    line: Rail,
    counts: Sequence[int],
    *,
    grip: float = 1.0,
    floor: bool = True,
    behind_m: float | None = None,
    spread: Spread | None = None,
) -> OrganicShape:
    """Where the mix comes to rest along a line.

    Args:
        spec: mix and seed.
        ctx: catalogue and shades.
        line: the curve it is tied along.
        counts: how many of each row of `used`.
        grip, floor, behind_m, spread: see `organic.fill`.
    """
    rows = used(spec)
    stocks = [ctx.stock(row.balloon) for row in rows]
    sizes = [
        Size(
            stock.inflated_m,
            stock.inflated_m * ctx.balloon(row.balloon).neck_ratio,
            count,
            ctx.pressure(row.balloon),
        )
        for row, stock, count in zip(rows, stocks, counts, strict=True)
    ]
    return fill(
        line, sizes, seed=spec.seed, grip=grip, floor=floor, behind_m=behind_m, spread=spread
    )


def radii_of(spec: Organic, ctx: Context, shape: OrganicShape) -> Floats:
    """Radii (N,) of the balloons of a shape [m]."""
    across = np.array([ctx.stock(row.balloon).inflated_m for row in used(spec)])
    radii: Floats = across[shape.size] / 2
    return radii


def add_organic(
    draft: Draft,
    spec: Organic,
    ctx: Context,
    shape: OrganicShape,
    names: Sequence[str] | None = None,
) -> tuple[list[int], list[int]]:
    """Shade a settled mix and add it; returns the rows on the line and those tucked in.

    `names` are the shades of its balloons where they are settled already.
    """
    rows = used(spec)
    stocks = [ctx.stock(row.balloon) for row in rows]
    if names is None:
        names = mixed_shades(spec, shape.centre, radii_of(spec, ctx, shape), shape.size)
    on_line: list[int] = []
    tucked: list[int] = []
    order = np.argsort(shape.cluster, kind="stable")
    ends = np.cumsum(np.bincount(shape.cluster, minlength=len(shape.tie)))
    for index, members in enumerate(np.split(order, ends[:-1])):
        core = index < shape.cores
        made = draft.cluster(
            str(_recipe([rows[k] for k in shape.size[members]])),
            shape.centre[members],
            shape.axis[members],
            [stocks[k] for k in shape.size[members]],
            [ctx.shade(names[member]) for member in members],
            shape.tie[index],
            Role.BODY if core else Role.ACCENT,
        )
        (on_line if core else tucked).extend(made)
    draft.doubt(shape.residual)
    _work(draft, shape)
    return on_line, tucked


def _work(draft: Draft, shape: OrganicShape) -> None:
    draft.work("stack cluster", shape.cores)
    tucked = len(shape.tie) - shape.cores
    if tucked:
        draft.work("filler", tucked)


def _recipe(rows: Sequence[MixRow]) -> Cluster:
    """A cluster's notation, equal balloons that follow each other counted together."""
    parts: list[Part] = []
    for row in rows:
        if parts and parts[-1].balloon == row.balloon:
            parts[-1] = Part(parts[-1].count + 1, row.balloon)
        else:
            parts.append(Part(1, row.balloon))
    return Cluster(tuple(parts))


def check_organic(spec: Organic, ctx: Context, place: str) -> list[Finding]:
    """A mix of what can be tied by its neck."""
    return check_mix(
        spec,
        ctx,
        place,
        (Family.ROUND, Family.LINK),
        "cannot-be-tied",
        lambda size: message("A {size} cannot be tied into a cluster by its neck.", size=size),
    )


def too_short(
    spec: Organic, ctx: Context, length_m: float, least: float, place: str
) -> list[Finding]:
    """Told of a line [m] shorter than `least` inflated diameters of the largest balloon."""
    large = max(ctx.stock(row.balloon).inflated_m for row in used(spec))
    if length_m >= least * large:
        return []
    what = message(
        "A path of {length} is too short for balloons of {large}.",
        length=ctx.length(length_m),
        large=ctx.length(large),
    )
    mend = message("Make it {value} at least.", value=ctx.length(least * large))
    return [error("too-short", place, what, mend)]


def check_mix(
    spec: Mixed,
    ctx: Context,
    place: str,
    takes: Collection[Family],
    code: str,
    unfit: Callable[[str], Text],
) -> list[Finding]:
    """Sizes, shares and shades of a mix.

    Args:
        spec: mix and shades.
        ctx: catalogue and shades.
        place: of the piece, "pieces[2]".
        takes: the families that may be in it.
        code: of what is told of any other.
        unfit: a size → that sentence.
    """
    found: list[Finding] = []
    for at, row in enumerate(spec.mix):
        where = f"{place}.mix[{at}].balloon"
        problems = checks.inflated(row.balloon, ctx, where)
        known = not any(f.code == "unknown-size" for f in problems)
        if known and ctx.balloon(row.balloon).family not in takes:
            mend = message("Use round balloons here.")
            problems = [error(code, where, unfit(row.balloon.size), mend)]
        found += problems
        found += checks.shades(row.shades, ctx, f"{place}.mix[{at}].shades")
    if not used(spec):
        what = message("All shares of the mix are zero, so there is nothing to build.")
        found.append(
            error("empty-mix", f"{place}.mix", what, message("Give one size a share above 0."))
        )
    found += checks.shades(list(spec.shades), ctx, f"{place}.shades")
    if not shares_of(spec.shades) and not all(row.shades for row in used(spec)):
        what = message("No shade has a share.") if spec.shades else message('"shades" is empty.')
        mend = message('Write shades = ["coral", "sand"], with names from [shades].')
        found.append(error("missing", f"{place}.shades", what, mend))
    return found
