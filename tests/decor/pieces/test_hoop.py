"""Hoops: an arc of a ring, dense at its middle, what hangs in it, and what cannot be."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.assembly import Assembly, Role
from airwright.decor.parts.foliage import LEAF
from airwright.decor.pieces import KINDS
from tests.decor.pieces.helpers import (
    CTX,
    assert_sound,
    codes_of,
    counts,
    findings_of,
    made,
    sizes,
    spec_of,
)

FOOT = 0.3048
FORMS = {
    "half": {},
    "whole": {"form": "whole"},
    "crescent": {"form": "crescent", "across": "6 ft"},
    "hung": {"on": "hooks", "bottom": "4 ft"},
    "a tenth": {"cover": 0.1},
    "small": {"across": "3 ft 4 in", "sign": None},
    "one size": {"mix": [{"balloon": "11in @ 10in"}]},
    "only accents": {"mix": [{"balloon": "5in @ 4.5in"}]},
    "with a foil": {"sign": None, "foil": {"balloon": "18in foil round", "shade": "gold"}},
    "jumbos": {
        "across": "8 ft",
        "mix": [{"balloon": "24in @ 22in"}, {"balloon": "11in @ 10in", "share": 9}],
    },
}


def angle(piece: Assembly, across: float, low: float) -> np.ndarray:
    """Where round the ring each balloon sits, from its lowest point, -pi to pi."""
    return np.arctan2(piece.centre[:, 0], low + across / 2 - piece.centre[:, 2])


@pytest.mark.parametrize("name", FORMS)
def test_every_form_is_filled_and_settles(name: str) -> None:
    changes = FORMS[name]
    piece = made("hoop", **changes)
    assert_sound(piece)
    assert KINDS["hoop"].estimate(spec_of("hoop", **changes), CTX) == len(piece)


@pytest.mark.parametrize("seed", [0, 1, 2, 3])
def test_every_seed_settles(seed: int) -> None:
    assert_sound(made("hoop", seed=seed))


def test_the_mix_keeps_its_shares_however_far_its_sizes_part() -> None:
    for taper in (0.0, 0.5, 1.0):
        piece = made("hoop", form="whole", taper=taper, sign=None)
        for size, share in (("17in", 1), ("11in", 4), ("5in", 6)):
            assert sizes(piece)[size] == pytest.approx(len(piece) * share / 11, abs=1.5)


def test_large_balloons_sit_at_the_heavy_place_and_small_ones_at_the_ends() -> None:
    piece = made("hoop", form="crescent", across="7 ft", heavy="bottom", sign=None, taper=1.0)
    off = np.abs(angle(piece, 7 * FOOT, 0.20))
    large = piece.radius > 0.18
    small = piece.radius < 0.06
    assert off[large].mean() < 0.6 * off[small].mean()
    even = made("hoop", form="crescent", across="7 ft", heavy="bottom", sign=None, taper=0)
    off = np.abs(angle(even, 7 * FOOT, 0.20))
    assert off[even.radius > 0.18].mean() == pytest.approx(off.mean(), rel=0.25)


def test_the_arc_is_dressed_and_the_rest_is_bare() -> None:
    piece = made("hoop", across="8 ft", heavy="bottom", sign=None)
    off = np.abs(angle(piece, 8 * FOOT, 0.20))
    assert np.quantile(off, 0.9) < np.pi / 2 + 0.15
    assert off.max() > np.pi / 2 - 0.25


def test_left_and_right_take_the_same() -> None:
    left, right = made("hoop"), made("hoop", heavy="lower right")
    assert counts(left) == counts(right)
    assert left.centre[:, 0].mean() < -0.1
    assert right.centre[:, 0].mean() > 0.1


def test_a_mirror_turns_the_heavy_place() -> None:
    mirrored = KINDS["hoop"].mirrored
    assert mirrored({})["heavy"] == "lower right"
    assert mirrored({"heavy": "upper right"})["heavy"] == "upper left"
    assert mirrored({"heavy": "top"}) == {}


def test_shades_change_from_the_heavy_place_to_the_ends() -> None:
    piece = made(
        "hoop", form="whole", across="8 ft", heavy="bottom", sign=None,
        shades=["teal"], shades_end=["white"],
    )  # fmt: skip
    off = np.abs(angle(piece, 8 * FOOT, 0.20))
    teal = np.array([piece.shades[s].name == "teal" for s in piece.shade])
    assert off[teal].mean() < 0.7 * off[~teal].mean()
    assert 0.3 < teal.mean() < 0.8


def test_foliage_runs_out_beyond_the_balloons_and_is_cut_by_the_metre() -> None:
    piece = made("hoop", across="8 ft", foliage={"shade": "teal", "beyond": "2 ft"}, sign=None)
    (strip,) = [s for s in piece.strands if s.item == "foliage strip"]
    assert strip.length_m == pytest.approx(np.pi * 8 * FOOT / 2 + 4 * FOOT, rel=0.01)
    leaves = [s for s in piece.strands if s.name == LEAF]
    assert len(leaves) > 50
    tips = np.array([leaf.path[-1] for leaf in leaves])
    far = np.linalg.norm(tips[:, None] - piece.centre[None], axis=2)
    assert (far > 0.85 * piece.radius).all()  # none is buried in a balloon


def test_a_whole_ring_has_no_free_end_for_foliage_to_run_out_to() -> None:
    piece = made("hoop", form="whole", foliage={"shade": "teal", "beyond": "4 ft"}, sign=None)
    (strip,) = [s for s in piece.strands if s.item == "foliage strip"]
    assert strip.length_m == pytest.approx(np.pi * 5 * FOOT, rel=0.01)


def test_a_foil_and_a_sign_hang_in_the_ring() -> None:
    piece = made("hoop", foil={"balloon": "18in foil round", "shade": "gold"})
    (at,) = np.flatnonzero([piece.stocks[s].family.value == "foil" for s in piece.stock])
    assert piece.centre[at, :1] == pytest.approx(0.0)
    assert piece.role[at] == Role.ACCENT
    assert not piece.stocks[piece.stock[at]].helium
    (sign,) = [part for part in piece.hardware if part.use == "sign"]
    assert sign.text == "Welcome aboard"
    assert max(y for _, y, _ in sign.path) < -piece.radius[at] / 2  # in front of the balloon


def test_it_stands_on_a_foot_or_hangs_from_two_hooks() -> None:
    stands, hangs = made("hoop"), made("hoop", on="hooks", bottom="4 ft", foliage=None)
    assert [p.use for p in stands.hardware if p.use in ("base", "anchor")] == ["base"]
    assert [p.use for p in hangs.hardware if p.use in ("base", "anchor")] == ["anchor", "anchor"]
    (ring,) = [p for p in hangs.hardware if p.use == "frame"]
    assert ring.quantity == pytest.approx(np.pi * 5 * FOOT)
    assert KINDS["hoop"].overhead(spec_of("hoop", on="hooks"))
    assert not KINDS["hoop"].overhead(spec_of("hoop"))


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"across": "2 ft"}, {"ring-too-small"}),
        ({"across": "12 in"}, {"ring-too-small"}),
        ({"mix": [{"balloon": "18in foil round"}]}, {"cannot-be-tied"}),
        ({"mix": [{"balloon": "11in @ 12in"}]}, {"over-inflated"}),
        ({"foliage": {"shade": "moss"}}, {"unknown-shade"}),
        ({"sign": {"shade": "moss"}}, {"unknown-shade"}),
        ({"shades_end": ["moss"]}, {"unknown-shade"}),
        ({"shades_end": {"teal": 0}}, {"missing"}),
        ({"foil": {"balloon": "260", "shade": "gold"}}, {"no-middle"}),
        ({"foil": {"balloon": "19 foil", "shade": "gold"}}, {"unknown-size"}),
    ],
)
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("hoop", **changes) == codes


def test_a_ring_too_small_names_the_least_ring() -> None:
    (found,) = findings_of("hoop", across="2 ft")
    assert found.place == "pieces[0].across"
    assert "3 ft" in found.mend  # 2.5 times 15 in


def test_what_fills_the_middle_is_a_caution() -> None:
    found = findings_of("hoop", sign={"shade": "white", "width": "4 ft", "height": "3 ft"})
    assert [f.code for f in found] == ["middle-full"]
    found = findings_of("hoop", across="4 ft", sign=None,
                        foil={"balloon": "36in @ 33in", "shade": "gold"})  # fmt: skip
    assert [f.code for f in found] == ["middle-full"]


@pytest.mark.closed_form
def test_balloons_go_with_the_length_of_the_arc() -> None:
    """Arc of a circle: length pi D share. Twice the share or the ring takes twice as many."""
    one, half = (
        made("hoop", across="8 ft", cover=share, taper=0, sign=None, foliage=None)
        for share in (1.0, 0.5)
    )
    straight = made("garland", path="straight", width="8 ft", fullness=None)
    assert len(one) == pytest.approx(2 * len(half), abs=2)
    mix = {"mix": [{"balloon": "11in @ 10in"}]}
    ring = made("hoop", across="8 ft", form="whole", taper=0, sign=None, foliage=None, **mix)
    line = made("garland", path="straight", width="8 ft", shades=["white"], **mix)
    assert len(ring) == pytest.approx(np.pi * len(line), rel=0.02)
    assert len(straight) > 0


@pytest.mark.common_practice
def test_a_hoop_takes_what_decorators_count() -> None:
    """Common practice, no source: 6 to 10 balloons a foot of organic decor."""
    piece = made("hoop", across="6 ft", form="whole", sign=None, foliage=None)
    assert 6 <= len(piece) / (np.pi * 6) <= 10
