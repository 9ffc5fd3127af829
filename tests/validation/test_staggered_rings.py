"""The rigid limit of the packing against packings of hard spheres in a cylinder.

Very firm balloons under a feeble push behave as hard spheres. Rings of k touching spheres,
each turned to sit in the gaps of the one below, rise by sqrt(1 - 1/(4 cos^2(pi/2k)))
diameters; spheres going to and fro in a tube of width D by sqrt(1 - (D-1)^2); the Boerdijk-
Coxeter helix by 1/sqrt(10). All are closed forms; the table in
`data/cylinder_packing.csv` names the literature its widths agree with.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from airwright.decor.packing import Settled, pitch, settle
from tests.validation.conftest import Compare
from tests.validation.reading import rows

DIAMETER = 0.24  # m
FIRM_PA = 2.7e7  # ten thousand times a balloon
FEEBLE_N = 1.0
RTOL = 1e-3  # asked of the packing; it does better by far


def firm_pitch(count: int, neck: float) -> float:
    """Rise per layer over the diameter, hard spheres `neck` diameters from the axis."""
    rise = pitch(
        DIAMETER / 2,
        count,
        FEEBLE_N,
        neck_m=neck * DIAMETER,
        pressure_pa=FIRM_PA,
    )
    return rise / DIAMETER


def firm_stack(layers: list[list[float]], neck: float, turns: list[float]) -> Settled:
    return settle(
        layers,
        FEEBLE_N,
        necks=[[neck * DIAMETER] * len(layer) for layer in layers],
        rotation=turns,
        pressure_pa=FIRM_PA,
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("count", [2, 3, 4, 5, 6])
def test_staggered_rings(count: int, compare: Compare) -> None:
    ring = 0.5 / math.sin(math.pi / count)
    exact = math.sqrt(1.0 - 1.0 / (4.0 * math.cos(math.pi / (2 * count)) ** 2))
    compare(
        firm_pitch(count, ring),
        exact,
        rtol=RTOL,
        source="hard spheres: sqrt(1 - 1/(4 cos^2(pi/2k)))",
        what=f"rise per layer of staggered rings of {count}",
        unit="diameters",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("tube", [1.25, 1.5, 1.75])
def test_zigzag(tube: float, compare: Compare) -> None:
    compare(
        firm_pitch(1, (tube - 1.0) / 2.0),
        math.sqrt(1.0 - (tube - 1.0) ** 2),
        rtol=RTOL,
        source="hard spheres: sqrt(1 - (D-1)^2)",
        what=f"rise per sphere of a zig-zag {tube} diameters wide",
        unit="diameters",
    )


@pytest.mark.closed_form
def test_duplets_wide_apart(compare: Compare) -> None:
    """Pairs 2.2247 diameters wide: each touches the next pairs and those after them."""
    compare(
        firm_pitch(2, math.sqrt(6.0) / 4.0),
        0.5,
        rtol=RTOL,
        source="hard spheres: D = 1 + sqrt(6)/2",
        what="rise per duplet of the [4,2,2] packing",
        unit="diameters",
    )


@pytest.mark.closed_form
def test_boerdijk_coxeter_helix(compare: Compare) -> None:
    count, turn = 24, math.acos(-2.0 / 3.0)
    stack = firm_stack(
        [[DIAMETER / 2]] * count, 3.0 * math.sqrt(3.0) / 10.0, [i * turn for i in range(count)]
    )
    assert stack.packed.converged
    rises = stack.rise_m[6:-6] / DIAMETER
    compare(
        float(rises.mean()),
        1.0 / math.sqrt(10.0),
        rtol=RTOL,
        source="tetrahelix: 1/sqrt(10)",
        what="rise per sphere of the helix of face-to-face tetrahedra",
        unit="diameters",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_aligned_rings_stand_one_on_the_other(count: int, compare: Compare) -> None:
    ring = 0.5 / math.sin(math.pi / count)
    stack = firm_stack([[DIAMETER / 2] * count] * 9, ring, [0.0] * 9)
    compare(
        float(np.median(stack.rise_m)) / DIAMETER,
        1.0,
        rtol=RTOL,
        source="one sphere straight above another",
        what=f"rise per layer of rings of {count} without a turn",
        unit="diameters",
    )


@pytest.mark.closed_form
@pytest.mark.parametrize(
    "row", [r for r in rows("cylinder_packing.csv") if "stagg" in r["structure"]]
)
def test_width_and_share_of_the_tube_filled(row: dict[str, str], compare: Compare) -> None:
    count = int(row["n_per_layer"])
    ring = 0.5 / math.sin(math.pi / count)
    stack = firm_stack(
        [[DIAMETER / 2] * count] * 9, ring, [(i % 2) * math.pi / count for i in range(9)]
    )
    width = stack.width_m / DIAMETER
    rise = float(np.median(stack.rise_m)) / DIAMETER
    source = f"cylinder_packing.csv, {row['structure'].split(' (')[0]}"
    compare(width, float(row["D_over_d"]), rtol=RTOL, source=source, what="width", unit="diameters")
    compare(
        2.0 * count / (3.0 * width**2 * rise),
        float(row["phi"]),
        rtol=3 * RTOL,  # two widths and a rise enter
        source=source,
        what="share of the tube filled",
    )
