"""The size of floating balloons in a decorator's words: one cure that serves warmth and time."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from airwright.job.findings import Finding, caution
from airwright.language import Text, message, sentences
from airwright.plan.float_words import float_words
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
        "hours": f"{one.wanted_h:g}",
        "now": float_words(one.good_h, one.safe_h, one.down_h),
        "better": float_words(one.most_good_h, one.most_safe_h, one.most_down_h),
    }
    if one.tight:
        return message(
            "{size} balloons with helium get over-tight made {made}. Made smaller they are "
            "{better}, and have {hours} h to last.",
            **values,
        )
    return message(
        "{size} balloons with helium made {made} are {now}, and have {hours} h to last. Made "
        "larger they are {better}.",
        **values,
    )


def _none(one: HeliumSize, words: Words) -> Text:
    """No size of this balloon serves."""
    values = {
        "size": one.size,
        "most": words.size(one.most_m),
        "hours": f"{one.wanted_h:g}",
        "better": float_words(one.most_good_h, one.most_safe_h, one.most_down_h),
    }
    if one.most_safe_h <= 0.0:
        return message(
            "No size of {size} balloons with helium serves: above {most} they get over-tight, "
            "and at {most} they do not float.",
            **values,
        )
    return message(
        "No size of {size} balloons with helium serves: above {most} they get over-tight, and at "
        "{most} they are {better}, with {hours} h to last.",
        **values,
    )


def _cure(one: HeliumSize, words: Words) -> Text:
    if one.serves_m is not None:
        return message(
            "Inflate them to {serves}: that hole of the template.", serves=words.size(one.serves_m)
        )
    most = words.size(one.most_m)
    ways: list[Text] = []
    if one.coated_serves:
        ways.append(message("Coat them inside and make them {most}.", most=most))
    if one.larger is not None:
        size, made_m = one.larger
        ways.append(
            message("Take {size} balloons made {made}.", size=size, made=words.size(made_m))
        )
    if one.fill_from is not None:
        ways.append(
            message(
                "Make them {most}, fill them at {time} or later, and write that time into the job.",
                most=most,
                time=one.fill_from,
            )
        )
    if not ways:
        return sentences(
            message("Take foil, hang air-filled balloons, or find a cooler place."),
            message(
                "Foil is filled so that its seam keeps its wrinkles, and stays off power lines."
            ),
        )
    return sentences(
        message("One of these serves:") if len(ways) > 1 else "",
        *ways,
        message("Times scatter: bring filled spares, and note your own."),
    )
