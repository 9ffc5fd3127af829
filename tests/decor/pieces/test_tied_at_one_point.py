"""Clusters tied at one point: compact bodies whose balloons hold each other."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwright.decor.assembly import Role
from airwright.decor.contacts import touching_pairs
from airwright.decor.parts.cloud import KNOT_TO_CENTRE, TWISTED, settle_cloud
from airwright.decor.parts.stack import layer_of
from airwright.job.cluster import Cluster
from tests.decor.pieces.helpers import CTX, made

CLOUD = "2 x 17in @ 15in + 4 x 11in @ 10in"
SIZES = ["5in @ 4.5in", "9in @ 8in", "11in @ 9.5in", "11in @ 10in", "17in @ 15in", "24in @ 22in"]


def cloud_column(**changes):
    cloud = {"cluster": CLOUD, "shades": ["teal", "white"]}
    keys = {
        "body": None,
        "turn": None,
        "shades": None,
        "topper": None,
        "clouds": [{"at": "foot", **cloud}, {"at": "head", **cloud}],
    }
    return made("column", **{**keys, **changes})


@st.composite
def clusters(draw):
    """Four to nine balloons, none more than four times as wide as another."""
    first = draw(st.integers(0, len(SIZES) - 4))
    sizes = draw(st.lists(st.sampled_from(SIZES[first : first + 4]), min_size=4, max_size=9))
    return Cluster.parse(" + ".join(f"1 x {size}" for size in sorted(sizes)))


@given(clusters(), st.sampled_from([0.0, 0.0125]))
@settings(max_examples=60, deadline=None)
def test_every_balloon_touches_at_least_two_others(cluster: Cluster, pole: float) -> None:
    shape = settle_cloud(layer_of(cluster, CTX), pole)
    assert shape.residual.converged
    pairs = touching_pairs(shape.centre, shape.radius)
    assert np.bincount(pairs.ravel(), minlength=cluster.count).min() >= 2


@pytest.mark.closed_form
@pytest.mark.parametrize(
    ("count", "edge", "contacts"),
    [(3, np.sqrt(3), 3), (4, np.sqrt(8 / 3), 6), (6, np.sqrt(2), 12)],
    ids=["triangle", "tetrahedron", "octahedron"],
)
def test_equal_balloons_make_the_regular_bodies(count: int, edge: float, contacts: int) -> None:
    """Triangle, tetrahedron, octahedron: the edge over the radius of the circumsphere is known.

    At rest the neck's pull k (1 + g)(l - L) balances m contacts of k/2 (2R - e l), each at the
    cosine e/2 to the neck: l = (L (1 + g) + m e R / 2) / (1 + g + m e^2 / 4).
    """
    shape = settle_cloud(layer_of(Cluster.parse(f"{count} x 11in @ 10in"), CTX), 0.0)
    radius = shape.radius[0]
    neck, firm, mates = 2 * KNOT_TO_CENTRE * radius, 1 + TWISTED, 2 * contacts / count
    expected = (neck * firm + mates * edge * radius / 2) / (firm + mates * edge**2 / 4)
    assert np.linalg.norm(shape.centre, axis=1) == pytest.approx(expected, rel=1e-4)
    pairs = touching_pairs(shape.centre, shape.radius)
    assert len(pairs) == contacts
    apart = np.linalg.norm(shape.centre[pairs[:, 0]] - shape.centre[pairs[:, 1]], axis=1)
    assert apart == pytest.approx(edge * expected, rel=1e-4)


def test_a_cloud_of_six_is_one_round_body() -> None:
    shape = settle_cloud(layer_of(Cluster.parse(CLOUD), CTX), 0.0125)
    pairs = touching_pairs(shape.centre, shape.radius)
    wide = np.ptp([*(shape.centre[:, 0] - shape.radius), *(shape.centre[:, 0] + shape.radius)])
    assert len(pairs) == 12  # each large one touches four small ones, and those a ring
    assert wide < 0.90  # two of 15 in side by side are 0.76 m


def test_the_pole_is_hidden_in_front_and_behind() -> None:
    piece = cloud_column()
    (pole,) = (part for part in piece.hardware if part.use == "pole")
    reach = pole.path[-1][2]
    for layer in (0, 1):
        rows = piece.layer == layer
        centre, radius = piece.centre[rows], piece.radius[rows]
        low, high = (centre[:, 2] - radius).min(), (centre[:, 2] + radius).max()
        heights = np.linspace(low + 0.02, min(high, reach) - 0.02, 60)
        for side in (centre[:, 1] < 0, centre[:, 1] > 0):
            off = np.hypot(centre[side, 0], centre[side, 2] - heights[:, None]) < radius[side]
            assert off.any(axis=1).mean() > 0.95


def test_fillers_touch_what_holds_them() -> None:
    spec = {"cluster": "4 x 5in @ 4.5in", "count": 4, "shades": ["coral"]}
    for piece in (cloud_column(fillers=spec), made("column", fillers=spec)):
        filler = piece.role == Role.FILLER
        pairs = touching_pairs(piece.centre, piece.radius)
        held = pairs[filler[pairs].sum(axis=1) == 1]
        for cluster in np.unique(piece.cluster[filler]):
            of_it = piece.cluster[held] == cluster
            others = held[of_it.any(axis=1)][~of_it[of_it.any(axis=1)]]
            assert len(set(others.tolist())) >= 2, cluster


@pytest.mark.parametrize(("lean", "side"), [("left", -1), ("right", 1)])
def test_a_topper_to_the_side_rests_on_the_cloud(lean: str, side: int) -> None:
    piece = cloud_column(topper={"balloon": "24in @ 22in", "shade": "white", "lean": lean})
    (at,) = np.flatnonzero(piece.role == Role.TOPPER)
    pairs = touching_pairs(piece.centre, piece.radius)
    assert (pairs == at).any(axis=1).sum() >= 3  # a hollow, not a point
    assert side * piece.centre[at, 0] > 0.1
    assert piece.centre[at, 2] > piece.centre[piece.role == Role.BODY, 2].max()
