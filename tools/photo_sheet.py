"""A contact sheet of photographs: every kind of piece in every finish, to be looked at.

    python -m tools.photo_sheet --out DIR [--quality draft] [--place backdrop] [--only arch]

Writes one PNG a cell and `sheet.png` with all of them, named. The pieces are built from the job
below as any job is; only their shades' finish is then changed.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from PIL import Image, ImageDraw, ImageFont

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, Shade
from airwright.decor.engine import build
from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.job.studio import Studio
from airwright.pictures.photo import QUALITIES, photograph, save_png

JOB = """
format = "airwright-job/1"
[job]
title = "Contact sheet of the Saltmarsh ferry line (invented)"
date = 2027-05-22
guests = "10:00"
strike = "18:00"
[venue]
name = "Pier hall"
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
teal = "#1f7a7a"
white = "#f7f5f0"
[[pieces]]
name = "packed column"
kind = "column"
height = "6 ft"
body = ["4 x 11in @ 9.5in"]
shades = ["coral", "sand", "teal", "white"]
turn = 1
topper = { balloon = "24in @ 22in", shade = "coral", tie = "260" }
[[pieces]]
name = "cloud column"
kind = "column"
height = "6 ft"
clouds = [
  { at = "foot", cluster = "2 x 17in @ 15in + 4 x 11in @ 10in", shades = ["teal", "white"] },
  { at = "head", cluster = "2 x 17in @ 15in + 4 x 11in @ 10in", shades = ["teal", "white"] },
]
sleeve = { material = "fringe", layers = 2, shade = "sand" }
fillers = { cluster = "4 x 5in @ 4.5in", count = 4, tie = "loop", shades = ["coral"] }
topper = { balloon = "24in @ 22in", shade = "white", tie = "260", lean = "right" }
[[pieces]]
name = "textured column"
kind = "column"
height = "6 ft"
body = ["4 x 5in @ 4.5in", "2 x 11in @ 9.5in + 2 x 5in @ 4.5in"]
face = "5in"
shades = { "5in" = ["white"], "11in" = ["sand", "coral"] }
topper = { balloon = "24in @ 22in", shade = "sand", tie = "260" }
[[pieces]]
name = "arch"
kind = "arch"
curve = "half-circle"
width = "11 ft"
height = "9 ft"
body = ["4 x 11in @ 9.5in"]
shades = ["coral", "white", "teal", "sand"]
[[pieces]]
name = "garland"
kind = "garland"
path = "swag"
width = "10 ft"
height = "7 ft"
sag = "16 in"
mix = [
  { balloon = "17in @ 15in", share = 1 },
  { balloon = "11in @ 10in", share = 5 },
  { balloon = "5in @ 4.5in", share = 5 },
]
shades = { coral = 2, sand = 3, teal = 2, white = 3 }
seed = 7
[[pieces]]
name = "bouquet"
kind = "bouquet"
height = "7 ft"
balloons = [
  { balloon = "19in foil star", shades = ["sand"] },
  { balloon = "11in @ 10in", count = 5, shades = ["coral", "white", "teal"] },
]
[[pieces]]
name = "printed jumbos"
kind = "column"
height = "5 ft"
body = ["4 x 11in @ 9.5in"]
shades = ["teal", "white"]
topper = { balloon = "36in @ 32in", shade = "coral", tie = "260", mark = "Saltmarsh 25" }
[[pieces]]
name = "foils"
kind = "bouquet"
height = "8 ft"
balloons = [
  { balloon = "18in foil round", count = 3, shades = ["coral", "teal", "white"] },
  { balloon = "19in foil star", count = 2, shades = ["sand", "coral"] },
  { balloon = "26in foil starburst", shades = ["sand"] },
]
"""
SIZE = {"arch": (480, 400), "garland": (540, 360)}
USUAL_SIZE = (300, 400)
LABEL_PX, GAP_PX = 22, 8
Change = Callable[[Shade], Shade]


def _finished(finish: str) -> Change:
    if finish == "clear over shade":
        return lambda s: Shade(f"clear over {s.name}", "#f4f8fa", "clear", s.colour)
    return lambda s: replace(s, finish=finish, inner=None)  # type: ignore[arg-type]


FINISHES: dict[str, Change] = {
    name: _finished(name) for name in ("matte", "pearl", "metallic", "clear", "clear over shade")
}


def pieces() -> dict[str, Assembly]:
    """Every piece of the job above, built."""
    studio = Studio()
    reading = read_job(JOB, SPECS)
    if reading.job is None:
        raise SystemExit("\n".join(f"{f.place}: {f.what}" for f in reading.findings))
    built = build(reading.job, studio.catalog(), studio)
    if not built.assemblies:
        raise SystemExit("\n".join(f"{f.place}: {f.what}" for f in built.findings))
    return dict(built.assemblies)


def lettered(foils: Assembly, letters: str = "A7&") -> Assembly:
    """The foil bouquet with letters and figures for its round foils (which no job names yet)."""
    stocks = list(foils.stocks)
    stock = foils.stock.copy()
    rounds = [k for k in range(len(foils)) if stocks[stock[k]].outline == "round"]
    for row, letter in zip(rounds, letters, strict=False):
        stocks.append(replace(stocks[stock[row]], size=letter, outline=f"letter {letter}"))
        stock[row] = len(stocks) - 1
    return replace(foils, stocks=tuple(stocks), stock=stock)


def cells() -> Iterator[tuple[str, Assembly]]:
    """Every cell's name and what it shows."""
    made = pieces()
    jumbos, foils = made.pop("printed jumbos"), made.pop("foils")
    for name, piece in made.items():
        for finish, change in FINISHES.items():
            yield f"{name}, {finish}", replace(piece, shades=tuple(map(change, piece.shades)))
    dotted = [
        replace(s, mark="dots") if s.mark and s.family is Family.ROUND else s for s in jumbos.stocks
    ]
    yield "jumbo, words", jumbos
    yield "jumbo, dots", replace(jumbos, stocks=tuple(dotted))
    for finish in ("matte", "pearl", "metallic"):
        change = FINISHES[finish]
        yield f"foils, {finish}", replace(foils, shades=tuple(map(change, foils.shades)))
    yield "foils, letters", lettered(foils)


def sheet(pictures: dict[str, Path], across: int = 5) -> Image.Image:
    """All cells in rows, each named."""
    names = list(pictures)
    rows = [names[k : k + across] for k in range(0, len(names), across)]
    shown = {name: Image.open(path).convert("RGB") for name, path in pictures.items()}
    high = [max(shown[n].height for n in row) + LABEL_PX + GAP_PX for row in rows]
    wide = max(sum(shown[n].width + GAP_PX for n in row) for row in rows)
    page = Image.new("RGB", (wide + GAP_PX, sum(high) + GAP_PX), "#ffffff")
    pen, font, y = ImageDraw.Draw(page), ImageFont.load_default(size=14), GAP_PX
    for row, tall in zip(rows, high, strict=True):
        x = GAP_PX
        for name in row:
            page.paste(shown[name], (x, y))
            pen.text((x + 2, y + shown[name].height + 3), name, fill="#303030", font=font)
            x += shown[name].width + GAP_PX
        y += tall
    return page


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--quality", choices=sorted(QUALITIES), default="draft")
    parser.add_argument("--place", default="backdrop")
    parser.add_argument("--only", default="", help="cells whose name contains this")
    parser.add_argument("--enlarge", type=float, default=1.0, help="times the usual cell size")
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    pictures = {}
    for name, assembly in cells():
        if options.only not in name:
            continue
        size = SIZE.get(name.split(",")[0], USUAL_SIZE)
        enlarged = (round(size[0] * options.enlarge), round(size[1] * options.enlarge))
        photo = photograph(assembly, options.place, options.quality, enlarged)
        path = options.out / f"{name.replace(', ', '-').replace(' ', '-')}.png"
        pictures[name] = save_png(photo, path)
        print(f"{name}: {photo.seconds:.1f} s", flush=True)
    sheet(pictures).save(options.out / "sheet.png")


if __name__ == "__main__":
    main()
