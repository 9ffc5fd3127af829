"""Words of the trade that papers share: kinds of pieces, what a balloon is there for."""

from __future__ import annotations

from typing import Final

from airwright.catalog.size_words import size_word
from airwright.language import Text, counted, message
from airwright.language.saying import say
from airwright.units import Shown

CYLINDER: Final = "helium cylinder "


def kind_word(kind: str) -> str:
    """A kind of piece in words; a kind nobody named here stays as the job file writes it."""
    known = {
        "arch": message("arch"),
        "bouquet": message("bouquet"),
        "centrepiece": message("centerpiece"),
        "cloud": message("cloud"),
        "column": message("column"),
        "drop": message("balloon drop"),
        "flower": message("flower"),
        "foils": message("foil numbers and letters"),
        "garland": message("garland"),
        "letters": message("numbers and letters"),
        "backdrop": message("backdrop"),
        "ceiling": message("ceiling"),
        "hoop": message("hoop"),
        "half-arch": message("half arch"),
        "topiary": message("tree or topiary"),
        "wall": message("wall"),
    }
    return known.get(kind, kind.replace("_", " ").replace("-", " "))


def role_word(role: str) -> str:
    """What a balloon is there for; nothing for those of the body."""
    known = {
        "filler": message("filler"),
        "topper": message("topper"),
        "tie": message("tie"),
        "floater": message("floats"),
        "accent": message("accent"),
        "body": "",
    }
    return known.get(role, role)


def item_word(name: str) -> str:
    """A thing of the catalogue in the reader's words; a studio's own stays as it is named."""
    known = {
        "column pole, sectional": message("column pole, sectional"),
        "tall column pole, sectional": message("tall column pole, sectional"),
        "column base plate": message("column base plate"),
        "wide base plate": message("wide base plate"),
        "arch frame rod": message("arch frame rod"),
        "arch foot plate": message("arch foot plate"),
        "wall frame panel": message("wall frame panel"),
        "hoop ring": message("hoop ring"),
        "panel stay": message("panel stay"),
        "hoop foot plate": message("hoop foot plate"),
        "sign board": message("sign board"),
        "backdrop panel, small": message("backdrop panel, small"),
        "backdrop panel, medium": message("backdrop panel, medium"),
        "backdrop panel, large": message("backdrop panel, large"),
        "backdrop foot plate": message("backdrop foot plate"),
        "foliage strip": message("foliage strip"),
        "garland line": message("garland line"),
        "garland hook": message("garland hook"),
        "curling ribbon": message("curling ribbon"),
        "bouquet weight 170 g": message("bouquet weight"),
        "rubber band": message("rubber band"),
        "fringe strip": message("fringe strip"),
        "fabric sleeve strip": message("fabric sleeve strip"),
        "drop net": message("drop net"),
        "sizing template": message("sizing template"),
        "electric inflator": message("electric inflator"),
        "tool case": message("tool case"),
        "step ladder": message("step ladder"),
        "letter frame rim": message("letter frame rim"),
        "letter frame bar": message("letter frame bar"),
        "table stick": message("table stick"),
        "sand for table bases, kg": message("sand for table bases"),
        "glue dots": message("glue dots"),
        "water or sand for the bases": message("water or sand for the bases"),
        "sandbags": message("sandbags"),
        "extra weights for floating balloons": message("extra weights for floating balloons"),
    }
    size, _, kind = name.partition(" ")
    if name.startswith(CYLINDER):
        return message("helium cylinder {size}", size=name.removeprefix(CYLINDER))
    if kind.startswith("foil "):
        return size_word(name)
    kinds = {
        "round balloon": message("{size} round balloon", size=size),
        "link balloon": message("{size} link balloon", size=size),
        "modelling balloon": message("{size} modeling balloon", size=size),
    }
    return known.get(name, kinds.get(kind, name))


def use_word(use: str) -> str:
    """What an item of the catalogue is for; a studio's own word stays."""
    known = {
        "anchor": message("hooks"),
        "ballast": message("weights"),
        "band": message("bands"),
        "base": message("stands"),
        "board": message("panels"),
        "cylinder": message("helium"),
        "fabric": message("sleeves"),
        "filling": message("weights"),
        "foliage": message("foliage"),
        "frame": message("frames"),
        "fringe": message("sleeves"),
        "gas": message("helium"),
        "glue": message("glue"),
        "line": message("line"),
        "net": message("nets"),
        "panel": message("panels"),
        "pole": message("poles"),
        "ribbon": message("ribbon"),
        "sign": message("signs"),
        "tool": message("tools"),
        "weight": message("weights"),
    }
    return known.get(use, use)


def people(count: int) -> Text:
    """ "1 person", "2 people"."""
    return counted("{n} person", "{n} people", count)


def balloons(count: int) -> Text:
    """ "1 balloon", "1,200 balloons"."""
    return counted("{n} balloon", "{n} balloons", count)


def number(value: float) -> str:
    """A plain number with what decimals it needs, as the reader writes it."""
    return say(int(value)) if float(value).is_integer() else say(Shown(f"{value:,g}"))
