"""The size of floating balloons in a decorator's words: one cure that serves warmth and time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from airwright.job.findings import Finding, caution
from airwright.language import Text, message
from airwright.plan.helium_size import HeliumSize
from airwright.plan.wording import Words


def size_findings(
    sizes: Sequence[HeliumSize], places: Mapping[str, str], words: Words
) -> Iterator[Finding]:
    """One caution for each kind of floating balloon that should not stay as it is.

    Args:
        sizes: weighed.
        places: piece name → its place in the job file.
        words: the studio's units.
    """
    for one in sizes:
        if one.fine:
            continue
        place = places.get(one.pieces[0], "") if len(one.pieces) == 1 else ""
        what = _another(one, words) if one.serves_m is not None else _none(one, words)
        yield caution("helium-size", place, what, _cure(one, words), pieces=one.pieces)


def _another(one: HeliumSize, words: Words) -> Text:
    """Some size serves, but not the one asked for."""
    values = {
        "size": one.size,
        "made": words.size(one.made_m),
        "hours": f"{one.wanted_h:.1f}",
        "safe": f"{one.safe_h:.1f}",
        "better": f"{one.most_safe_h:.1f}",
    }
    if one.tight:
        return message(
            "{size} balloons with helium get over-tight made {made}. Made smaller they still "
            "last the {hours} h until take-down: {better} h are safe to count on.",
            **values,
        )
    return message(
        "{size} balloons with helium made {made} are safe to count on for {safe} h, take-down is "
        "{hours} h after access. Made larger they last {better} h.",
        **values,
    )


def _none(one: HeliumSize, words: Words) -> Text:
    """No size of this balloon serves."""
    values = {"size": one.size, "most": words.size(one.most_m), "hours": f"{one.wanted_h:.1f}",
              "safe": f"{one.most_safe_h:.1f}"}  # fmt: skip
    if one.most_safe_h <= 0.0:
        return message(
            "No size of {size} balloons with helium serves: above {most} they get over-tight, "
            "and at {most} they do not float.",
            **values,
        )
    return message(
        "No size of {size} balloons with helium serves: above {most} they get over-tight, and at "
        "{most} they are safe to count on for {safe} h of the {hours} h from access to take-down.",
        **values,
    )


def _cure(one: HeliumSize, words: Words) -> Text:
    if one.serves_m is not None:
        return message(
            "Inflate them to {serves}: that hole of the template.", serves=words.size(one.serves_m)
        )
    ways = []
    if one.coated_serves:
        ways.append(f"coat them inside and make them {words.size(one.most_m)}")
    if one.larger is not None:
        size, made_m = one.larger
        ways.append(f"take {size} balloons made {words.size(made_m)}")
    if one.fill_before_h is not None:
        ways.append(
            f"make them {words.size(one.most_m)} and fill them {one.fill_before_h:g} h before "
            "take-down at the earliest"
        )
    if not ways:
        return message("Take foil, hang air-filled balloons, or find a cooler place.")
    text = "; or ".join(ways)
    return message(
        "{ways}. Times scatter: bring filled spares, and note your own.",
        ways=text[0].upper() + text[1:],
    )
