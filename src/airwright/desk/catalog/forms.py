"""The fields of a row: each described once, read from what was typed, shown as people write it."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Final

from airwright import units
from airwright.desk.editing.edits import EditError
from airwright.money.reading import read_amount
from airwright.units import INCH_M, LENGTH, MASS, PRESSURE, VOLUME, Kind, System

WORD, CHOICE, YES, COLOUR = "text", "choice", "yes or no", "colour"
MONEY, COUNT, NUMBER, SHARE = "money", "whole number", "number", "share"

GRAM_KG = 0.001
MOST_PACKS = 12
DEAREST = Decimal(100_000)
LARGEST_PACK = 100_000


@dataclass(frozen=True, slots=True)
class Blank:
    """One field of a row.

    Attributes:
        key: as in the studio file.
        reads: a word above, or the kind of quantity.
        per: SI value of one stored unit ("nominal_in" holds inches); 0: stored as text with unit.
        low, high: inclusive bounds, in stored units (SI where stored as text).
        usual: what holds when nothing is written, as shown; "" where it must be written.
    """

    key: str
    label: str
    help: str
    reads: str | Kind = WORD
    per: float = 1.0
    low: float | None = None
    high: float | None = None
    required: bool = True
    usual: str = ""
    example: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    rare: bool = False


def _plain(*words: str) -> tuple[tuple[str, str], ...]:
    return tuple((word, word) for word in words)


SOURCE: Final = Blank(
    "source", "Where the figures come from", "For yourself: a tag, an invoice, your own tape.",
    required=False, usual="entered by the studio", rare=True,
)  # fmt: skip

BALLOON: Final = (
    Blank("size", "Size", "What you write in a recipe: 11in, 260, 19in foil star.",
          example="14in"),
    Blank("family", "Shape", "Round and link are latex; modelling ones are long and thin.", CHOICE,
          choices=(("round", "round"), ("link", "link, with a tail"),
                   ("modelling", "modelling, long"), ("foil", "foil"))),
    Blank("nominal_in", "Sold as", "The size on the bag.", LENGTH, INCH_M, 0.5, 120,
          example="14 in"),
    Blank("usual_in", "Filled to", "The width you usually fill it to.", LENGTH, INCH_M, 0.4, 120,
          example="12 in"),
    Blank("mass_g", "One empty one weighs", "Weigh ten together and divide by ten.", MASS, GRAM_KG,
          0.05, 1000, example="4.1 g"),
    Blank("flat_width_in", "Flat width", "Across the empty balloon, laid flat.", LENGTH, INCH_M,
          0.2, 120, example="4.9 in"),
    Blank("failure_rate", "Lost on the way", "Pops, leaks and faulty ones, out of a hundred.",
          SHARE, 1, 0, 0.5, example="2 %"),
    Blank("failure_seen", "Seen on so many", "How many balloons that share is known from; the "
          "fewer, the more spares.", NUMBER, 1, 1, 1_000_000, required=False, usual="200",
          rare=True),
    Blank("helium", "Filled with helium", "Whether it is sold to float.", YES,
          choices=_plain("no", "yes")),
    Blank("outline", "Outline, foil only", "A star lifts less than a round one of its width.",
          CHOICE, required=False, usual="round", choices=_plain("heart", "star", "starburst")),
    Blank("length_in", "Length, modelling only", "How long it is when filled.", LENGTH, INCH_M, 1,
          400, required=False, example="60 in"),
    Blank("neck_ratio", "Neck to middle", "From the knot to the middle, in filled widths.", NUMBER,
          1, 0.3, 1.5, required=False, usual="0.65", rare=True),
    SOURCE,
)  # fmt: skip

HARDWARE: Final = (
    Blank("item", "Name", "As it stands on your lists.", example="steel base, round"),
    Blank("use", "Used as", "What part it plays; poles, bases and panels are chosen by it.",
          CHOICE, choices=_plain("pole", "base", "stand", "frame", "panel", "line", "ribbon",
                                 "weight", "band", "fringe", "fabric", "net", "tool", "anchor")),
    Blank("owned", "You own", "How many stand in your store. Left empty: enough.", NUMBER, 1, 0,
          100_000, required=False, example="6"),
    Blank("price", "Costs new", "One of it, or one metre.", MONEY, 1, 0, 100_000,
          example="34.00"),
    Blank("reuses", "Lasts, in jobs", "1 for what is used up; each job carries its share.", COUNT,
          1, 1, 10_000, required=False, usual="1"),
    Blank("unit", "Counted", "By the piece, or by the metre.", CHOICE,
          choices=(("each", "by the piece"), ("m", "by the metre"))),
    Blank("mass_kg", "Weighs", "One of it, or one metre.", MASS, 1, 0, 2000, example="5 kg"),
    Blank("ballast_kg", "Can be filled with", "Water or sand it takes up, for bases.", MASS, 1, 0,
          2000, required=False, usual="nothing"),
    Blank("length_m", "Length", "Where it matters: how far a pole reaches.", LENGTH, 1, 0.001, 100,
          required=False, example="8 ft"),
    Blank("width_m", "Width", "Of a base or a panel.", LENGTH, 1, 0.001, 100, required=False,
          example="18 in"),
    Blank("height_m", "Height", "Of a panel, a ladder, a base plate.", LENGTH, 1, 0.001, 100,
          required=False, example="40 in"),
    Blank("diameter_m", "Thickness", "Of a pole or a rod.", LENGTH, 1, 0.0001, 2, required=False,
          example="1 in"),
    Blank("bulk_m3", "Room in the van", "Packed, one of it or one metre.", VOLUME, 1, 0, 50,
          required=False, usual="none", example="8 L"),
    SOURCE,
)  # fmt: skip

SHADE: Final = (
    Blank("name", "Name", "A plain word of your own.", example="seagrass"),
    Blank("colour", "Colour", "As it looks filled, in daylight.", COLOUR, example="#2f8f83"),
    Blank("finish", "Finish", "How it takes the light.", CHOICE,
          choices=_plain("matte", "pearl", "metallic", "clear")),
)  # fmt: skip

CYLINDER: Final = (
    Blank("name", "Name", "What your supplier calls it.", example="helium cylinder 30 L"),
    Blank("water", "Water volume", "Stamped on its shoulder.", VOLUME, 0, 0.0005, 0.15,
          example="30 L"),
    Blank("gauge", "Pressure when full", "As the dial reads it.", PRESSURE, 0, 5e5, 300e5,
          required=False, usual="200 bar"),
    Blank("mass", "Weighs, full", "For the van and for your back.", MASS, 0, 0.5, 150,
          example="45 kg"),
    Blank("price", "One filling with its rent", "In the catalogue’s currency.", MONEY, 1, 0,
          10_000, example="210.00"),
    Blank("rent", "Of that, rent for one job", "The rest is gas: a job is charged for what it "
          "uses, what is left is stock.", MONEY, 1, 0, 10_000, required=False, usual="0.00",
          example="25.00"),
    Blank("most", "You can get, for one job", "More than that is never planned.", COUNT, 1, 0, 200,
          required=False, usual="4"),
)  # fmt: skip


def read(blank: Blank, words: str) -> Any:
    """What was typed, as the studio file stores it; None where nothing was.

    Raises:
        EditError: it does not fit; what and cure are for the decorator.
    """
    words = words.strip()
    if not words:
        if blank.required:
            example = f'Write it like "{blank.example}".' if blank.example else blank.help
            raise EditError("This is empty.", example)
        return None
    if isinstance(blank.reads, Kind):
        return _quantity(blank, blank.reads, words)
    if blank.reads in (CHOICE, YES):
        known = [value for value, _ in blank.choices]
        if words not in known:
            raise EditError(f'"{words[:40]}" is no choice here.', f"Pick {', '.join(known)}.")
        return words == "yes" if blank.reads == YES else words
    if blank.reads == COLOUR:
        if not re.fullmatch(r"#[0-9a-fA-F]{6}", words):
            raise EditError(f'"{words[:40]}" is no colour.', 'Write it like "#2f8f83".')
        return words.lower()
    if blank.reads == WORD:
        return _word(words)
    return _figure(blank, words)


def _word(words: str) -> str:
    words = " ".join(words.split())
    if len(words) > 60:
        raise EditError("This is too long for a list.", "Keep it to 60 characters.")
    if any(not char.isprintable() for char in words):
        raise EditError(
            "There is a character in it that cannot be seen.", "Type it anew instead of pasting it."
        )
    return words


def _quantity(blank: Blank, kind: Kind, words: str) -> float | str:
    example = f'Write it like "{blank.example or blank.usual}", with its unit.'
    try:
        value = units.parse(words, kind)
    except units.UnitError as problem:
        raise EditError(problem.what, example) from problem
    stored = value / (blank.per or 1.0)
    _bounded(blank, stored, words, lambda bound: units.write(bound * (blank.per or 1.0), kind))
    return words if blank.per == 0 else round(stored, 6)


def _figure(blank: Blank, words: str) -> float | int | str:
    example = blank.example or blank.usual
    what = f'"{words[:40]}" is no {_NAMES[str(blank.reads)]}.'
    wrong = EditError(what, f'Write it like "{example}".')
    percent = blank.reads == SHARE and words.endswith("%")
    amount = read_amount(words.rstrip("% ") if percent else words)
    if amount is None or (blank.reads == COUNT and amount != int(amount)):
        raise wrong
    if percent:
        amount /= 100
    say = (lambda bound: f"{bound:.0%}") if blank.reads == SHARE else (lambda bound: f"{bound:,g}")
    _bounded(blank, float(amount), words, say)
    if blank.reads == MONEY:
        return str(amount if -amount.as_tuple().exponent > 2 else amount.quantize(Decimal("0.01")))  # type: ignore[operator]
    return int(amount) if blank.reads == COUNT else round(float(amount), 6)


_NAMES: Final = {MONEY: "amount", COUNT: "whole number", NUMBER: "number", SHARE: "share"}


def _bounded(blank: Blank, value: float, words: str, say: Any) -> None:
    if blank.low is not None and value < blank.low:
        raise EditError(f"{words} is too small.", f"Use {say(blank.low)} or more.")
    if blank.high is not None and value > blank.high:
        raise EditError(f"{words} is too large.", f"Use {say(blank.high)} or less.")


def shown(blank: Blank, value: Any, system: System) -> str:
    """A stored value as the decorator would write it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(blank.reads, Kind):
        return _shown_quantity(blank, blank.reads, value, system)
    if blank.reads == SHARE:
        return f"{float(value) * 100:.6g} %"
    if blank.reads == NUMBER:
        return f"{float(value):.6g}"
    return str(value)


def _shown_quantity(blank: Blank, kind: Kind, value: Any, system: System) -> str:
    if isinstance(value, str):
        return value
    if kind is VOLUME and float(value) < 0.1:
        return f"{float(value) * 1000:.6g} L"  # as it is stamped on cylinders
    if blank.per == 0:
        return units.write(float(value), kind)
    if kind is LENGTH and blank.per == INCH_M:
        return f"{float(value):.6g} in"
    if kind is MASS and (blank.per == GRAM_KG or float(value) < 0.1):
        return f"{float(value) * blank.per * 1000:.6g} g"
    return units.show(float(value) * blank.per, kind, system)


def read_packs(pairs: list[tuple[str, str]]) -> tuple[list[dict[str, Any]], dict[int, EditError]]:
    """Bags as sold, smallest first, and what is wrong by line; empty lines are left out."""
    packs: list[dict[str, Any]] = []
    wrong: dict[int, EditError] = {}
    count_of = Blank("count", "", "How many are in the bag.", COUNT, 1, 1, LARGEST_PACK,
                     example="100")  # fmt: skip
    price_of = Blank("price", "", "What the bag costs.", MONEY, 1, 0, float(DEAREST),
                     example="14.90")  # fmt: skip
    for at, (count, price) in enumerate(pairs):
        if not count.strip() and not price.strip():
            continue
        try:
            pack = {"count": read(count_of, count), "price": read(price_of, price)}
            if any(other["count"] == pack["count"] for other in packs):
                raise EditError("This bag is there twice.", "Empty one of the two lines.")
            packs.append(pack)
        except EditError as problem:
            wrong[at] = problem
    if not packs and not wrong:
        wrong[0] = EditError(
            "No bag is named.", "Write how many are in one, and its price; 1 for singles."
        )
    return sorted(packs, key=lambda pack: int(pack["count"])), wrong
