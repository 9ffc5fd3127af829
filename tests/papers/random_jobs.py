"""Jobs whose pieces, sizes, place and language are drawn at random, for tests that read papers."""

from __future__ import annotations

import random

from airwright.units import System

HEAD = """
format = "airwright-job/1"
[job]
title = "Random {seed}"
client = "Saltmarsh Ferries"
date = 2027-07-10
guests = "11:00"
strike = "20:00"
currency = "{currency}"
[venue]
name = "Pier hall"
setting = "{setting}"
access = "06:00"
altitude = "3 m"
workshop_temperature = "19 C"
peak_temperature = "24 C"
gust = "{gust} m/s"
drive = "{drive} km"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
"""


def usual_job(seed: int) -> tuple[str, System]:
    """A job of some pieces whose sizes are drawn at random."""
    chance = random.Random(seed)
    metric = seed % 2 == 1
    tall = f"{chance.randint(15, 23) / 10} m" if metric else f"{chance.randint(5, 7)} ft"
    wide = f"{chance.randint(20, 32) / 10} m" if metric else f"{chance.randint(7, 10)} ft"
    quad = f"4 x 11in @ {chance.choice((23, 24, 25))}cm" if metric else "4 x 11in @ 9.5in"
    small = "4 x 5in @ 11cm" if metric else "4 x 5in @ 4.5in"
    mixed = "2 x 17in @ 38cm + 4 x 11in @ 25cm" if metric else "2 x 17in @ 15in + 4 x 11in @ 10in"
    big = "24in @ 55cm" if metric else "24in @ 22in"
    head = HEAD.format(
        seed=seed,
        currency="USD",
        setting=chance.choice(("indoor", "open air")),
        gust=chance.randint(4, 8),
        drive=chance.randint(3, 60),
    )
    pieces = f"""
[[pieces]]
name = "Swirl"
kind = "column"
count = {chance.randint(1, 4)}
height = "{tall}"
body = ["{quad}"]
shades = ["coral", "sand", "teal", "white"]
topper = {{ balloon = "{big}", shade = "coral", tie = "260" }}
[[pieces]]
name = "Cloudy"
kind = "column"
count = {chance.randint(1, 3)}
height = "{tall}"
clouds = [
  {{ at = "foot", cluster = "{mixed}", shades = ["teal", "white"] }},
  {{ at = "head", cluster = "{mixed}", shades = ["teal", "white"] }},
]
sleeve = {{ material = "fringe", layers = 2, shade = "sand" }}
fillers = {{ cluster = "{small}", count = 4, tie = "loop", shades = ["coral"] }}
[[pieces]]
name = "Garland"
kind = "garland"
path = "swag"
width = "{wide}"
height = "{tall}"
sag = "{"0.4 m" if metric else "1 ft"}"
on = "hooks"
shades = ["coral", "white", "teal"]
setting = "indoor"
[[pieces]]
name = "Bunch"
kind = "bouquet"
count = {chance.randint(1, 8)}
height = "{tall}"
balloons = [{{ balloon = "11in @ {"25cm" if metric else "10in"}", count = 5, shades = ["coral"] }}]
setting = "indoor"
"""
    return head + pieces, System.METRIC if metric else System.FEET


LANGUAGES = ("en-US", "de", "es")


def language_of(seed: int, usual: int) -> str:
    """The first `usual` jobs speak English, those after them each language in turn."""
    return LANGUAGES[0] if seed < usual else LANGUAGES[(seed - usual) % len(LANGUAGES)]


def job_of_new_kinds(seed: int) -> tuple[str, System]:
    """A job of pieces on rings, panels, walls, tables and ceilings; by seed another choice."""
    chance = random.Random(1000 + seed)
    metric = seed % 2 == 1
    mix = (
        """[
  { balloon = "11in @ 25cm", share = 3 },
  { balloon = "5in @ 11cm", share = 4 },
]"""
        if metric
        else """[
  { balloon = "11in @ 10in", share = 3 },
  { balloon = "5in @ 4.5in", share = 4 },
]"""
    )
    five, small = ("5in @ 11cm", "5in @ 10cm") if metric else ("5in @ 4.5in", "5in @ 4in")

    def size(low_cm: int, high_cm: int) -> str:
        drawn = chance.randint(low_cm, high_cm)
        return f"{drawn} cm" if metric else f"{round(drawn / 2.54)} in"

    head = HEAD.format(
        seed=seed,
        currency="EUR" if metric else "USD",
        setting="indoor",
        gust=0,
        drive=chance.randint(3, 60),
    )
    beside = size(60, 70)
    pieces = [
        f"""
[[pieces]]
name = "Ring"
kind = "hoop"
across = "{size(140, 190)}"
form = "half"
heavy = "{chance.choice(("lower left", "bottom", "right"))}"
mix = {mix}
shades = {{ coral = 3, white = 2 }}
foliage = {{ shade = "teal" }}
sign = {{ text = "Ahoy", width = "{size(40, 55)}", height = "{size(25, 35)}", shade = "sand" }}
""",
        f"""
[[pieces]]
name = "Slope"
kind = "half-arch"
points = [
  {{ x = "{size(-40, -30)}", z = "{size(20, 30)}" }},
  {{ x = "{size(-130, -110)}", z = "{size(100, 120)}" }},
  {{ x = "{size(20, 60)}", z = "{size(190, 220)}" }},
]
on = "{chance.choice(("wall", "frame"))}"
mix = {mix}
shades = {{ teal = 2, white = 1 }}
""",
        f"""
[[pieces]]
name = "Panels"
kind = "backdrop"
panels = [
  {{ form = "arch", width = "{size(90, 110)}", height = "{size(190, 205)}", shade = "sand" }},
  {{ width = "{size(80, 90)}", height = "{size(150, 160)}", x = "{beside}", shade = "sand" }},
]
end = 0.5
mix = {mix}
shades = {{ coral = 2, teal = 1 }}
""",
        f"""
[[pieces]]
name = "Figure"
kind = "foils"
text = "{chance.randint(1, 9)}{chance.randint(0, 9)}"
size = "34in"
shades = ["coral"]
height = "{size(170, 200)}"
""",
        f"""
[[pieces]]
name = "Table"
kind = "centrepiece"
count = {chance.randint(2, 9)}
height = "{size(110, 135)}"
base = {{ cluster = "4 x {five}", sand = "yes", shades = ["white"] }}
top = "3 x {five}"
crown = "18in foil round"
shades = ["coral", "sand", "white"]
""",
        f"""
[[pieces]]
name = "Tree"
kind = "topiary"
count = {chance.randint(2, 6)}
height = "{size(58, 68)}"
body = ["4 x {five}", "4 x {small}"]
shades = ["teal", "white"]
base = {{ cluster = "4 x {five}", sand = "yes", shades = ["sand"] }}
topper = {{ balloon = "{small}", shade = "coral", tie = "none" }}
""",
        f"""
[[pieces]]
name = "Bloom"
kind = "flower"
count = {chance.randint(2, 6)}
height = "{size(55, 65)}"
petals = "6 x {five}"
middle = "{small}"
shades = ["coral"]
middle_shade = "sand"
""",
        f"""
[[pieces]]
name = "Sky"
kind = "ceiling"
form = "{chance.choice(("loose", "swags", "strands"))}"
width = "{size(300, 420)}"
length = "{size(250, 320)}"
height = "{size(300, 330)}"
shades = ["white", "white", "teal"]
""",
        f"""
[[pieces]]
name = "Initial"
kind = "letters"
text = "{chance.choice("ALTV")}"
height = "{size(95, 120)}"
shades = {{ coral = 2, white = 1 }}
""",
        f"""
[[pieces]]
name = "Shower"
kind = "drop"
height = "{size(380, 420)}"
length = "{size(150, 220)}"
across = "{size(55, 70)}"
mix = [{{ balloon = "9in @ {"20cm" if metric else "8in"}", share = 1 }}]
shades = {{ white = 2, coral = 1 }}
""",
    ]
    first = seed % 2
    return head + "".join(pieces[first::2]), System.METRIC if metric else System.FEET
