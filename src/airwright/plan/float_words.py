"""How long a floating balloon lasts, in the three words of the trade: good, safe, down."""

from __future__ import annotations

import math

from airwright.language import Text, counted, message

DAYS_FROM_H = 48.0
"""From here on time is told in whole days [h]."""


def float_words(good_h: float, safe_h: float, down_h: float) -> Text:
    """ "good for about 8 h, safe to 12 h, down at about 18 h", counted from filling.

    Args:
        good_h, safe_h: how long it looks good and is safe to count on, told rounded down [h].
        down_h: when it is down as a rule [h].
    """
    good, safe = _span(good_h, down=True), _span(safe_h, down=True)
    if good == safe:
        return message(
            "good and safe for about {good}, down at about {down}",
            good=good,
            down=_span(down_h, down=False),
        )
    return message(
        "good for about {good}, safe to {safe}, down at about {down}",
        good=good,
        safe=safe,
        down=_span(down_h, down=False),
    )


def _span(hours: float, *, down: bool) -> Text:
    """Half hours below six hours, whole ones below two days, then days."""
    step = 0.5 if hours < 6 else 1.0 if hours < DAYS_FROM_H else 24.0
    steps = hours / step
    told = step * (math.floor(steps + 1e-9) if down else round(steps))
    if hours >= DAYS_FROM_H:
        return counted("{n} day", "{n} days", round(told / 24))
    return message("{hours} h", hours=f"{told:g}")
