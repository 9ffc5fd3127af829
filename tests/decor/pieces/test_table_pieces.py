"""Centerpieces, trees and flowers: rings that touch, heights kept, sight lines, what stands."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from airwright.decor.parts.table_base import PRESSED
from airwright.decor.pieces import KINDS
from airwright.decor.pieces.flower import PRESSED as PETALS_PRESSED
from airwright.units import System
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    findings_of,
    made,
    sizes,
    spec_of,
)

INCH = 0.0254
KINDS_HERE = ("centrepiece", "topiary", "flower")


def top(piece: object) -> float:
    return float((piece.centre[:, 2] + piece.radius).max())  # type: ignore[attr-defined]


@pytest.mark.parametrize("kind", KINDS_HERE)
def test_the_height_is_the_one_asked_for(kind: str) -> None:
    piece = made(kind)
    assert_sound(piece)
    assert top(piece) == pytest.approx(spec_of(kind).height, abs=0.012)
    assert KINDS[kind].estimate(spec_of(kind), CTX) == len(piece)


@pytest.mark.parametrize("count", [3, 4, 5, 6])
def test_the_foot_is_a_ring_of_touching_balls_round_a_ball_of_sand(count: int) -> None:
    """k touching balls: R / sin(pi / k) from the middle; the sand touches table and ring."""
    foot = {"cluster": f"{count} x 5in @ 4.5in", "sand": "yes", "shades": ["gold"]}
    piece = made("flower", base=foot)
    radius = 2.25 * INCH
    ring = np.hypot(piece.centre[:count, 0], piece.centre[:count, 1])
    assert ring == pytest.approx(PRESSED * radius / np.sin(np.pi / count))
    sand, across = piece.centre[count], piece.radius[count]
    assert sand[2] == pytest.approx(across)
    apart = np.linalg.norm(piece.centre[:count] - sand, axis=1)
    if count <= 4:  # in a wider ring it is as heavy as can be knotted on, and lies free
        assert apart / (radius + across) == pytest.approx(1.0, abs=0.03)
    else:
        assert across == pytest.approx(0.075 / 2)
    kilograms = dict(piece.supplies)["sand for table bases, kg"]
    assert kilograms == pytest.approx(1600 * np.pi / 6 * (2 * across) ** 3)


def test_six_petals_touch_each_other_and_a_middle_of_their_size() -> None:
    """Seven equal discs: the hexagonal packing."""
    piece = made("flower", petals="6 x 5in @ 4.5in", middle="5in @ 4.5in", on="line")
    petals, radius = piece.centre[:6], piece.radius[0]
    beside = np.linalg.norm(petals - np.roll(petals, 1, axis=0), axis=1)
    assert beside == pytest.approx(2 * PETALS_PRESSED * radius, rel=1e-6)
    to_middle = np.linalg.norm(petals - piece.centre[6], axis=1)
    assert to_middle == pytest.approx(2 * radius, rel=0.06)


def test_a_second_ring_lies_in_the_gaps_behind() -> None:
    piece = made("flower", rings=2, on="line")
    assert_sound(piece)
    front, back = piece.centre[:6], piece.centre[6:12]
    assert (back[:, 1] > front[:, 1].max() + 0.02).all()
    near = np.linalg.norm(back[:, None] - front[None], axis=2)
    touching = near <= 2 * piece.radius[0] * 1.02
    assert (touching.sum(axis=1) == 2).all()


def test_a_tree_narrows_upward_and_a_ball_bulges() -> None:
    tree = made("topiary")
    body = tree.layer >= 0
    out = np.hypot(tree.centre[:, 0], tree.centre[:, 1]) + tree.radius
    widths = [out[body & (tree.layer == k)].max() for k in range(4)]
    assert widths == sorted(widths, reverse=True)
    ball = made("topiary", topper=None, pattern="rings", shades=["teal"],
                body=["4 x 5in @ 3.5in", "4 x 5in @ 4.5in", "4 x 5in @ 3.5in"])  # fmt: skip
    assert_sound(ball)
    out = np.hypot(ball.centre[:, 0], ball.centre[:, 1]) + ball.radius
    widths = [out[ball.layer == k].max() for k in range(3)]
    assert widths[1] > max(widths[0], widths[2])


def test_a_tree_for_the_floor_has_pole_and_plate() -> None:
    piece = made("topiary", on="floor", height="6 ft", body=["4 x 11in @ 9.5in"] * 4)
    assert_sound(piece)
    assert {part.use for part in piece.hardware} == {"base", "pole"}
    assert sizes(piece) == {"11in": 16, "5in": 1}


@pytest.mark.common_practice
@pytest.mark.parametrize(("changes", "seen"), [
    ({"height": "51 in"}, False),  # its top begins above 24 in
    ({"height": "40 in"}, True),
    ({"height": "11 in", "top": "3 x 5in @ 4in", "crown": None}, False),  # below 12 in
])  # fmt: skip
def test_guests_see_each_other_under_or_over_it(changes: dict[str, object], seen: bool) -> None:
    found = findings_of("centrepiece", **changes)
    assert ("sight-line" in {f.code for f in found}) is seen
    for one in found:
        if one.code == "sight-line":
            assert one.severity == "hint"
            assert "24 in" in one.mend or "2 ft" in one.mend


def test_what_cannot_stand_is_told_with_place_and_cure() -> None:
    foot = {"cluster": "4 x 5in @ 4.5in", "sand": "no"}
    assert "tips-easily" in {f.code for f in findings_of("centrepiece", base=foot)}
    for kind, changes, code in (
        ("centrepiece", {"top": None, "crown": None}, "missing"),
        ("centrepiece", {"height": "8 in"}, "too-low"),
        ("centrepiece", {"crown": "260"}, "cannot-be-tied"),
        ("centrepiece", {"base": {"cluster": "2 x 5in @ 4.5in"}}, "no-table-base"),
        ("topiary", {"height": "16 in"}, "too-low"),
        ("topiary", {"height": "70 in"}, "no-pole"),
        ("flower", {"petals": "3 x 5in @ 4.5in"}, "no-flower"),
        ("flower", {"middle": "18in foil round"}, "no-flower"),
        ("flower", {"height": "9 in"}, "too-low"),
        ("flower", {"height": "5 ft"}, "no-pole"),
    ):
        assert codes_of(kind, **changes) == {code}, (kind, changes)


def test_a_tree_in_a_mirror_is_its_mirror_image() -> None:
    one, other = made("topiary", turn=1), made("topiary", turn=-1)
    assert len(one) == len(other)
    looks = [
        {
            (round(x * side, 4), round(y, 4), round(z, 4), piece.shades[s].name)
            for (x, y, z), s in zip(piece.centre, piece.shade, strict=True)
        }
        for piece, side in ((one, 1.0), (other, -1.0))
    ]
    body = [{row for row in look if row[2] > 0.1} for look in looks]
    assert body[0] == body[1]


def test_sand_is_weighed_in_the_studio_s_own_units_and_the_crown_sits_on_the_stick() -> None:
    piece = made("centrepiece")
    said = " ".join(str(step.text) for step in piece.steps)
    assert " oz of dry sand" in said
    assert "end of the stick" in said
    assert "sand_kg" in dict(piece.steps[0].measures)
    assert replace(CTX, system=System.METRIC).mass(0.1304) == "130 g"


def test_a_foot_without_sand_tells_none() -> None:
    piece = made("centrepiece", base={"cluster": "4 x 5in @ 4.5in", "sand": "no"})
    assert "sand" not in str(piece.steps[0].text)
    assert set(dict(piece.steps[0].measures)) == {"stick_m"}
