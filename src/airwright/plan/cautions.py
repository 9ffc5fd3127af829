"""Cautions that protect people, and hints about time and choice.

Figures come from the standards named; where a rule is remembered and not seen in text, the
validation page says so. Local rules and licensed people always decide.
"""

from __future__ import annotations

from collections.abc import Sequence

from airwright.catalog import Catalog
from airwright.decor.engine import holds_foil_or_helium
from airwright.decor.pieces import KINDS
from airwright.job.findings import Finding, caution, hint
from airwright.job.models import Job
from airwright.language import counted, message
from airwright.plan.piece_values import Need, PiecePlan
from airwright.plan.surroundings import hours_between
from airwright.plan.values import OptionPlan
from airwright.plan.wording import Words, listed

REACH_M = 2.0
"""Above this height people build from a ladder."""

OVERHEAD_M = 1.0
"""What hangs with its lowest point above this may come down on somebody."""


def protecting(pieces: Sequence[PiecePlan]) -> list[Finding]:
    """Cautions every job needs, and those that any of the pieces on offer brings."""
    found = [_choking(), _latex()]
    foil = [p for p in pieces if holds_foil_or_helium(p.assembly)[0]]
    helium = [p for p in pieces if holds_foil_or_helium(p.assembly)[1]]
    if helium:
        found += [_helium(helium), _no_release(helium)]
    if foil:
        found.append(_foil(foil))
    overhead = [p for p in pieces if _hangs(p)]
    if overhead:
        found.append(_rigging(overhead))
    return found


def in_the_open(job: Job, pieces: Sequence[PiecePlan]) -> list[Finding]:
    """Cautions of what stands under the open sky: live wires, and what blows away."""
    outside = [p for p in pieces if job.setting_of(p.spec) == "open air"]
    loose = [p for p in outside if KINDS[p.spec.kind].lets_fall]
    found = [_power(outside)] if outside else []
    return [*found, _blown_away(loose)] if loose else found


def _hangs(piece: PiecePlan) -> bool:
    above = float(piece.assembly.bounds[0][2]) > OVERHEAD_M
    return above and KINDS[piece.spec.kind].overhead(piece.spec)


def _choking() -> Finding:
    return caution(
        "choking",
        "",
        message("Children under eight can choke on balloons that are empty or have burst."),
        message(
            "Keep empty balloons away from them, watch them near the decor, and pick up "
            "burst pieces at once."
        ),
        message("16 CFR 1500.19"),
    )


def _latex() -> Finding:
    return caution(
        "latex",
        "",
        message("Balloons are natural rubber latex, which some people are allergic to."),
        message("Ask the client whether guests or staff have a latex allergy; offer foil instead."),
    )


def _helium(pieces: Sequence[PiecePlan]) -> Finding:
    return caution(
        "helium",
        "",
        message(
            "Helium displaces air: breathing it can kill within seconds. Cylinders hold "
            "high pressure."
        ),
        message(
            "Never breathe it. Keep cylinders upright and chained, valve closed and "
            "capped in the van, and air the room and the van well."
        ),
        message("29 CFR 1910.101, CGA P-1"),
        (piece.name for piece in pieces),
    )


def _no_release(pieces: Sequence[PiecePlan]) -> Finding:
    return caution(
        "no-release",
        "",
        message("Balloons that fly off harm animals and power lines, and many places forbid it."),
        message(
            "Tie every floating balloon to a weight or keep it under a closed ceiling, release "
            "none, and check the local law."
        ),
        pieces=(piece.name for piece in pieces),
    )


def _foil(pieces: Sequence[PiecePlan]) -> Finding:
    return caution(
        "foil",
        "",
        message("Foil conducts: near power lines it can cause a short circuit."),
        message("Keep foil balloons indoors or weighted down, never tied with metallic ribbon."),
        message("California Penal Code 653.1 and laws like it elsewhere"),
        (piece.name for piece in pieces),
    )


def _power(pieces: Sequence[PiecePlan]) -> Finding:
    return caution(
        "power",
        "",
        message(
            "In the open, ladders, poles and wet inflators can bring people to live wires: "
            "that kills."
        ),
        message(
            "Look up first: keep everything 10 ft (3 m) from overhead lines, or as far as the "
            "utility says. Plug inflators into a socket with ground-fault protection and keep "
            "them dry. Local rules and licensed electricians decide."
        ),
        message("29 CFR 1910.333(c)(3), 1926.404(b)(1), 1926.1053(b)(12)"),
        (piece.name for piece in pieces),
    )


def _blown_away(pieces: Sequence[PiecePlan]) -> Finding:
    return caution(
        "blown-away",
        "",
        message("{pieces}: balloons let fall in the open blow away.", pieces=_names(pieces)),
        message(
            "Let them fall indoors or within walls, gather every one with its burst pieces, and "
            "check the local law on releases and litter."
        ),
        pieces=(piece.name for piece in pieces),
    )


def about_height(pieces: Sequence[PiecePlan], words: Words) -> list[Finding]:
    """What is built from a ladder; bouquets are tied on the ground and rise by themselves."""
    tall = [p for p in pieces if p.assembly.height_m > REACH_M and not p.rises_by_itself]
    if not tall:
        return []
    top = words.size(max(piece.assembly.height_m for piece in tall))
    what = counted(
        "{tall} is built from a ladder, up to {top}.",
        "{tall} are built from a ladder, up to {top}.",
        len(tall),
        tall=_names(tall),
        top=top,
    )
    mend = message(
        "Use a step ladder on firm floor, locked open, with one person on it and a "
        "second one holding. A leaning ladder stands out one quarter of its working "
        "length."
    )
    names = (piece.name for piece in tall)
    return [caution("ladder", "", what, mend, message("29 CFR 1926.1053(b)(5)(i)"), names)]


def _names(pieces: Sequence[PiecePlan]) -> str:
    return listed([f'"{piece.name}"' for piece in pieces])


def _rigging(overhead: Sequence[PiecePlan]) -> Finding:
    return caution(
        "overhead",
        "",
        message("{overhead} may hang above people.", overhead=_names(overhead)),
        message(
            "A qualified rigger decides on the fixing points and what they hold; ask the "
            "venue first."
        ),
        pieces=(piece.name for piece in overhead),
    )


def about_time(job: Job, options: Sequence[OptionPlan], hands: int) -> list[Finding]:
    """Whether set-up fits between access and guests."""
    window = hours_between(job.venue.access, job.job.guests)
    found = []
    for at, option in enumerate(options):
        if option.site_hours > window:
            place = f"options[{at}]" if job.options else "pieces"
            what = message(
                '"{name}" takes {site_hours} h on site with {hands} {value}, but '
                "there are only {window} h between access and guests.",
                name=option.name,
                site_hours=f"{option.site_hours:.1f}",
                hands=hands,
                value="person" if hands == 1 else "people",
                window=f"{window:.1f}",
            )
            mend = message(
                "Bring more hands, ask for earlier access, or build more of it in the workshop."
            )
            found.append(caution("site-time", place, what, mend))
    return found


def about_room(job: Job, pieces: Sequence[PiecePlan], words: Words) -> list[Finding]:
    """Pieces that do not fit under the ceiling."""
    if job.venue.ceiling is None:
        return []
    found = []
    for piece in pieces:
        if piece.assembly.height_m > job.venue.ceiling:
            high, room = words.size(piece.assembly.height_m), words.size(job.venue.ceiling)
            what = message(
                '"{name}" is {high} tall; the ceiling is at {room}.',
                name=piece.name,
                high=high,
                room=room,
            )
            mend = message("Build it lower, or take a smaller topper.")
            found.append(caution("ceiling", piece.place, what, mend))
    return found


def about_choice(job: Job) -> list[Finding]:
    """A reminder while several options are open."""
    if job.job.chosen is not None or len(job.options) < 2:
        return []
    what = message("No option is chosen yet, so needs, sheets and lists cover all pieces.")
    mend = message(
        'Once the client decides, enter the option taken, like "{name}".',
        name=job.options[0].name,
    )
    return [hint("no-option-chosen", "job.chosen", what, mend)]


def about_owned(needs: Sequence[Need], catalog: Catalog) -> list[Finding]:
    """A caution for hardware of which the studio counted fewer than the job takes."""
    found = []
    for need in needs:
        row = catalog.hardware.get(need.item)
        if row is None or row.owned is None or need.total <= row.owned:
            continue
        unit = " m" if row.unit == "m" else ""
        short = round(need.total - row.owned, 2)
        what = message(
            "{item}: the job takes {total}{unit}, you own {owned}{unit}.",
            item=need.item,
            total=f"{need.total:g}",
            unit=unit,
            owned=f"{row.owned:g}",
        )
        mend = message(
            "Buy, borrow or rent {short}{unit} more, or correct the number in your stock.",
            short=f"{short:g}",
            unit=unit,
        )
        found.append(caution("short-of-hardware", "", what[0].upper() + what[1:], mend))
    return found
