"""Settings beyond their limits are refused with place and cure; none prices at zero or below."""

from __future__ import annotations

import pytest

from airwright.job.studio_reading import read_studio

HEAD = 'format = "airwright-studio/1"\n'
HARDWARE = (
    'hardware = [{ item = "post", use = "pole", price = "1.00", source = "x", mass_kg = MASS }]\n'
)
WRONG = {
    "pricing.margin": [f"[pricing]\nmargin = {word}" for word in ("40", "1", "1e30")],
    "pricing.labour_rate": ["[pricing]\nlabour_rate = -500", "[pricing]\nlabour_rate = 0",
                            "[pricing]\nlabour_rate = nan"],
    "pricing.price_step": ["[pricing]\nprice_step = 0", "[pricing]\nprice_step = -5"],
    "pricing.overhead": ["[pricing]\noverhead = 40"],
    "pricing.minimum": ["[pricing]\nminimum = -1", "[pricing]\nminimum = 1e30"],
    "crew.hands": ["[crew]\nhands = 0", "[crew]\nhands = " + "9" * 400],
    "hardware[0].mass_kg": [HARDWARE.replace("MASS", word) for word in ("inf", "nan", "-1", "1e9")],
    "measured[0].cluster": [
        '[[measured]]\ncluster = "4 x 12inn"\nclusters = 9\nheight = "6 ft"'
    ],
    "weighed[0].size": ['[[weighed]]\nsize = "12inn"\ncount = 10\nmass = "29 g"'],
}  # fmt: skip


@pytest.mark.parametrize(
    ("place", "text"), [(place, text) for place, texts in WRONG.items() for text in texts]
)
def test_a_setting_beyond_its_limit_is_refused(place: str, text: str) -> None:
    reading = read_studio(HEAD + text + "\n")
    assert reading.studio is None
    found = reading.findings[0]
    assert found.place == place
    assert found.line is not None
    assert found.mend


@pytest.mark.parametrize("margin", ["0", "0.95"])
@pytest.mark.parametrize("step", ["0.01", "5.00"])
def test_a_setting_at_its_limit_is_taken(margin: str, step: str) -> None:
    text = f'{HEAD}[pricing]\nmargin = "{margin}"\nprice_step = "{step}"\n'
    reading = read_studio(text)
    assert reading.studio is not None, reading.findings
