"""sRGB against IEC 61966-2-1: transfer curve, and Lab of reference colours.

Lab values printed by colour-science 0.4.7 (D65, 2 degree observer); see the data file's head.
"""

from __future__ import annotations

import numpy as np
import pytest
from coloraide import Color

from airwright.pictures.photo.colour import LUMINANCE, shade_linear, to_encoded, to_linear
from tests.validation.conftest import Compare
from tests.validation.reading import rows

COLOURS = rows("srgb_reference_colours.csv")


@pytest.mark.closed_form
def test_transfer_curve(compare: Compare) -> None:
    source = "the curve of IEC 61966-2-1, worked out apart"
    compare(float(to_linear(np.array(0.5))), 0.2140411, atol=1e-7, source=source, what="EOTF(0.5)")
    compare(
        float(to_encoded(np.array(0.18))), 0.4613561, atol=1e-7, source=source, what="OETF(0.18)"
    )
    compare(
        float(to_linear(np.array(0.04045))), 0.0031308, atol=1e-7, source=source, what="the knee"
    )
    assert np.allclose(to_linear(to_encoded(np.linspace(0, 1, 101))), np.linspace(0, 1, 101))


@pytest.mark.other_program
@pytest.mark.parametrize("row", COLOURS, ids=lambda r: r["name"])
def test_reference_colours(row: dict[str, str], compare: Compare) -> None:
    code = "#" + "".join(f"{int(row[c]):02x}" for c in "RGB")
    ours = Color("srgb-linear", list(shade_linear(code))).convert("lab-d65")
    expected = [float(row[c]) for c in "Lab"]
    compare(
        np.array(ours.coords()),
        np.array(expected),
        atol=0.05,
        source="colour-science 0.4.7",
        what=f"Lab of {row['name']} {code}",
    )
    compare(
        float(shade_linear(code) @ LUMINANCE),
        float(row["Y"]),
        atol=5e-4,
        source="colour-science 0.4.7",
        what=f"luminance of {row['name']}",
    )
