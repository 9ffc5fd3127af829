"""The list: numbers the job uses, the range each may have, and the effect that guards it.

Bands of effects come from outside (the source is beside each); the range of a number is how far
it may go before its effect leaves the band, rounded outward.
"""

from __future__ import annotations

from airwright.plan.hours import Done
from tests.plan.samples import column
from tests.validation import effects as show
from tests.validation.constants_of_limits import LIMITS
from tests.validation.spoiling import Constant, Guard, practice, remembered


def timed(what: str, low: float, high: float, *done: Done) -> Guard:
    """A band of minutes for some work."""
    return practice(what, show.minutes(*done), low, high, "min")


HUNDRED = timed("100 balloons of 11 in inflated, sized, tied", 20, 45,
                ("inflate medium", 100, None))  # fmt: skip
COLUMN: tuple[Done, ...] = (
    ("inflate medium", 36, None), ("tie cluster", 9, None), ("stack cluster", 9, None),
    ("pole and base", 1, None),
)  # fmt: skip
MADE = timed("6 ft column of quads made", 15, 40, *COLUMN)
GARLAND: tuple[Done, ...] = (
    ("inflate small", 45, None), ("inflate medium", 45, None), ("inflate large", 8, None),
    ("tie cluster", 24, None), ("stack cluster", 24, None), ("filler", 8, None),
)  # fmt: skip
ORGANIC = timed("10 ft organic garland made", 45, 120, *GARLAND)
ON_SITE: tuple[Done, ...] = (
    ("arrive", 1, None), ("frame", 7, None), ("foot", 2, None), ("fix to frame", 7, None),
    ("place piece", 1, None), ("dress balloon", 144, None), ("set ballast", 30, None),
    ("carry", 4, "site"), ("walk", 240, "site"),
)  # fmt: skip
ARCH = timed("16 ft arch on site", 30, 90, *ON_SITE)
DOWN: tuple[Done, ...] = (
    ("strike piece", 1, None), ("burst balloon", 144, None), ("take apart", 9, None),
    ("carry", 2, "take-down"), ("walk", 120, "take-down"),
)  # fmt: skip
STRUCK = timed("16 ft arch taken down", 5, 15, *DOWN)

UPSTAIRS = remembered("four armfuls up two flights, and back empty",
                      show.minutes(("stairs", 8, "site")), 2.5, 10, "min")  # fmt: skip
RIDES = remembered("two rides in a lift", show.minutes(("lift ride", 2, "site")), 2, 12, "min")
LOADED = remembered("a van got ready and ten armfuls loaded",
                    show.minutes(("ready the van", 1, None), ("load", 10, None)),
                    10, 40, "min")  # fmt: skip
DRIVEN = remembered("10 km through town", show.minutes(("drive", 10, None)), 13, 30, "min")
FAR = remembered("60 km further on the road", show.minutes(("drive on", 60, None)), 36, 75, "min")
BOUQUET_MADE = practice("bouquet of seven made", show.minutes(
    ("fill helium", 7, None), ("bouquet", 1, None)), 4, 18, "min")  # fmt: skip
JUMBO = remembered("a 3 ft balloon inflated and set on a column", show.minutes(
    ("inflate jumbo", 1, None), ("topper", 1, None)), 3, 12, "min")  # fmt: skip
CLOUDED = remembered("sleeve cut and hung", show.minutes(("sleeve", 1, None)), 2, 10, "min")
FOILS = remembered("ten foils filled and sealed", show.minutes(("inflate foil", 10, None)),
                   4, 20, "min")  # fmt: skip
HUNG = practice("10 ft of garland hung by one", show.minutes(("hang garland", 3.05, None)),
                6, 30, "min")  # fmt: skip
ARCH_TEXT = column().split("[[pieces]]")[0] + (
    '[[pieces]]\nname = "A"\nkind = "arch"\nwidth = "10 ft"\nheight = "8 ft"\n'
    'body = ["4 x 11in @ 9.5in"]\nshades = ["coral"]\n'
)
COLUMN_MASS = remembered("6 ft column on an empty base", show.empty_mass_kg(column()), 3, 12, "kg")
ARCH_MASS = remembered("10 x 8 ft arch on empty feet", show.empty_mass_kg(ARCH_TEXT), 10, 35, "kg")
BAG = remembered("100 of 11 in, a bag", show.one_costs("11in", 100), 8, 30, "USD")
SMALL_BAG = remembered("100 of 5 in, a bag", show.one_costs("5in", 100), 4, 18, "USD")
JUMBOS = remembered("two of 3 ft", show.one_costs("36in", 2), 5, 25, "USD")
SOLD = practice("6 ft column sold for", show.sold_for(column()), 60, 150, "USD")

LIFT = practice("net lift of 11 in at 11 in, ribbon not counted",
                show.net_lift_g("11in"), 9.3, 10.6, "g")  # fmt: skip
GAS = practice("helium in an 11 in balloon", show.gas_ft3, 0.40, 0.55, "ft³")


def of_mass(size: str, low: float, high: float, least: float, most: float) -> Constant:
    """Mass of a balloon, guarded by the thickness of its empty rubber."""
    wall = remembered(f"rubber of an empty {size} balloon", show.wall_um(size), least, most, "µm")
    return Constant(f"balloons:{size}.mass_g", f"mass of a {size} balloon", low, high, "g", wall)


def of_time(operation: str, low: float, high: float, guard: Guard, *spoilt: float) -> Constant:
    """Minutes of a labour standard."""
    return Constant(f"operations:{operation}.minutes", f"{operation}, one", low, high, "min",
                    guard, spoilt)  # fmt: skip


CONSTANTS: tuple[Constant, ...] = (
    # ---- wind, people, floors
    Constant(
        "physics.drag.CLUSTERED_COLUMN",
        "form factor of a column or wall of balloons",
        1.05,
        1.35,
        "-",
        Guard(
            "wind of 8 m/s on a column 2.0 x 0.45 m",
            show.column_force_n,
            38.8,
            46.6,
            "N",
            "drag coefficient 1.20 of an endless cylinder, 1.18 of a plate (White, table "
            "7.3, remembered), ±10 %",
            "from_memory",
        ),
        (0.7,),
    ),
    Constant(
        "physics.drag.SAFE_SPHERE",
        "form factor of one balloon",
        0.44,
        0.50,
        "-",
        Guard(
            "wind of 8 m/s on a balloon of 0.28 m",
            show.balloon_force_n,
            1.076,
            1.190,
            "N",
            "Cd 0.4694 at Re 1.53e5: 1.133 N (fluids.drag_sphere), ±5 %",
            "other_program",
        ),
    ),
    Constant(
        "physics.wind.CODE_AIR_KG_M3",
        "air density of wind loads",
        1.20,
        1.25,
        "kg/m³",
        Guard(
            "pressure of 24 mph",
            show.gust_pa,
            69.2,
            71.9,
            "Pa",
            "ASCE 7: 0.613 V² = 70.56 Pa, EN 1991-1-4 reckons 2 % more",
            "published",
        ),
    ),
    Constant(
        "plan.surroundings.UNSAID_GUST_M_S",
        "gust assumed outdoors",
        10.2,
        11.2,
        "m/s",
        Guard(
            "gust assumed where none is written",
            show.assumed_mph,
            22.8,
            25.0,
            "mph",
            "24 mph, above which inflatables are not used (EN 14960 practice)",
            "published",
        ),
    ),
    Constant(
        "settings:care.friction",
        "grip of base plates on a smooth floor",
        0.2,
        0.4,
        "-",
        remembered("what stays against a pull of 30 N", show.sliding_kg, 7.6, 15.3, "kg"),
        (0.6,),
    ),
    Constant(
        "settings:care.guest_push",
        "push of a guest",
        12.0,
        60.0,
        "N",
        practice("ballast of a 6 ft column indoors", show.pole_ballast_kg, 1.1, 38.0, "kg"),
        (200.0,),
    ),
    Constant(
        "settings:care.factor_of_safety",
        "factor of safety",
        1.3,
        2.0,
        "-",
        remembered("what holds over what tips", show.kept_factor, 1.3, 2.0, "-"),
    ),
    Constant(
        "physics.tether.WEIGHT_FACTOR",
        "counterweight over lift",
        1.2,
        2.0,
        "-",
        practice("weight of a bouquet over its lift", show.weight_over_lift, 1.2, 2.0, "-"),
    ),
    # ---- balloons
    Constant("balloons:11in.mass_g", "mass of an 11 in balloon", 1.5, 3.6, "g", LIFT, (4.0,)),
    of_mass("5in", 0.6, 1.2, 200, 350),
    of_mass("9in", 1.3, 2.8, 150, 300),
    of_mass("12in", 2.3, 4.8, 150, 300),
    of_mass("17in", 4.8, 9.8, 150, 300),
    of_mass("24in", 13.0, 24.0, 200, 350),
    of_mass("36in", 30.0, 61.0, 200, 400),
    Constant(
        "decor.context.DEFAULT_PUSH_N",
        "push of the hands on a stack",
        0.0,
        85.0,
        "N",
        practice("a quad of 11 in at 9.5 in in a column", show.quad_pitch_in, 7.5, 9.75, "in"),
        (200.0,),
    ),
    Constant(
        "physics.shape.FULL_EXPONENT",
        "pear of a full balloon",
        0.45,
        0.75,
        "-",
        practice("body of a full balloon over its width", show.height_over_width, 1.26, 1.33, "-"),
        (0.9,),
    ),
    Constant(
        "physics.inflation.SHEAR_MODULUS_PA",
        "stiffness of the rubber",
        0.2e6,
        0.6e6,
        "Pa",
        remembered("pressure in an 11 in balloon made 10 in", show.excess_kpa, 1.0, 2.5, "kPa"),
    ),
    Constant(
        "physics.inflation.BURST_OVER_NOMINAL",
        "bursting size over nominal",
        1.1,
        1.3,
        "-",
        practice(
            "11 in made 10 in, at 37 °C, over its bursting size",
            show.margin_at(10),
            0.71,
            0.84,
            "-",
        ),
    ),
    # ---- helium and time
    Constant(
        "physics.permeation.DOWN_H",
        "hours until 11 in is down",
        15.0,
        21.0,
        "h",
        practice("11 in is down after", show.down_h, 16, 20, "h"),
    ),
    Constant(
        "physics.permeation.LONGER",
        "what further hours count",
        0.9,
        1.6,
        "-",
        practice("24 in is down after", show.down_24in_h, 48, 64, "h"),
    ),
    Constant(
        "physics.permeation.GOOD_SHARE",
        "share of float time that looks good",
        0.3,
        0.6,
        "-",
        practice("11 in looks good for", show.good_h, 7, 9, "h"),
    ),
    Constant(
        "physics.permeation.SAFE_SHARE",
        "share of float time to count on",
        0.5,
        0.8,
        "-",
        practice("11 in is safe for", show.safe_h, 11, 13, "h"),
    ),
    Constant(
        "physics.permeation.SPREAD",
        "scatter of float times",
        1.1,
        1.7,
        "-",
        practice("an 11 in balloon is down at the latest after", show.longest_h, 20, 28, "h"),
    ),
    Constant(
        "physics.permeation.COATING_LOW",
        "coated over plain, at the least",
        4.0,
        10.0,
        "-",
        practice("coated 11 in is safe for", show.coated_days, 2.5, 4.5, "d"),
    ),
    Constant("settings:helium.purity", "share of helium in the gas", 0.95, 1.0, "-", LIFT),
    Constant(
        "settings:helium.waste",
        "gas lost at the nozzle and in pops",
        0.02,
        0.15,
        "-",
        remembered("gas bought and not in balloons", show.waste_share, 0.02, 0.15, "-"),
    ),
    Constant(
        "physics.room_air.FRESH_OXYGEN",
        "oxygen in fresh air",
        0.205,
        0.213,
        "-",
        Guard(
            "oxygen where a tenth of the air is replaced",
            show.oxygen_share,
            0.1850,
            0.1905,
            "-",
            "0.9 x 20.95 % (US Standard Atmosphere 1976)",
            "published",
        ),
    ),
    Constant(
        "physics.sun.FULL_SUN_W_M2",
        "full sun",
        700.0,
        1250.0,
        "W/m²",
        remembered(
            "gas in a black balloon above the air, in the sun", show.rise_in_sun_k, 20, 35, "K"
        ),
    ),
    # ---- spares
    Constant(
        "balloons:11in.failure_rate",
        "share of 11 in that fails",
        0.01,
        0.05,
        "-",
        practice("spares for 100 of 11 in alone", show.spares_in_100(), 4, 10, "balloons"),
    ),
    # ---- hours
    of_time("inflate medium", 0.15, 0.45, HUNDRED, 0.08),
    of_time("inflate small", 0.0, 2.0, ORGANIC),
    of_time("inflate large", 0.0, 10.0, ORGANIC),
    of_time("tie cluster", 0.0, 2.5, MADE),
    of_time("stack cluster", 0.0, 2.5, MADE),
    of_time("pole and base", 0.0, 22.0, MADE),
    of_time("filler", 0.0, 9.0, ORGANIC),
    of_time("frame", 0.0, 9.0, ARCH),
    of_time("fix to frame", 0.0, 9.0, ARCH),
    of_time("dress balloon", 0.0, 0.5, ARCH),
    of_time("place piece", 0.0, 50.0, ARCH),
    of_time("arrive", 0.0, 60.0, ARCH),
    of_time("strike piece", 0.0, 8.0, STRUCK),
    of_time("burst balloon", 0.0, 0.06, STRUCK),
    of_time("take apart", 0.0, 1.5, STRUCK),
    of_time("foot", 0, 17.5, ARCH),
    of_time("set ballast", 0, 1.15, ARCH),
    # ---- carrying, loading, driving
    of_time("carry", 0, 8.2, ARCH),
    of_time("walk", 0, 0.145, ARCH),
    of_time("stairs", 0.27, 1.15, UPSTAIRS),
    of_time("lift ride", 0.85, 5.5, RIDES),
    of_time("load", 0, 2.5, LOADED),
    of_time("ready the van", 2.5, 30, LOADED),
    of_time("drive", 1.3, 3.0, DRIVEN),
    of_time("drive on", 0.6, 1.25, FAR),
    # ---- trims
    of_time("fill helium", 0.08, 1.9, BOUQUET_MADE),
    of_time("bouquet", 0.05, 13, BOUQUET_MADE),
    of_time("inflate jumbo", 0, 8, JUMBO),
    of_time("topper", 0.1, 8.5, JUMBO),
    of_time("sleeve", 1.7, 9, CLOUDED),
    of_time("inflate foil", 0.35, 1.8, FOILS),
    of_time("hang garland", 1.7, 8.9, HUNG),
    # ---- masses of what is carried
    Constant("hardware:column base plate.mass_kg", "base of a column", 1.7, 12, "kg", COLUMN_MASS),
    Constant(
        "hardware:column pole, sectional.mass_kg", "pole of a column", 0, 7, "kg", COLUMN_MASS
    ),
    Constant("hardware:arch foot plate.mass_kg", "foot of an arch", 3.5, 17.5, "kg", ARCH_MASS),
    Constant("hardware:arch frame rod.mass_kg", "rod of an arch, a metre", 0, 3.4, "kg", ARCH_MASS),
    # ---- prices
    Constant("balloons:11in.packs", "11 in, one of the largest bag", 0.078, 0.33, "USD", BAG),
    Constant("balloons:5in.packs", "5 in, one of the largest bag", 0.038, 0.19, "USD", SMALL_BAG),
    Constant("balloons:36in.packs", "36 in, one of the largest bag", 2.3, 13, "USD", JUMBOS),
    Constant("settings:pricing.labour_rate", "wage of an hour", 17, 86, "USD", SOLD),
    Constant("settings:pricing.overhead", "overhead on costs", 0, 1.6, "-", SOLD),
    Constant("settings:pricing.margin", "margin of a price", 0.54, 0.85, "-", SOLD),
    *LIMITS,
)
