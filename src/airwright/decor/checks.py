"""Checks that every kind of piece shares: sizes, diameters, shades, counts."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from airwright import units
from airwright.catalog import ANY_FIGURE, Family, UnknownName
from airwright.decor.context import Context
from airwright.job.cluster import Cluster, Inflated
from airwright.job.findings import Finding, caution, error
from airwright.job.pieces import Coloured, Fillers, Sleeve, Topper
from airwright.language import message
from airwright.nearest import nearest

UNDERFILLED = 0.5
"""Below this share of its nominal size a balloon is a wrinkled bag (common practice)."""

TIGHT = 0.95
"""Above this share little is left for warmth and sun (common practice)."""

MOST_IN_LAYER = 6
"""More balloons than this in one layer leave the pole in the middle uncovered (common practice)."""

LAYER_RISE = {1: 1.0, 2: 0.48, 3: 0.76, 4: 0.82, 5: 0.84, 6: 0.85}
"""Rise per layer in diameters by balloons a layer, for estimates before anything is settled."""

MOST_BALLOONS = 60_000
"""More balloons than this in one piece are refused before anything is computed."""

MOST_UNKNOWN = 50
"""Unknown shades of one list that are told one by one."""

UNLIKE_SIZES = 4.0
"""Inflated diameters further apart than this cannot be tied neck to neck so that both hold."""


def inflated(balloon: Inflated, ctx: Context, place: str) -> list[Finding]:
    """A size the catalogue knows, inflated to something it can bear."""
    try:
        row = ctx.balloon(balloon)
    except UnknownName as problem:
        return [unknown_size(problem, place)]
    if row.outline == ANY_FIGURE:
        what = message("A {size} is any letter or figure.", size=row.size)
        mend = message('Say which: "{size}".', size=row.size.replace(ANY_FIGURE, "7"))
        return [error("which-figure", place, what, mend)]
    if balloon.diameter_m is None:
        return []
    nominal = row.nominal_in * units.INCH_M
    most, usual = ctx.length(nominal), ctx.length(row.usual_in * units.INCH_M)
    shown = ctx.length(balloon.diameter_m)
    if balloon.diameter_m > nominal * 1.001:
        what = message(
            "A {size} balloon cannot be inflated to {shown}: it bursts above {most}.",
            size=row.size,
            shown=shown,
            most=most,
        )
        mend = message("Inflate it to {usual}, or take a larger balloon.", usual=usual)
        return [error("over-inflated", place, what, mend)]
    if row.family is Family.MODELLING:
        return []
    if balloon.diameter_m < nominal * UNDERFILLED:
        what = message(
            "A {size} balloon at {shown} stays a wrinkled bag.", size=row.size, shown=shown
        )
        return [
            caution(
                "under-inflated", place, what, message("Inflate it to {usual} or so.", usual=usual)
            )
        ]
    if balloon.diameter_m > nominal * TIGHT and row.family is Family.ROUND:
        what = message(
            "A {size} balloon at {shown} has little left for warmth.", size=row.size, shown=shown
        )
        return [
            caution("tight", place, what, message("Inflate it to {usual} to be safe.", usual=usual))
        ]
    return []


def unknown_size(problem: UnknownName, place: str) -> Finding:
    """The finding for a size that the catalogue does not hold."""
    near = message('Did you mean "{near}"? ', near=problem.near[0]) if problem.near else ""
    known = ", ".join(problem.known[:14])
    return error(
        "unknown-size",
        place,
        message('The catalog has no balloon "{name}".', name=problem.name),
        message("{near}Known sizes: {known}.", near=near, known=known),
    )


def cluster(made: Cluster, ctx: Context, place: str, *, least: int = 1) -> list[Finding]:
    """A cluster whose balloons exist and can be tied to each other."""
    found = [f for balloon in dict.fromkeys(made.slots) for f in inflated(balloon, ctx, place)]
    if any(f.code == "unknown-size" for f in found):
        return found
    rows = [ctx.balloon(balloon) for balloon in made.slots]
    for row in rows:
        if row.family in (Family.MODELLING, Family.FOIL):
            what = message("A {size} cannot be tied into a cluster by its neck.", size=row.size)
            found.append(
                error("cannot-be-tied", place, what, message("Use round balloons in clusters."))
            )
            return found
    across = [ctx.stock(balloon).inflated_m for balloon in made.slots]
    if max(across) > UNLIKE_SIZES * min(across):
        what = message("The sizes in this cluster are too unlike to be tied at one point.")
        found.append(
            error("cannot-be-tied", place, what, message("Hang the small ones on as fillers."))
        )
    if made.count < least:
        what = message("A cluster of {count} does not hold on a pole.", count=made.count)
        found.append(
            error(
                "cannot-be-tied",
                place,
                what,
                message("Tie at least {least} balloons.", least=least),
            )
        )
    return found


def layer(made: Cluster, ctx: Context, place: str) -> list[Finding]:
    """A cluster that nests on a pole or rod: two to six balloons."""
    found = cluster(made, ctx, place, least=2)
    if made.count > MOST_IN_LAYER and not any(f.code == "cannot-be-tied" for f in found):
        what = message("{count} balloons a layer do not nest on a pole.", count=made.count)
        found.append(
            error(
                "cannot-be-tied",
                place,
                what,
                message("Use 2 to {most_in_layer}.", most_in_layer=MOST_IN_LAYER),
            )
        )
    return found


def shades(names: Iterable[str], ctx: Context, place: str) -> list[Finding]:
    """Shades the job or the stock knows."""
    found: list[Finding] = []
    for index, name in enumerate(names):
        if name not in ctx.shades:
            if len(found) == MOST_UNKNOWN:
                what = message("More of these shades are unknown.")
                found.append(
                    error("unknown-shade", place, what, message("Fix the ones above first."))
                )
                break
            near = nearest(name, ctx.shades)
            mend = message('Did you mean "{near}"? ', near=near[0]) if near else ""
            word = name.split()[0][:20] if name.split() else "coral"
            found.append(
                error(
                    "unknown-shade",
                    f"{place}[{index}]" if place.endswith("shades") else place,
                    message('There is no shade "{name}".', name=name[:60]),
                    message(
                        '{mend}Add it to the shades, like {word} = "#f0705a".', mend=mend, word=word
                    ),
                )
            )
    return found


def coloured(spec: Coloured, body: Sequence[Cluster], ctx: Context, place: str) -> list[Finding]:
    """Shades of a coloured body: some are there, names and sizes are known, none is left over."""
    found = []
    if not spec.shades and not (spec.pattern == "chart" and spec.chart):
        mend = message('Add shades = ["coral", "sand"], with names from [shades].')
        found.append(error("missing", f"{place}.shades", message('"shades" is missing.'), mend))
    if isinstance(spec.shades, dict):
        sizes = {balloon.size for made in body for balloon in made.slots}
        for size, names in spec.shades.items():
            where = f"{place}.shades.{size}"
            if size not in sizes:
                known = ", ".join(sorted(sizes))
                what = message('No balloon here is a "{size}".', size=size[:20])
                found.append(
                    error(
                        "unknown-size",
                        where,
                        what,
                        message("Sizes in this piece: {known}.", known=known),
                    )
                )
            found += shades(names, ctx, f"{place}.shades")
        for size in sorted(sizes - set(spec.shades)):
            what = message("The {size} balloons have no shades.", size=size)
            mend = message('Add "{size}" = ["coral"] to shades.', size=size)
            found.append(error("missing", f"{place}.shades", what, mend))
        return found
    found += shades(spec.shades, ctx, f"{place}.shades")
    for at, row in enumerate(spec.chart):
        found += shades(row, ctx, f"{place}.chart[{at}]")
        if not row:
            what = message("This row is empty.")
            found.append(error("empty-row", f"{place}.chart[{at}]", what, message("Paint it.")))
    if spec.pattern == "chart" and not spec.chart:
        what = message("The pattern is a chart, but no chart is painted.")
        found.append(
            error("missing", f"{place}.chart", what, message('Add chart = [["coral", "sand"]].'))
        )
    slots = max((made.count for made in body), default=0)
    if spec.pattern != "rings" and len(spec.shades) > slots > 0:
        left = spec.shades[slots:]
        rest = ", ".join([*left[:6], "…"] if len(left) > 6 else left)
        what = message(
            "Each layer has {slots} balloons, so {rest} never comes up.", slots=slots, rest=rest
        )
        mend = message('Name as many shades as a layer has balloons, or use pattern = "rings".')
        found.append(caution("shade-unused", f"{place}.shades", what, mend))
    return found


def topper(spec: Topper, ctx: Context, place: str) -> list[Finding]:
    """A topper whose balloon, shade and tie exist."""
    found = inflated(spec.balloon, ctx, f"{place}.balloon")
    found += shades([spec.shade], ctx, f"{place}.shade")
    if spec.tie != "none":
        found += modelling(spec.tie, ctx, f"{place}.tie")
    return found


def modelling(size: str, ctx: Context, place: str) -> list[Finding]:
    """A modelling balloon used as a tie or loop."""
    try:
        row = ctx.catalog.balloon(size)
    except UnknownName as problem:
        return [unknown_size(problem, place)]
    if row.family is not Family.MODELLING:
        what = message('"{size}" is no modeling balloon.', size=size)
        return [error("no-tie", place, what, message('Use "260" or "none".'))]
    return []


def fillers(spec: Fillers, ctx: Context, place: str) -> list[Finding]:
    """Fillers whose cluster and shades exist."""
    return cluster(spec.cluster, ctx, f"{place}.cluster") + shades(
        spec.shades, ctx, f"{place}.shades"
    )


def sleeve(spec: Sleeve, ctx: Context, place: str) -> list[Finding]:
    """A sleeve whose shade exists."""
    return shades([spec.shade], ctx, f"{place}.shade") if spec.shade else []


def too_many(count: int, place: str) -> list[Finding]:
    """Refuse what no crew could tie before anything is computed."""
    if count <= MOST_BALLOONS:
        return []
    what = message("This piece would take about {count} balloons.", count=f"{count:,}")
    return [
        error(
            "too-many-balloons",
            place,
            what,
            message("Keep one piece below {most_balloons}.", most_balloons=f"{MOST_BALLOONS:,}"),
        )
    ]
