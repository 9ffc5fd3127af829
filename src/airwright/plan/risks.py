"""Findings of physics, in a decorator's words; one a risk and job, not one a piece."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import Final

from airwright.job.findings import Finding, caution, hint
from airwright.language import joined, message, sentences
from airwright.plan.ageing import Ageing
from airwright.plan.float_words import float_words
from airwright.plan.floating import FloatLine
from airwright.plan.gas import GasPlan
from airwright.plan.helium_findings import size_findings
from airwright.plan.physics import JobPhysics
from airwright.plan.piece_values import PiecePlan
from airwright.plan.stability import Stability, forecast_step
from airwright.plan.strength import Hanging
from airwright.plan.surroundings import Surroundings
from airwright.plan.warmth import SizeCheck
from airwright.plan.wording import Words, listed
from airwright.units import INCH_M, System

WIND_RULE: Final = "EN 1990 (equilibrium); EN 14960 practice for decor near people"
DECIDE: Final = message("Local rules and licensed people decide.")


def findings(
    pieces: Sequence[PiecePlan], job: JobPhysics, system: System = System.FEET
) -> list[Finding]:
    """All findings of physics for the pieces in scope.

    Args:
        pieces: with stability and floats.
        job: what holds for all of them.
        system: the units that stand first.
    """
    words = Words(system)
    return [
        *job.refused,
        *_standing(pieces, words),
        *_no_gust(pieces, job.around, words),
        *_hanging(pieces, words),
        *_take_in(pieces, words),
        *_warm(_filled_with_air(job), pieces, words),
        *size_findings(job.helium_sizes, {p.name: p.place for p in pieces}, words),
        *_floating(pieces, job, words),
        *(found for life in job.ageing for found in _ageing(life)),
    ]


# ---- standing and hanging -----------------------------------------------------------------------


def _standing(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Finding]:
    standing = [
        (piece, piece.stability) for piece in pieces if isinstance(piece.stability, Stability)
    ]
    yield from _fill_bases(standing, words)
    yield from _cannot_hold([row for row in standing if _outdoors(row[1])], words)
    yield from _cannot_hold([row for row in standing if not _outdoors(row[1])], words)


def _outdoors(one: Stability) -> bool:
    return one.take_in_gust_m_s is not None


def _no_gust(
    pieces: Sequence[PiecePlan], arounds: Sequence[Surroundings], words: Words
) -> Iterator[Finding]:
    unsaid = [around for around in arounds if not around.gust_said]
    held = (piece.stability is not None or piece.weighting is not None for piece in pieces)
    if not unsaid or not any(held):
        return
    what = message(
        "No gust above zero is given, so {gust} is assumed outdoors.",
        gust=words.speed(unsaid[0].gust_m_s),
    )
    mend = message(
        'Ask for the site\'s gusts in that season, and set the venue\'s "gust", like "8 m/s".'
    )
    yield caution("no-gust", "venue.gust", what, mend, WIND_RULE)


def _fill_bases(standing: Sequence[tuple[PiecePlan, Stability]], words: Words) -> Iterator[Finding]:
    loaded = [(piece, one) for piece, one in standing if one.ballast_kg > 0]
    if not loaded:
        return
    alike: dict[tuple[str, int], list[str]] = {}
    for piece, one in loaded:
        name = (
            message('each "{name}"', name=piece.name)
            if piece.count > 1
            else message('"{name}"', name=piece.name)
        )
        alike.setdefault((words.mass(one.ballast_kg), one.bases), []).append(name)
    parts = [
        message("{mass} in {pieces}, shared by {bases} bases", mass=mass, pieces=listed(names),
                bases=bases)
        if bases > 1
        else message("{mass} in {pieces}", mass=mass, pieces=listed(names))
        for (mass, bases), names in alike.items()
    ]  # fmt: skip
    mend = [message("Fill them before any balloon goes on, and spread the load evenly.")]
    if all(one.holds for _, one in loaded):
        reckoned = listed(list(dict.fromkeys(_against(one, words) for _, one in loaded)))
        factor = f"{loaded[0][1].factor_of_safety:g}"
        mend.append(
            message(
                "So filled they stand {factor} times {against}.", factor=factor, against=reckoned
            )
        )
    mend += [
        message("Keep the pieces out of walkways: none holds up a person who falls on it."),
        DECIDE,
    ]
    rule = WIND_RULE if any(_outdoors(one) for _, one in loaded) else None
    what = message("Fill the bases with water or sand: {parts}.", parts=joined(parts, "; "))
    yield caution("ballast", _one_place(loaded), what, sentences(*mend), rule, _names(loaded))


def _against(one: Stability, words: Words) -> str:
    if _outdoors(one):
        return message("gusts of {speed}", speed=words.speed(one.gust_m_s))
    return message("a guest's push or a draught")


def _cannot_hold(
    standing: Sequence[tuple[PiecePlan, Stability]], words: Words
) -> Iterator[Finding]:
    weak = [(piece, one) for piece, one in standing if not one.holds]
    if not weak:
        return
    parts = [
        (
            message(
                '"{name}" needs {needed}, but its base takes {room}',
                name=piece.name,
                needed=words.mass(one.weight_kg),
                room=words.mass(one.ballast_kg),
            )
            if one.bases == 1
            else message(
                '"{name}" needs {needed}, but its bases take {room}',
                name=piece.name,
                needed=words.mass(one.weight_kg),
                room=words.mass(one.ballast_kg),
            )
        )
        for piece, one in weak
    ]
    widest = max(one.footprint_m for _, one in weak)
    pull = max(one.tie_back_n for _, one in weak)
    against = _against(weak[0][1], words)
    what = message(
        "Full bases are too light against {against}: {parts}.",
        against=against,
        parts=joined(parts, "; "),
    )
    mend = message(
        "Lay sandbags on the bases, tie each piece back, take bases up to {widest} "
        "wide, or build lower or indoors. Tie back at four fifths of the height, to "
        "anchors on each side that hold {pull}. {decide}",
        widest=words.size(widest),
        pull=words.force(pull),
        decide=DECIDE,
    )
    yield caution("cannot-hold", _one_place(weak), what, mend, WIND_RULE, _names(weak))


def _one_place(rows: Sequence[tuple[PiecePlan, object]]) -> str:
    return rows[0][0].place if len(rows) == 1 else ""


def _names(rows: Iterable[tuple[PiecePlan, object]]) -> Iterator[str]:
    return (piece.name for piece, _ in rows)


def _take_in(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Finding]:
    """When decor outdoors comes in, whatever holds it: base, fixing points or weight."""
    limits = [
        (piece, piece.take_in_gust_m_s) for piece in pieces if piece.take_in_gust_m_s is not None
    ]
    if not limits:
        return
    limits.sort(key=lambda row: row[1])
    by_limit: dict[str, list[str]] = {}
    for piece, limit in limits:
        by_limit.setdefault(words.limit(limit), []).append(f'"{piece.name}"')
    parts = [
        message("{pieces} in gusts above {limit}", pieces=listed(names), limit=limit)
        for limit, names in by_limit.items()
    ]
    mend = message(
        "One named person watches forecast and wind from set-up to take-down, and may "
        "take decor in. Forecasts name the mean wind: Beaufort {limits} brings the "
        "lowest of these gusts. {decide}",
        limits=forecast_step(limits[0][1]),
        decide=DECIDE,
    )
    what = message("Take in {parts}.", parts=joined(parts, "; "))
    yield caution("take-in", _one_place(limits), what, mend, WIND_RULE, _names(limits))


def _hanging(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Finding]:
    rows = [(piece, piece.stability) for piece in pieces if isinstance(piece.stability, Hanging)]
    if not rows:
        return
    parts = [
        message('{force} under "{name}"', force=words.force(one.anchor_n), name=piece.name)
        for piece, one in rows
    ]
    hold = words.force(max(one.anchor_should_hold_n for _, one in rows))
    what = message("One fixing point may have to carry {parts}.", parts=listed(parts))
    mend = message(
        "Use points that hold {hold}, and more of them rather than fewer. Adhesive "
        "hooks let go without warning. Over people a qualified rigger decides.",
        hold=hold,
    )
    yield caution("anchors", _one_place(rows), what, mend, pieces=_names(rows))


def _filled_with_air(job: JobPhysics) -> list[SizeCheck]:
    """The sizes without those of floating latex, which time decides as well."""
    floating: dict[tuple[str, float], set[str]] = {}
    for one in job.helium_sizes:
        floating.setdefault((one.size, one.made_m), set()).update(one.pieces)
    rows = []
    for row in job.sizes:
        names = floating.get((row.size, row.inflated_m), set())
        others = tuple(name for name in row.pieces if name not in names)
        if others:
            rows.append(replace(row, pieces=others))
    return rows


# ---- warmth -------------------------------------------------------------------------------------


def _warm(
    sizes: Sequence[SizeCheck], pieces: Sequence[PiecePlan], words: Words
) -> Iterator[Finding]:
    places = {piece.name: piece.place for piece in pieces}
    latex = [row for row in sizes if row.family != "foil"]
    foil = [row for row in sizes if row.family == "foil"]
    yield from _tight(latex, places, words)
    warm_foil = [row for row in foil if row.over_tight]
    if warm_foil:
        hottest = max(row.gas_c for row in warm_foil)
        what = message(
            "Foil does not stretch, and its gas gets as warm as {hottest}.",
            hottest=words.warm(hottest),
        )
        mend = message(
            "Fill foil until it still shows wrinkles at the seam, and top it up on site."
        )
        yield caution(
            "foil-warm", _place(warm_foil, places), what, mend, pieces=_holding(warm_foil)
        )
    shaded = [row for row in latex if row.setting == "open air" and not row.in_sun]
    sunny = [row for row in shaded if row.if_sunny_margin < row.wanted_margin]
    if sunny:
        what = message("If the sun falls on them, {sunny} get over-tight.", sunny=_kinds(sunny))
        mend = message(
            'Keep them in the shade, or set the venue\'s "sun" to "sun" for smaller sizes.'
        )
        yield hint("tight-if-sunny", "venue.sun", what, mend, _holding(sunny))


def _tight(latex: Sequence[SizeCheck], places: dict[str, str], words: Words) -> Iterator[Finding]:
    tight = [row for row in latex if row.over_tight]
    if not tight:
        return
    by_size: dict[tuple[str, float, bool], list[SizeCheck]] = {}
    for row in tight:
        by_size.setdefault((row.size, row.inflated_m, row.in_sun), []).append(row)
    for (size, made, in_sun), rows in by_size.items():
        worst = min(rows, key=lambda row: row.margin)
        smaller = min(row.inflate_to_m for row in rows)
        shades = listed(list(dict.fromkeys(row.shade for row in rows)))
        then = words.size(worst.then_m)
        grown = (
            message(
                "{size} balloons ({shades}) made {made} grow to {then} in the sun",
                size=size,
                shades=shades,
                made=words.size(made),
                then=then,
            )
            if in_sun
            else message(
                "{size} balloons ({shades}) made {made} grow to {then}",
                size=size,
                shades=shades,
                made=words.size(made),
                then=then,
            )
        )
        what = (
            message(
                "{grown}, at {gas_c} inside, and burst.", grown=grown, gas_c=words.warm(worst.gas_c)
            )
            if any(row.bursts for row in rows)
            else message(
                "{grown}, at {gas_c} inside, and are over-tight.",
                grown=grown,
                gas_c=words.warm(worst.gas_c),
            )
        )
        mend = message(
            "Inflate them to {smaller}: that hole of the template.", smaller=words.size(smaller)
        )
        if _small(smaller, worst):
            mend = message("Take a larger balloon, a lighter shade, or a place in the shade.")
        yield caution("over-tight", _place(rows, places), what, mend, pieces=_holding(rows))


def _small(smaller: float, row: SizeCheck) -> bool:
    return smaller < 0.5 * row.inflated_m


def _kinds(rows: Iterable[SizeCheck]) -> str:
    names = dict.fromkeys(
        message("{size} at {inches} in", size=row.size, inches=f"{row.inflated_m / INCH_M:g}")
        for row in rows
    )
    return listed(list(names))


def _holding(rows: Iterable[SizeCheck]) -> Iterator[str]:
    return (name for row in rows for name in row.pieces)


def _place(rows: Iterable[SizeCheck], places: dict[str, str]) -> str:
    names = {name for row in rows for name in row.pieces}
    return places.get(names.pop(), "") if len(names) == 1 else ""


# ---- helium -------------------------------------------------------------------------------------


def _floating(pieces: Sequence[PiecePlan], job: JobPhysics, words: Words) -> Iterator[Finding]:
    floats = [(piece, line) for piece in pieces for line in piece.floats]
    if not floats or job.gas is None:
        return
    weighed = {(one.size, one.made_m) for one in job.helium_sizes}
    others = [row for row in floats if (row[1].size, row[1].inflated_m) not in weighed]
    yield from _sinking(others, job.around[0].float_hours, words)
    yield from _weights(pieces, words)
    yield from _cylinders(job.gas, words)
    yield from _breathing(job.gas)


def _sinking(
    floats: Sequence[tuple[PiecePlan, FloatLine]], hours: float, words: Words
) -> Iterator[Finding]:
    heavy = {line.size: line for _, line in floats if not line.floats}
    for size, line in heavy.items():
        rows = [row for row in floats if row[1].size == size and not row[1].floats]
        what = message(
            "A {size} balloon at {inflated} with its ribbon does not float.",
            size=size,
            inflated=words.size(line.inflated_m),
        )
        mend = message("Inflate it larger, or hang it with air.")
        yield caution("no-lift", "", what, mend, pieces=_names(rows))
    sinking = [row for row in floats if row[1].floats and row[1].safe_h < hours]
    if not sinking:
        return
    early = {(line.size, line.inflated_m): line for _, line in sinking}
    parts = [
        message(
            "{size} at {across}: {lasts}",
            size=line.size,
            across=words.size(line.inflated_m),
            lasts=float_words(line.good_h, line.safe_h, line.usual_h),
        )
        for line in early.values()
    ]
    what = message(
        "Helium balloons must float {hours} h until take-down. These may sink earlier: {parts}.",
        hours=f"{hours:.0f}",
        parts=listed(parts),
    )
    mend = message(
        "Fill them later, coat them inside (they float 6 to 20 times as long), take "
        "larger ones, or bring filled spares. Times scatter: note your own and set "
        "the studio's float factor by them."
    )
    yield caution("sinks-early", "", what, mend, pieces=_names(sinking))


def _weights(pieces: Sequence[PiecePlan], words: Words) -> Iterator[Finding]:
    light = [
        (piece, piece.weighting)
        for piece in pieces
        if piece.weighting is not None and piece.weighting.missing_kg > 0.0005
    ]
    if not light:
        return
    parts = [
        message('"{name}" needs {mass}', name=piece.name, mass=words.mass(hold.needed_kg))
        for piece, hold in light
    ]
    what = message("Weights are too light for the lift: {parts}.", parts=listed(parts))
    mend = message("Add weights (they stand on the shopping list), more outdoors; release nothing.")
    yield caution("weights-light", _one_place(light), what, mend, pieces=_names(light))


def _cylinders(gas: GasPlan, words: Words) -> Iterator[Finding]:
    if gas.short_m3 > 0.0:
        what = message(
            "The cylinders you can rent are {short_m3} of helium short.",
            short_m3=words.volume(gas.short_m3),
        )
        mend = message("Order more, or enter the cylinders your supplier has in your settings.")
        yield caution("helium-short", "", what, mend)


def _breathing(gas: GasPlan) -> Iterator[Finding]:
    limit = gas.oxygen_limit
    shares = (("room", gas.room_oxygen), ("van", gas.van_oxygen))
    low = []
    for spot, share in shares:
        if share is not None and share < limit:
            percent = f"{100 * share:.0f}"
            room = message("{share} % oxygen in the room", share=percent)
            van = message("{share} % oxygen in the van", share=percent)
            low.append(room if spot == "room" else van)
    if not low:
        return
    told = listed(low)
    what = message(
        "If a cylinder empties behind closed doors, it leaves as little as {told}.", told=told
    )
    mend = message(
        "Below {value} % nobody may stay: open doors before loading and filling, "
        "drive with the valve capped and a window open, and if gas hisses, leave and "
        "air first.",
        value=f"{100 * limit:.1f}",
    )
    yield caution("low-oxygen", "", what, mend, message("29 CFR 1910.134(b), 1910.146(b)"))


# ---- time ---------------------------------------------------------------------------------------


def _ageing(life: Ageing) -> Iterator[Finding]:
    if not life.doubtful:
        return
    spot = {
        "indoors": message("indoors"),
        "shade": message("in the shade"),
        "sun": message("in the sun"),
    }[life.place]
    good = message(
        "{least} to {most} h",
        least=f"{life.good_shortest_h:.0f}",
        most=f"{life.good_longest_h:.0f}",
    )
    what = message(
        "At this warmth latex looks fresh for {good} {spot}. At take-down yours is "
        "{hours} h old, after {value} h {spot}.",
        good=good,
        spot=spot,
        hours=f"{life.hours:.0f}",
        value=f"{life.hours - life.ahead_hours:.0f}",
    )
    mend = message(
        "Build later, end earlier, take light shades half a size smaller, or bring {share} % more "
        "spares.",
        share=f"{100 * life.extra_spares:.0f}",
    )
    yield (caution if life.tired else hint)("tired-latex", "", what, mend)
