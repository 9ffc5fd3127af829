"""Odd, empty and wrong input."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.packing import (
    Packed,
    PackingError,
    SoftPacking,
    StraightRail,
    Tolerance,
    cluster_start,
    relax,
    ring_start,
    settle,
)


def packing(n: int = 2, **more: object) -> SoftPacking:
    values: dict[str, object] = {
        "centre0": np.arange(3.0 * n).reshape(n, 3),
        "radius": np.full(n, 0.1),
        "tie": np.zeros(n, dtype=int),
        "tie_s0": np.zeros(1),
    }
    return SoftPacking(**{**values, **more})  # type: ignore[arg-type]


def test_nothing_at_all() -> None:
    none = SoftPacking(np.empty((0, 3)), np.empty(0), np.empty(0, dtype=int), np.empty(0))
    packed = relax(none)
    assert packed.converged
    assert packed.centre.shape == (0, 3)
    assert packed.contacts.pair.shape == (0, 2)
    assert settle([]).length_m == 0.0


def test_ties_without_balloons() -> None:
    bare = SoftPacking(np.empty((0, 3)), np.empty(0), np.empty(0, dtype=int), np.array([0.0, 1.0]))
    assert relax(bare).tie_s.tolist() == [0.0, 1.0]


def test_an_empty_tie_between_full_ones_stays_between() -> None:
    start = ring_start([[0.1] * 4] * 2)
    packed = relax(
        SoftPacking(start.centre0, start.radius, start.tie * 2, np.array([0.1, 0.2, 0.3]))
    )
    assert packed.converged
    assert packed.tie_s[0] < packed.tie_s[1] < packed.tie_s[2]


def test_one_balloon_hangs_at_its_neck() -> None:
    packed = relax(packing(1, centre0=[[0.0, 0.0, 0.7]]))
    assert packed.converged
    assert packed.centre[0] == pytest.approx([0.0, 0.0, 0.13])
    assert packed.axis[0] == pytest.approx([0.0, 0.0, 1.0])


def test_one_balloon_with_lift_points_up() -> None:
    packed = relax(packing(1, centre0=[[0.05, 0.02, -0.1]], pull_n=[[0.0, 0.0, 0.5]], grip=0.0))
    assert packed.converged
    assert packed.axis[0] == pytest.approx([0.0, 0.0, 1.0], abs=1e-5)
    assert packed.neck_force_n[0] == pytest.approx(0.5)


@pytest.mark.parametrize("n", [2, 3, 4, 6, 12])
def test_all_in_one_place_at_the_tie(n: int) -> None:
    """No direction to push in, and still they part."""
    packed = relax(packing(n, centre0=np.zeros((n, 3)), tie=np.zeros(n, dtype=int)))
    assert packed.converged
    assert np.isfinite(packed.centre).all()
    apart = np.linalg.norm(packed.centre[:, None] - packed.centre[None], axis=2)
    assert apart[np.triu_indices(n, 1)].min() > 0.1


def test_the_floor_holds() -> None:
    packed = relax(
        packing(
            1,
            centre0=[[0.01, 0.0, 0.2]],
            tie_s0=[0.2],
            pull_n=[[0.0, 0.0, -2.0]],
            grip=0.0,
            floor=True,
        )
    )
    assert packed.converged
    assert packed.centre[0, 2] == pytest.approx(0.1, abs=0.002)
    assert packed.floor_overlap_m[0] > 0.0


def test_a_jumbo_among_small_ones() -> None:
    radius = np.array([0.45] + [0.06] * 11)
    centre = cluster_start(radius, np.zeros(3))
    packed = relax(packing(12, centre0=centre, radius=radius))
    assert packed.converged
    assert isinstance(packed, Packed)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"radius": [0.1, -0.1]}, "radius must be above zero"),
        ({"radius": [0.1, np.nan]}, "radius holds a value that is not a finite number"),
        ({"radius": ["a", "b"]}, "radius must be numbers"),
        ({"centre0": np.zeros((3, 3))}, r"centre0 has shape \(3, 3\), expected \(2, 3\)"),
        ({"tie": [0, 1]}, "tie names a tie outside 0..0"),
        ({"tie": [0.0, 0.5]}, "tie must be 2 whole numbers"),
        ({"tie_free": [True, False]}, "tie_free has shape"),
        ({"neck_m": [0.1, 0.0]}, "neck_m must be above zero"),
        ({"pressure_pa": 0.0}, "pressure_pa must be above zero"),
        ({"grip": -1.0}, "grip must be zero or more"),
        ({"push_n": -1.0}, "push_n must be a finite number"),
        ({"push_n": 5.0, "tie_free": [True]}, "at least one held tie"),
        ({"pole_radius_m": np.inf}, "pole_radius_m must be a finite number"),
        ({"pull_n": np.zeros(3)}, "pull_n has shape"),
    ],
)
def test_wrong_input_is_named(change: dict[str, object], message: str) -> None:
    with pytest.raises(PackingError, match=message):
        packing(**change)


def test_wrong_tolerance_and_rail_are_named() -> None:
    with pytest.raises(PackingError, match="relative"):
        Tolerance(0.0)
    with pytest.raises(PackingError, match="max_iterations"):
        Tolerance(max_iterations=-1)
    with pytest.raises(ValueError, match="direction"):
        StraightRail(direction=(0.0, 0.0, 0.0))


def test_wrong_starts_are_named() -> None:
    with pytest.raises(PackingError, match="at least one balloon"):
        ring_start([[0.1], []])
    with pytest.raises(PackingError, match="necks must have one length"):
        ring_start([[0.1, 0.1]], necks=[[0.1]])
    with pytest.raises(PackingError, match="rotation must have one entry"):
        ring_start([[0.1, 0.1]], rotation=[0.0, 1.0])


def test_the_caller_s_arrays_are_left_alone() -> None:
    centre = np.array([[0.1, 0.0, 0.0], [0.11, 0.0, 0.0]])
    relax(packing(centre0=centre))
    assert centre.tolist() == [[0.1, 0.0, 0.0], [0.11, 0.0, 0.0]]
    with pytest.raises(ValueError, match="read-only"):
        packing(centre0=centre).centre0[0, 0] = 1.0
