"""The list goes on: limits, allowances and lengths to cut, each with the effect that guards it."""

from __future__ import annotations

from tests.validation import limits as show
from tests.validation.limits import mean_below_peak_k
from tests.validation.spoiling import Constant, Guard, practice, remembered


def of_line(piece: str, at: str, text: str) -> Constant:
    """Line cut for a garland, over the way it runs."""
    guard = remembered(
        f"line cut for a {piece} over the way it runs", show.line_over_length(text), 1.05, 1.25, "-"
    )
    return Constant(f"decor.pieces.{at}.SPARE_LINE", f"line of a {piece}", 1.05, 1.25, "-", guard)


def of_knots(what: str, at: str, text: str, name: str, low: float, high: float) -> Constant:
    """Line or ribbon beyond its own length; what is cut is rounded up to a centimeter."""
    guard = remembered(
        f"{what}, cut beyond its length", show.left_over(text, name), low, high + 0.01, "m"
    )
    return Constant(f"decor.pieces.{at}", f"knots of a {what}", low, high, "m", guard)


LIMITS: tuple[Constant, ...] = (
    # ---- sizes, as the inflating table sorts them
    Constant(
        "plan.hours.SMALL_M",
        "largest of the small balloons",
        6 * 0.0254,
        9 * 0.0254,
        "m",
        practice("largest usual size sorted as small", show.largest("inflate small"), 5.9, 6.1,
                 "in"),
    ),
    Constant(
        "plan.hours.MEDIUM_M",
        "largest of the medium balloons",
        12 * 0.0254,
        14 * 0.0254,
        "m",
        practice("largest usual size sorted as medium", show.largest("inflate medium"), 11.9, 12.1,
                 "in"),
    ),
    Constant(
        "plan.hours.LARGE_M",
        "largest of the large balloons",
        18 * 0.0254,
        24 * 0.0254,
        "m",
        practice("largest usual size that is no jumbo", show.largest("inflate large"), 17.9, 18.1,
                 "in"),
    ),
    # ---- what stands and hangs
    Constant(
        "plan.stability.SHORT_M",
        "pieces below are not pushed over",
        0.1,
        0.5,
        "m",
        remembered("lowest piece that a guest is reckoned to push", show.pushed_from_m, 0.1, 0.5,
                   "m", "between an adult's ankle and knee, from memory"),
    ),
    Constant(
        "plan.cautions.OVERHEAD_M",
        "what hangs higher is overhead",
        0.7,
        1.35,
        "m",
        remembered("lowest point from which what hangs is told to be overhead",
                   show.overhead_from_m, 0.7, 1.35, "m",
                   "a small child stands, an adult sits under it, from memory"),
    ),
    Constant(
        "pictures.photo.photograph.OVERHEAD_M",
        "decor is photographed from below above",
        1.7,
        2.1,
        "m",
        remembered("lowest balloon of decor that is photographed from below",
                   show.seen_from_below_m, 1.7, 2.1, "m", "an adult stands under it, from memory"),
    ),
    # ---- time and warmth
    Constant(
        "plan.ageing.EVENT_BELOW_PEAK_K",
        "mean of the hours at the venue, below their warmest",
        1.1,
        3.5,
        "K",
        Guard(
            "latex in the shade is reckoned cooler than the day's warmest by",
            show.below_peak_k,
            mean_below_peak_k(8.0, 9.0, 18.0),
            mean_below_peak_k(14.0, 6.5, 18.0),
            "K",
            "mean of a cosine with its peak at 15:00: a day of 8 K from 9 h, of 14 K from 6:30, "
            "to 18 h",
            "closed_form",
        ),
    ),
    Constant(
        "plan.ageing.EXTRA_TIRED",
        "more spares where latex will look tired",
        0.08,
        0.2,
        "-",
        remembered("spares told to bring after 12 h in the sun", show.brought_along(12.0),
                   0.08, 0.2, "-", "10 to 20 % outside, from memory"),
    ),
    Constant(
        "plan.ageing.EXTRA_DOUBTFUL",
        "more spares where latex may look tired",
        0.02,
        0.08,
        "-",
        remembered("spares told to bring after 3 h in the sun", show.brought_along(3.0),
                   0.02, 0.08, "-", "half of those where it will, from memory"),
    ),
    Constant(
        "plan.warmth.FOIL_SLACK",
        "what full foil may still grow",
        0.045,
        0.085,
        "-",
        practice("foil filled at 20 °C is told too tight from", show.foil_tight_from_c, 33, 45,
                 "°C"),
    ),
    Constant(
        "plan.surroundings.NEARBY_M",
        "drive up to which the workshop lies as high as the venue",
        18_000,
        85_000,
        "m",
        remembered("longest drive without a change of altitude", show.nearby_min, 30, 95, "min",
                   "an hour or so on the road, from memory"),
    ),
    # ---- line and ribbon
    of_line("garland", "garland", show.STRAIGHT),
    of_line("garland on a wall", "half_arch", show.ON_WALL),
    of_line("garland on a backdrop", "backdrop", show.DRESSED),
    of_knots("ribbon of a bouquet", "bouquet.TAIL_M", show.THREE, "ribbon", 0.1, 0.35),
    of_knots("ribbon of a foil", "foils.TAIL_M", show.NUMBER, "ribbon", 0.1, 0.35),
    of_knots("hanging line of a hoop", "hoop.SPARE_LINE", show.RING, "hanging line", 0.15, 0.6),
    of_knots("hanging line of a strand", "ceiling.SPARE_LINE", show.STRANDS, "hanging line",
             0.15, 0.6),
)  # fmt: skip
