"""Answers of the calculators in words, and refusals too."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import degrees, isfinite
from typing import TYPE_CHECKING

from airwright.physics.errors import PhysicsError
from airwright.plan.wording import Words
from airwright.units import FOOT_M, MASS, PRESSURE, System, show

if TYPE_CHECKING:
    from airwright.plan.answers import (
        CylinderAnswer,
        FillAnswer,
        FreshAnswer,
        LiftAnswer,
        RoomAnswer,
        SizeAnswer,
        StringAnswer,
        WindAnswer,
    )
    from airwright.plan.stability import Stability
    from airwright.plan.strength import Hanging
    from airwright.plan.values import Plan


@dataclass(frozen=True)
class Line:
    """One line of an answer.

    `style` is "head", "row" (label and value), "good" or "bad" (a verdict), "note" or "doubt".
    """

    style: str
    label: str
    value: str = ""


_MARKS = {"good": "✓ ", "bad": "→ "}
_STYLES = {"head": "bold", "good": "green", "bad": "bold yellow", "doubt": "dim"}
_NARROWEST = 30
"""Columns a value gets at the least, however long its label."""


def print_answer(lines: Iterable[Line], doubts: Iterable[str]) -> None:
    """Print an answer on standard output."""
    from rich.text import Text

    from airwright.cli.show import console

    out = console()
    shown = [*lines, *(Line("doubt", doubt) for doubt in doubts)]
    labels = max((len(line.label) for line in shown if line.style == "row"), default=0)
    left = min(labels, max(out.width - _NARROWEST, 10)) + 4
    for line in shown:
        if line.style != "row":
            mark = _MARKS.get(line.style, "")
            for at, part in enumerate(_wrapped(line.label, out.width - len(mark))):
                start = mark if at == 0 else " " * len(mark)
                out.print(Text(start + part, style=_STYLES.get(line.style, "")))
            continue
        for at, part in enumerate(_wrapped(line.value, max(out.width - left, _NARROWEST))):
            label = f"  {line.label}".ljust(left) if at == 0 else " " * left
            out.print(Text.assemble((label, "dim"), part), soft_wrap=True)


_GLUE = re.compile(
    r"(?<=\d) (?=(?:°|ft|in\b|cm|m\b|m/|m³|mph|lb|kg|g\b|oz|N\b|N·|kPa|bar|psi|L\b|%|h\b))"
)


def _wrapped(text: str, width: int) -> list[str]:
    """Lines of a text; a number keeps its unit."""
    glued = _GLUE.sub("\u00a0", text)
    lines = textwrap.wrap(glued, width, break_on_hyphens=False) or [""]
    return [line.replace("\u00a0", " ") for line in lines]


_SAID = {
    "physics.bursts": "This balloon bursts before it gets that large",
    "physics.below-neck": "At that diameter this balloon is still slack",
    "physics.cylinder-over-rating": "This cylinder holds more than it is stamped for",
    "physics.container-too-narrow": "The container is too narrow for such balloons",
    "physics.tightness": "No such balloon is made that large or that small",
}
"""Refusals that say more without their numbers, by code."""


def refusal(problem: PhysicsError, words: Words | None = None) -> tuple[str, str]:
    """What is wrong and how to mend it, in a person's units."""
    if problem.code in _SAID:
        return f"{_SAID[problem.code]}.", problem.cure
    if isinstance(problem.value, str):
        what = f'"{problem.value[:40]}" is no {problem.quantity}.'
    else:
        shown = _quantity(problem.value, problem.unit, words)
        what = f"{_capital(problem.quantity)} is {shown}{_bounds(problem, words)}."
    return what, problem.cure


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _quantity(value: float, unit: str, words: Words | None) -> str:
    words = words or Words(System.FEET, beside=True)
    if unit == "m":
        return words.sizes(value)
    if unit == "Pa" and abs(value) >= 2e5:
        return f"{value / 1e5:.4g} bar"
    if unit == "°C":
        return words.warm(value)
    if unit == "kg":
        return words.grams(value) if abs(value) < 1 else words.mass(value)
    shown = f"{value:,.0f}" if abs(value) >= 1e4 else f"{value:.4g}"
    return f"{shown} {unit}".strip()


def _bounds(problem: PhysicsError, words: Words | None) -> str:
    low, high = problem.low, problem.high
    if low is None and high is None:
        return ""
    if high is None and low is not None:
        return f", and must be more than {_quantity(low, problem.unit, words)}"
    if low is None and high is not None:
        return f", and must be at most {_quantity(high, problem.unit, words)}"
    assert low is not None
    assert high is not None
    return (
        f", and must lie between {_quantity(low, problem.unit, words)} and "
        f"{_quantity(high, problem.unit, words)}"
    )


def _kpa(pascal: float) -> str:
    return show(pascal, PRESSURE, System.METRIC, 1)


# ---- the answers ---------------------------------------------------------------------------------


def size_lines(a: SizeAnswer, words: Words) -> Iterator[Line]:
    """A size answer."""
    yield Line("head", f"{a.size} made {words.sizes(a.made_m)}")
    where = "in the sun" if a.in_sun else "in the shade"
    sun = f", {words.warm(a.gas_low_c)} to {words.warm(a.gas_high_c)}" if a.in_sun else ""
    yield Line("row", "gas at its warmest", f"{words.warm(a.gas_c)} {where}{sun}")
    span = f"{words.size(a.then_low_m)} to {words.size(a.then_high_m)}"
    yield Line("row", "diameter then", f"{words.sizes(a.then_m)}, range {span}")
    yield Line(
        "row",
        "left of nominal",
        f"{100 * a.margin:.1f} %, wanted {100 * a.wanted_margin:.0f} %; it is sold as "
        f"{words.size(a.nominal_m)} and bursts at about {words.size(a.burst_m)}",
    )
    hole = f"hole {words.size(a.template_m)}"
    hole += f", or {words.size(a.warm_template_m)} while the air is 10 K warm from the inflator"
    yield Line("row", "sizing template", hole)
    yield Line(
        "row",
        "pressure inside",
        f"{_kpa(a.excess_pa)} above the air ({_kpa(a.excess_low_pa)} to {_kpa(a.excess_high_pa)})",
    )
    yield Line("row", "skin", f"stretched {a.stretch:.2f} times, {1e6 * a.film_m:.0f} µm thick")
    yield Line(
        "row",
        "volume",
        f"{words.volume(a.volume_m3)}, {words.size(a.tall_m)} tall with its neck",
    )
    if a.burst_share >= 1:
        yield Line("bad", f"It bursts. Inflate it to {words.sizes(a.inflate_to_m)}.")
    elif not a.fits:
        yield Line("bad", f"Over-tight: inflate it to {words.sizes(a.inflate_to_m)}.")
    else:
        yield Line("good", f"{words.sizes(a.made_m)} is right.")


def lift_lines(a: LiftAnswer, words: Words) -> Iterator[Line]:
    """A lift answer."""
    yield Line("head", f"{a.size} filled to {words.sizes(a.made_m)}, helium {100 * a.purity:.0f} %")
    yield Line("row", "gas", f"{words.volume(a.gas_m3)} at 15 °C" + _of_all(a, words))
    yield Line("row", "lifts", words.grams(a.gross_lift_kg))
    carries = f"balloon {words.grams(a.balloon_kg)}, ribbon {words.grams(a.ribbon_kg)}"
    if a.tail_kg > 0:
        carries += f", tail {words.grams(a.tail_kg)}"
    yield Line("row", "carries", carries)
    yield Line("row", "left over", words.grams(a.net_lift_kg))
    if a.floats:
        yield Line("row", "looks good", f"for {_span(a.good_h)}")
        yield Line("row", "is safe", f"for {_span(a.safe_h)}")
        yield Line("row", "is down", f"after {_hours(a.shortest_h, a.longest_h, a.usual_h)}")
        if a.coated_usual_h is not None:
            coated = (a.coated_shortest_h or 0.0, a.coated_longest_h or 0.0, a.coated_usual_h)
            yield Line("row", "coated inside", _hours(*coated))
        yield Line(
            "good",
            f"Hold {'it' if a.count == 1 else f'all {a.count}'} with "
            f"{words.mass(a.weight_kg)} "
            f"({a.weight_factor:g} times the lift). Release none.",
        )
    else:
        yield Line("bad", "It does not float: inflate it larger, or hang less on it.")


def _of_all(a: LiftAnswer, words: Words) -> str:
    return "" if a.count == 1 else f"; all {a.count}: {words.volume(a.all_gas_m3)}"


def _hours(low: float, high: float, usual: float) -> str:
    if high < 3:
        return f"{60 * low:.0f} to {60 * high:.0f} min, about {60 * usual:.0f} min"
    if high >= 96:
        return f"{low / 24:.0f} to {high / 24:.0f} days, about {usual / 24:.0f}"
    return f"{low:.0f} to {high:.0f} h, about {usual:.0f} h"


def _span(hours: float) -> str:
    if hours < 2:
        return f"{60 * hours:.0f} min"
    return f"{hours / 24:.0f} days" if hours >= 96 else f"{hours:.0f} h"


def wind_lines(a: WindAnswer, words: Words) -> Iterator[Line]:
    """A wind answer from plain numbers."""
    yield Line("head", f"{words.sizes(a.height_m)} tall, {words.sizes(a.width_m)} wide")
    yield from stability_lines(a.found, words, given=a.ballast_given_kg)


def stability_lines(s: Stability, words: Words, *, given: float | None = None) -> Iterator[Line]:
    """One standing piece."""
    outdoors = s.take_in_gust_m_s is not None
    blows = "gust" if outdoors else "draught"
    yield Line(
        "row",
        blows,
        f"{words.speed(s.gust_m_s)} on {s.area_m2:.2f} m² ({s.area_m2 / FOOT_M**2:.1f} ft²): "
        f"{words.force(s.force_n)}, {s.moment_nm:.0f} N·m about the floor",
    )
    yield Line("row", "a guest's push", f"{words.force(s.push_n)} at {words.size(s.push_height_m)}")
    own = f"{words.mass(s.own_mass_kg)} on a base {words.size(s.base_width_m)} wide"
    yield Line("row", "own mass", own)
    yield Line("row", "ballast needed", words.quantity(s.ballast_needed_kg, MASS, 1))
    yield Line("row", "or base width", f"{words.size(s.footprint_bare_m)} without ballast")
    on = words.mass(s.ballast_kg)
    reached = "" if not isfinite(s.factor_reached) else f"; factor {s.factor_reached:.2f}"
    tips = f"gust of {words.limit(s.tips_at_m_s)}"
    yield Line("row", f"tips with {on}", f"{tips}{reached}")
    yield Line("row", "slides at", f"gust of {words.limit(s.slides_at_m_s)}")
    asked = f"factor of safety {s.factor_of_safety:g}"
    if s.holds:
        load = f"with {on} of ballast" if s.ballast_kg > 0 else "as it is"
        yield Line("good", f"It stands {load}, {asked}.")
    elif given is not None:
        yield Line("bad", f"{on} is too little for {asked}: {words.mass(s.ballast_needed_kg)}.")
    else:
        yield Line(
            "bad",
            f"Its base takes {words.mass(s.ballast_room_kg)}, too little for {asked}: tie it back "
            f"at {words.size(s.tie_back_height_m)} to anchors of {words.force(s.tie_back_n)}.",
        )
    if s.take_in_gust_m_s is not None:
        yield Line(
            "bad",
            f"Take it in above gusts of {words.limit(s.take_in_gust_m_s)}, Beaufort "
            f"{s.take_in_beaufort}. Local rules and licensed people decide.",
        )


def hanging_lines(h: Hanging, words: Words) -> Iterator[Line]:
    """One hanging piece."""
    yield Line("row", "weight", f"{words.mass(h.mass_kg)} on {h.anchors} fixing points")
    yield Line(
        "row", "wind", f"{words.speed(h.gust_m_s)} on {h.area_m2:.2f} m²: {words.force(h.force_n)}"
    )
    if h.tension_n is not None:
        yield Line("row", "pull in its line", words.force(h.tension_n))
    yield Line("row", "worst fixing point", words.force(h.anchor_n))
    yield Line(
        "bad",
        f"Use points that hold {words.force(h.anchor_should_hold_n)}; over people a qualified "
        "rigger decides.",
    )


def wind_of_job(plan: Plan, words: Words) -> Iterator[Line]:
    """Every piece of a job that stands or hangs."""
    told = False
    for piece in plan.pieces:
        if piece.stability is None:
            continue
        if told:
            yield Line("note", "")
        told = True
        times = f"{piece.count} × " if piece.count > 1 else ""
        yield Line("head", f"{times}{piece.name}")
        if piece.stability.how == "stands":
            yield from stability_lines(piece.stability, words)
        else:
            yield from hanging_lines(piece.stability, words)
    if not told:
        yield Line("good", "Nothing in this job stands on a base or hangs on hooks.")


def cylinder_lines(a: CylinderAnswer, balloon: str | None, words: Words) -> Iterator[Line]:
    """A cylinder answer."""
    bar = f"{a.reading_pa / 1e5:.0f} bar ({a.reading_pa / PRESSURE.units['psi'].scale:.0f} psi)"
    yield Line("head", f"{1000 * a.water_m3:g} L cylinder at {bar} {a.reference}")
    yield Line("row", "holds", f"{words.volume(a.contents_m3)} at 15 °C and one atmosphere")
    yield Line("row", "usable", f"{words.volume(a.usable_m3)}, down to 2 bar gauge")
    off = a.ideal_m3 / a.contents_m3 - 1 if a.contents_m3 > 0 else 0.0
    yield Line(
        "row", "real gas", f"Z = {a.compressibility:.4f}; the ideal law says {100 * off:+.1f} %"
    )
    yield Line("row", "in a van at 50 °C", f"{a.hot_pa / 1e5:.0f} bar absolute")
    if a.fills is not None and a.each_m3 is not None:
        one = f"{balloon}: {words.volume(a.each_m3)} each, {100 * a.waste:.0f} % lost"
        yield Line("row", "fills", f"{a.fills:,} of {one}")
    if a.cylinders is not None and a.wanted is not None:
        many = "1 cylinder" if a.cylinders == 1 else f"{a.cylinders} cylinders"
        yield Line("good", f"{a.wanted:,} balloons take {many} like this.")
    yield Line("note", "Upright and chained, valve closed and capped when moved; never breathe it.")


def string_lines(a: StringAnswer, words: Words) -> Iterator[Line]:
    """A string answer."""
    yield Line(
        "head",
        f"{a.balloons} floating {'balloon' if a.balloons == 1 else 'balloons'} on "
        f"{words.sizes(a.length_m)} of line over {words.sizes(a.span_m)}",
    )
    yield Line("row", "top of the arch", f"{words.sizes(a.height_m)} above its weights")
    yield Line("row", "pull on each end", f"{words.force(a.tension_n)} along the line")
    yield Line(
        "row",
        "of which",
        f"{words.force(a.upward_n)} upward, {words.force(a.horizontal_n)} inward",
    )
    if a.breeze_m_s > 0:
        yield Line(
            "row",
            f"at {words.speed(a.breeze_m_s)}",
            f"leans {degrees(a.tilt_rad):.0f}°, top {words.sizes(a.blown_height_m)} up and "
            f"{words.sizes(a.drift_m)} aside; pull {words.force(a.blown_tension_n)}",
        )
    yield Line("good", f"Put {words.mass(a.weight_kg)} on each end ({a.weight_factor:g} times).")


def room_lines(a: RoomAnswer, words: Words) -> Iterator[Line]:
    """A room answer."""
    yield Line("head", f"{words.volume(a.gas_m3)} of helium in {words.volume(a.room_m3)}")
    yield Line("row", "oxygen, at worst", f"{100 * a.worst_oxygen:.1f} %")
    yield Line("row", "if it mixes", f"{100 * a.mixed_oxygen:.1f} %")
    yield Line("row", "limit", f"{100 * a.oxygen_limit:.1f} %; fresh air has 20.9 %")
    yield Line("row", "room needed", words.volume(a.least_room_m3))
    if a.enough:
        yield Line("good", "Above the limit even at worst. Fill with open doors all the same.")
    else:
        yield Line(
            "bad",
            f"Nobody may stay. Open from outside and air it for {60 * a.airing_h:.0f} min at "
            f"{a.air_changes:g} changes an hour.",
        )


def fill_lines(a: FillAnswer, words: Words) -> Iterator[Line]:
    """A fill answer."""
    one = f"{words.volume(a.balloon_m3)} each"
    yield Line("head", f"{a.size} made {words.sizes(a.made_m)}, {one}")
    if a.container_m3 is not None:
        narrow = "" if a.narrowest_m is None else f", {words.sizes(a.narrowest_m)} at its narrowest"
        yield Line("row", "into", f"{words.volume(a.container_m3)}{narrow}")
        yield Line("good", f"About {a.usual:,} of them ({a.fewest:,} to {a.most:,}).")
    if a.needed_m3 is not None and a.round_net_m is not None:
        yield Line("row", f"{a.wanted:,} of them", f"need {words.volume(a.needed_m3)}")
        yield Line(
            "good",
            f"A round net {words.sizes(a.round_net_m)} across and as long holds them.",
        )


def fresh_lines(a: FreshAnswer, words: Words) -> Iterator[Line]:
    """A fresh answer."""
    where = {"indoors": "indoors", "shade": "in the shade", "sun": "in the sun"}[a.place]
    yield Line("head", f"Air-filled latex {where} at {words.warm(a.temperature_c)}")
    good = _hours(a.good_shortest_h, a.good_longest_h, a.good_usual_h)
    yield Line("row", "stays fresh", good)
    yield Line(
        "row",
        "used up",
        f"{100 * a.used_usual:.0f} % of its good life after {a.hours:g} h there and "
        f"{a.ahead_hours:g} h in the workshop ({100 * a.used_least:.0f} to "
        f"{100 * a.used_most:.0f} %)",
    )
    cure = "Build later, strike earlier, take light shades half a size smaller, and more spares."
    if a.verdict == "fresh":
        yield Line("good", "Fresh to the end.")
    elif a.verdict == "doubtful":
        yield Line("bad", f"Dark, clear and tight ones may look tired. {cure}")
    else:
        yield Line("bad", f"Tired before the end. {cure}")
