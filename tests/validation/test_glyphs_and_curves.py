"""Outlines of a free font, and flat film on a ball.

Glyphs: DejaVu Sans Bold, areas and outline lengths printed by shapely 2.2.0 over matplotlib
3.11.2's outlines (another reader of the same font). Sphere: closed forms of the azimuthal
equidistant layout; sideways stretch t / sin t, printed to seven digits in a table of checks.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from shapely import Point

from airwright.pictures.lettering import letters_of, read_font
from airwright.pictures.lettering.layout import FILM_GIVES, flattened, widest_angle
from tests.validation.conftest import Compare
from tests.validation.reading import rows


def _font() -> Path | None:
    """Where this machine keeps DejaVu Sans Bold (fontconfig knows), None without it."""
    if shutil.which("fc-match") is None:
        return None
    asked = ["fc-match", "--format=%{file}", "DejaVu Sans:bold"]
    found = Path(subprocess.run(asked, capture_output=True, text=True, check=False).stdout)
    return found if found.name == "DejaVuSans-Bold.ttf" else None


FONT = _font()
SOURCE = "DejaVu Sans Bold by matplotlib and shapely"


@pytest.mark.other_program
@pytest.mark.skipif(FONT is None, reason="Debian's fonts-dejavu-core is not installed")
def test_areas_and_outlines_of_glyphs(compare: Compare) -> None:
    assert FONT is not None
    font = read_font(FONT.read_bytes())
    for row in rows("glyph_area_dejavu_bold.csv"):
        shape = letters_of(row["char"], font, 729.06)[0].shape
        left, low, right, high = shape.bounds
        assert right - left == pytest.approx(float(row["width"]), rel=0.005)
        compare(shape.area / (high - low) ** 2, float(row["area_h2"]), rtol=0.005, source=SOURCE,
                what=f"area of {row['char']} over its height squared", unit="-")  # fmt: skip
        compare(shape.length / (high - low), float(row["perim_h"]), rtol=0.005, source=SOURCE,
                what=f"outline of {row['char']} over its height", unit="-")  # fmt: skip
        assert sum(len(part.interiors) for part in shape.geoms) == int(row["holes"])


@pytest.mark.closed_form
@pytest.mark.parametrize(("degrees", "across"), [(10, 1.0050951), (30, 1.0471976), (45, 1.1107207)])
def test_a_flat_film_on_a_ball(compare: Compare, degrees: float, across: float) -> None:
    """A small ring seen at the angle t: true lengths outward, t / sin t too long across."""
    t, step, radius = np.radians(degrees), 1e-5, 100.0
    seen = radius * np.sin(t)
    flat = flattened(np.array([[seen, 0.0], [seen, seen * step]]), radius)
    true = seen * step  # along the parallel nothing is foreshortened
    compare(float(flat[1, 1] / true), across, rtol=1e-6, source="azimuthal equidistant layout",
            what=f"sideways stretch at {degrees}°", unit="-")  # fmt: skip
    out = flattened(np.array([[seen, 0.0], [radius * np.sin(t + step), 0.0]]), radius)
    compare(float((out[1, 0] - out[0, 0]) / (radius * step)), 1.0, rtol=1e-5,
            source="azimuthal equidistant layout", what=f"stretch outward at {degrees}°",
            unit="-")  # fmt: skip


@pytest.mark.closed_form
def test_a_film_reaches_as_far_as_it_gives() -> None:
    angle = widest_angle(0.0471976)
    assert np.degrees(angle) == pytest.approx(30.0, abs=0.001)
    assert widest_angle(FILM_GIVES) > angle


@pytest.mark.closed_form
def test_a_disc_keeps_its_area_to_first_order() -> None:
    """A cap of angle t has the area 2πR²(1 - cos t); cut flat it is a disc of radius R t."""
    ring = np.asarray(Point(0, 0).buffer(20.0, quad_segs=64).exterior.coords)
    flat = flattened(ring, 100.0)
    t = np.arcsin(0.2)
    assert np.linalg.norm(flat, axis=1).max() == pytest.approx(100.0 * t, rel=1e-6)
