"""Half arches: a drawn way, heavy at its foot, before a wall or on a frame, and what is wrong."""

from __future__ import annotations

import numpy as np
import pytest

from airwright.decor.parts.tapered import OFF_WALL
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


def way(*points: tuple[str, str]) -> list[dict[str, str]]:
    return [{"x": x, "z": z} for x, z in points]


UP = way(("-3 ft", "0 ft"), ("-3 ft", "5 ft"), ("0 ft", "8 ft"))
ACROSS = way(("-6 ft", "2 ft"), ("6 ft", "2 ft"))
CASES = {
    "wall": {},
    "frame": {"on": "frame"},
    "two points": {"points": ACROSS},
    "leaves": {"foliage": {"shade": "teal"}},
    "one size": {"mix": [{"balloon": "11in @ 10in"}], "shades_end": None},
    "even": {"taper": 0},
    "most": {"taper": 1},
    "dense": {"density": 1.3, "on": "frame"},
    "loose": {"density": 0.6},
}


@pytest.mark.parametrize("name", CASES)
def test_every_way_is_filled_and_settles(name: str) -> None:
    changes = CASES[name]
    piece = made("half-arch", **changes)
    assert_sound(piece)
    assert KINDS["half-arch"].estimate(spec_of("half-arch", **changes), CTX) == len(piece)


@pytest.mark.parametrize("seed", [0, 2, 5])
def test_every_seed_settles(seed: int) -> None:
    assert_sound(made("half-arch", seed=seed))


def test_a_wall_holds_every_balloon_in_front_of_it() -> None:
    piece = made("half-arch", mix=[{"balloon": "11in @ 10in"}])
    wall = OFF_WALL * 10 * 0.0254
    deep = (piece.centre[:, 1] + piece.radius - wall) / piece.radius
    assert deep.max() < 0.25  # pressed flat against it
    assert (deep > 0.0).any()
    free = made("half-arch", mix=[{"balloon": "11in @ 10in"}], on="frame")
    assert (free.centre[:, 1] + free.radius).max() > wall + 0.02
    assert len(piece) < len(free)


def test_large_ones_and_the_first_shades_sit_at_the_foot() -> None:
    piece = made("half-arch")
    high = piece.centre[:, 2]
    assert high[piece.radius > 0.18].mean() < 0.7 * high[piece.radius < 0.06].mean()
    names = np.array([piece.shades[shade].name for shade in piece.shade])
    assert high[names == "teal"].mean() < 0.75 * high[names == "white"].mean()


@pytest.mark.parametrize("share", [1e-300, 1e-12, 1000])
def test_shares_far_apart_are_worked_out_without_a_fault(share: float) -> None:
    rows = [{"balloon": "11in @ 10in", "share": 1}, {"balloon": "5in @ 4.5in", "share": share}]
    with np.errstate(all="raise", under="ignore"):
        assert KINDS["half-arch"].estimate(spec_of("half-arch", mix=rows), CTX) > 20


def test_the_mix_keeps_its_shares() -> None:
    piece = made("half-arch")
    for size, share in (("24in", 1), ("17in", 4), ("11in", 16), ("5in", 22)):
        assert sizes(piece)[size] == pytest.approx(len(piece) * share / 43, abs=1.5)


def test_a_mirror_changes_no_count() -> None:
    turned = KINDS["half-arch"].mirrored({"points": UP})["points"]
    assert [point["x"] for point in turned] == ["3 ft", "3 ft", "-0 ft"]
    here, there = (made("half-arch", points=p, shades_end=None) for p in (UP, turned))
    assert counts(here) == counts(there)


def test_larger_is_larger_both_ways() -> None:
    spec = spec_of("half-arch")
    grown = KINDS["half-arch"].counted(dict(spec), 2.0)["points"]
    assert [p.z for p in grown] == pytest.approx([2 * p.z for p in spec.points])
    assert [p.x for p in grown] == pytest.approx([2 * p.x for p in spec.points])


def test_twice_the_way_takes_twice_as_many() -> None:
    double = way(("-12 ft", "2 ft"), ("12 ft", "2 ft"))
    one, two = made("half-arch", points=ACROSS), made("half-arch", points=double)
    assert len(two) == pytest.approx(2 * len(one), abs=1)


def test_a_frame_that_leans_far_out_gets_a_pole_under_it() -> None:
    leaning = made("half-arch", on="frame")
    assert [p.use for p in leaning.hardware].count("base") == 2
    (pole,) = [p for p in leaning.hardware if p.use == "pole"]
    assert min(y for _, y, _ in pole.path) > 0  # behind the balloons
    upright = made("half-arch", on="frame", points=way(("0 ft", "0 ft"), ("0 ft", "7 ft")))
    assert [p.use for p in upright.hardware].count("base") == 1
    assert not [p for p in upright.hardware if p.use == "pole"]


def test_hooks_on_the_wall_are_close_and_at_the_heights_told() -> None:
    piece = made("half-arch")
    hooks = np.array([p.path[0] for p in piece.hardware if p.use == "anchor"])
    assert np.linalg.norm(np.diff(hooks, axis=0), axis=1).max() <= 0.61
    assert "From the foot" in piece.steps[0].text


EIGHT = way(("-4 ft", "1 ft"), ("4 ft", "7 ft"), ("4 ft", "1 ft"), ("-4 ft", "7 ft"))


@pytest.mark.parametrize(
    ("changes", "codes"),
    [
        ({"points": EIGHT}, {"path-crosses"}),
        ({"points": way(("0 ft", "1 ft"), ("0 ft", "1 ft"))}, {"no-such-path"}),
        ({"points": way(("0 ft", "1 ft"), ("2 ft", "1 ft"))}, {"too-short"}),
        (
            {"points": way(("-6 ft", "2 ft"), ("6 ft", "2 ft"), ("6 ft", "2.7 ft"),
                           ("-6 ft", "2.7 ft"))},
            {"path-too-close"},
        ),
        ({"shades_end": ["moss"]}, {"unknown-shade"}),
        ({"foliage": {"shade": "moss"}}, {"unknown-shade"}),
        ({"mix": [{"balloon": "18in foil round"}]}, {"cannot-be-tied"}),
    ],
)  # fmt: skip
def test_what_cannot_be_built_is_found(changes: dict[str, object], codes: set[str]) -> None:
    assert codes_of("half-arch", **changes) == codes


def test_a_crossing_is_found_at_its_point() -> None:
    (found,) = findings_of("half-arch", points=EIGHT)
    assert found.place == "pieces[0].points[3]"
    assert "after point 3 it meets the part after point 1" in found.what
    assert "point 4" in found.mend


def test_a_way_listed_from_the_top_is_a_caution() -> None:
    found = findings_of("half-arch", points=UP[::-1])
    assert [f.code for f in found] == ["foot-on-top"]
