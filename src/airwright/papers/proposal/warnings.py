"""The cautions a client must know, addressed to the client.

The plan's own findings speak to the decorator ("ask the client …"); here each that touches the
client is said again to the one who reads the proposal. Standards are those of the finding.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from airwright.job.findings import Finding
from airwright.papers.common.parts import Caution

FOR_CLIENTS: Final[dict[str, tuple[str, str]]] = {
    "choking": (
        "Children under eight can choke on balloons that are empty or have burst.",
        "Please keep an eye on small children near the decor, and throw burst pieces away at once.",
    ),
    "latex": (
        "Our balloons are natural rubber latex, which some people are allergic to.",
        "Tell us if a guest or one of your staff is; we then offer foil or other decor.",
    ),
    "helium": (
        "Some balloons are filled with helium. Breathing it can kill within seconds.",
        "Please let nobody breathe from a balloon or cylinder, not even for fun.",
    ),
    "no-release": (
        "Balloons that fly off harm animals and power lines, and many places forbid it.",
        "Please leave every floating balloon tied to its weight.",
    ),
    "foil": (
        "Foil balloons conduct electricity.",
        "Please keep them away from power lines and never untie them outdoors.",
    ),
    "overhead": (
        "Some decor hangs above people.",
        "A qualified rigger decides on the fixing points. Please put us in touch with the venue.",
    ),
    "take-in": (
        "Outdoors, wind can throw decor and sun bursts balloons.",
        "We hold it down and watch the forecast. For safety we may take it down early, and local "
        "rules come first.",
    ),
}


def client_cautions(findings: Iterable[Finding]) -> tuple[Caution, ...]:
    """The cautions of a plan that touch the client, in the order of the table above."""
    standards = {finding.code: finding.standard for finding in findings}
    return tuple(
        Caution(what, mend, standards[code])
        for code, (what, mend) in FOR_CLIENTS.items()
        if code in standards
    )
