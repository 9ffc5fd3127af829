"""The cautions a client must know, addressed to the client.

The plan's own findings speak to the decorator ("ask the client …"); here each that touches the
client is said again to the one who reads the proposal. Standards are those of the finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from airwright.job.findings import Finding
from airwright.language import message
from airwright.papers.common.parts import Caution
from airwright.plan.values import PiecePlan

FOR_CLIENTS: Final[dict[str, tuple[str, str]]] = {
    "choking": (
        message("Children under eight can choke on balloons that are empty or have burst."),
        message(
            "Please keep an eye on small children near the decor, and throw burst pieces "
            "away at once."
        ),
    ),
    "latex": (
        message("Our balloons are natural rubber latex, which some people are allergic to."),
        message("Tell us if a guest or one of your staff is; we then offer foil or other decor."),
    ),
    "helium": (
        message("Some balloons are filled with helium. Breathing it can kill within seconds."),
        message("Please let nobody breathe from a balloon or cylinder, not even for fun."),
    ),
    "no-release": (
        message("Balloons that fly off harm animals and power lines, and many places forbid it."),
        message(
            "Please leave floating balloons tied to their weight or under the ceiling, and let "
            "none out of doors."
        ),
    ),
    "foil": (
        message("Foil balloons conduct electricity."),
        message("Please keep them away from power lines and never untie them outdoors."),
    ),
    "blown-away": (
        message("Balloons let fall in the open blow away."),
        message("We let them fall only in calm air and gather them; local rules come first."),
    ),
    "overhead": (
        message("Some decor hangs above people."),
        message(
            "A qualified rigger decides on the fixing points. Please put us in touch with "
            "the venue."
        ),
    ),
    "take-in": (
        message("Outdoors, wind can throw decor and sun bursts balloons."),
        message(
            "We hold it down and watch the forecast. For safety we may take it down early, "
            "and local "
            "rules come first."
        ),
    ),
}


def client_cautions(
    findings: Iterable[Finding], pieces: Sequence[PiecePlan]
) -> tuple[Caution, ...]:
    """The cautions of a plan that touch the client, in the order of the table above.

    Wind concerns what stands outdoors, and is told only where something does.
    """
    standards = {finding.code: finding.standard for finding in findings}
    if not any(piece.take_in_gust_m_s is not None for piece in pieces):
        standards.pop("take-in", None)
    return tuple(
        Caution(what, mend, standards[code])
        for code, (what, mend) in FOR_CLIENTS.items()
        if code in standards
    )
