"""Packed arches: size, counts, symmetry, and what cannot be built."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.armatures import ARCH_FORMS
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    counts,
    findings_of,
    made,
    shades,
    sizes,
    spec_of,
)

FOOT = 0.3048


def rod_length(piece: object) -> float:
    return sum(h.quantity for h in piece.hardware if h.use == "frame")  # type: ignore[attr-defined]


@pytest.mark.parametrize("curve", ARCH_FORMS)
def test_every_curve_is_built_to_the_size_asked_for(curve: str) -> None:
    arch = made("arch", curve=curve)
    assert_sound(arch)
    assert arch.width_m == pytest.approx(11 * FOOT, abs=0.08)
    assert arch.height_m == pytest.approx(8 * FOOT, abs=0.03)


def test_a_four_shade_swirl_uses_each_shade_equally() -> None:
    used = shades(made("arch"))
    assert len(set(used.values())) == 1
    assert len(used) == 4


@pytest.mark.common_practice
def test_about_two_quads_a_foot() -> None:
    """Common practice, no source: about two quads of 11 in a foot of arch; 1.5 at 9.5 in and
    a usual push, more with smaller balloons pushed harder."""
    arch = made("arch")
    assert 1.3 <= arch.layers / (rod_length(arch) / FOOT) <= 2.3
    small = made("arch", body=["4 x 11in @ 8in"])
    assert 1.5 <= small.layers / (rod_length(small) / FOOT) <= 2.3


def test_turning_the_swirl_the_other_way_changes_no_count() -> None:
    right, left = made("arch", turn=1), made("arch", turn=-1)
    assert counts(right) == counts(left)
    assert right.layers == left.layers
    assert np.allclose(right.centre, left.centre, atol=1e-3)


def test_reordering_the_shades_changes_no_size_and_no_place() -> None:
    one, other = made("arch"), made("arch", shades=["white", "coral", "teal", "sand"])
    assert sizes(one) == sizes(other)
    assert np.allclose(one.centre, other.centre)


def test_the_settled_arch_is_its_own_mirror_image() -> None:
    arch = made("arch", legs="alike")
    assert arch.layers % 2 == 1
    mirror = arch.centre * [-1, 1, 1]
    apart = np.linalg.norm(arch.centre[:, None] - mirror[None], axis=2)
    partner = apart.argmin(axis=1)
    assert apart.min(axis=1).max() < 1e-3
    assert np.array_equal(arch.shade, arch.shade[partner])


def test_unlike_clusters_are_spaced_evenly_and_settle() -> None:
    arch = made(
        "arch",
        body=["4 x 5in @ 4.5in", "2 x 11in @ 9.5in + 2 x 5in @ 4.5in"],
        shades={"5in": ["white"], "11in": ["coral", "teal"]},
    )
    assert_sound(arch)
    assert sizes(arch)["5in"] > sizes(arch)["11in"]


@pytest.mark.parametrize("count", [2, 3, 5, 6])
def test_clusters_of_any_number_nest_round_the_bend(count: int) -> None:
    arch = made("arch", body=[f"{count} x 11in @ 9in"], shades=["coral"])
    assert_sound(arch)
    assert len(arch) == count * arch.layers


def test_a_longer_arch_takes_proportionally_more() -> None:
    short, long = made("arch"), made("arch", width="22 ft", height="16 ft")
    per_metre = [arch.layers / rod_length(arch) for arch in (short, long)]
    assert per_metre[1] == pytest.approx(per_metre[0], rel=0.04)


def test_opening_line_and_outside_are_nested() -> None:
    wide = [made("arch", measured=how).width_m for how in ("outside", "line", "opening")]
    thick = (wide[1] - wide[0]) / 2
    assert thick == pytest.approx(0.285, abs=0.03)
    assert (wide[2] - wide[1]) / 2 == pytest.approx(thick, abs=0.04)


def test_two_feet_and_a_rod_as_long_as_the_line() -> None:
    arch = made("arch")
    feet = [h for h in arch.hardware if h.use == "base"]
    (rod,) = [h for h in arch.hardware if h.use == "frame"]
    assert [foot.path[0][0] for foot in feet] == pytest.approx([rod.path[0][0], rod.path[-1][0]])
    points = np.array(rod.path)
    assert rod.quantity == pytest.approx(
        np.linalg.norm(np.diff(points, axis=0), axis=1).sum(), rel=1e-3
    )


def test_fillers_hang_along_the_whole_arch() -> None:
    filler = {"cluster": "4 x 5in @ 4.5in", "count": 6, "shades": ["gold"]}
    arch = made("arch", fillers=filler)
    assert counts(arch)["5in", "gold"] == 24
    spots = arch.centre[[arch.stocks[s].size == "5in" for s in arch.stock]]
    assert spots[:, 0].min() < -0.5
    assert spots[:, 0].max() > 0.5


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"width": "3 ft"}, "too-narrow"),
        ({"height": "2 ft"}, "too-low"),
        ({"width": "100 ft", "height": "4 ft", "curve": "parabola"}, "no-such-curve"),
        ({"curve": "parabola", "width": "5 ft", "height": "13 ft"}, "bends-too-tightly"),
        ({"body": ["4 x 10in"]}, "unknown-size"),
        ({"body": ["4 x 11in @ 13in"]}, "over-inflated"),
        ({"body": ["1 x 11in"]}, "cannot-be-tied"),
        ({"body": ["8 x 11in"]}, "cannot-be-tied"),
        ({"body": ["4 x 18in foil round"]}, "cannot-be-tied"),
        ({"shades": ["corall"]}, "unknown-shade"),
        ({"shades": []}, "missing"),
        (
            {"width": "100 ft", "height": "50 ft", "body": ["6 x 5in @ 2.6in"], "count": 1},
            None,
        ),
    ],
)
def test_what_cannot_be_built_is_found_before_building(
    changes: dict[str, object], code: str | None
) -> None:
    assert codes_of("arch", **changes) == ({code} if code else set())


def test_a_way_too_low_to_walk_through_is_hinted_at() -> None:
    assert "narrow-opening" in {f.code for f in findings_of("arch")}
    assert "narrow-opening" not in {f.code for f in findings_of("arch", height="9 ft")}


def test_the_estimate_is_near_the_count() -> None:
    from airwright.decor.pieces import arch

    for changes in ({}, {"width": "20 ft"}, {"body": ["2 x 11in @ 9.5in"], "shades": ["coral"]}):
        piece = made("arch", **changes)
        assert arch.estimate(spec_of("arch", **changes), CTX) == pytest.approx(len(piece), rel=0.35)
