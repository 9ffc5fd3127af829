"""Rules of hours and crew on pieces as plain as can be, each reckoned by hand.

Sizes, shares and limits are those written beside the rules; most are from memory there, and
this file only says that the rules do with them what they should.
"""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from airwright.catalog import Family, default_catalog
from airwright.job import Studio
from airwright.job.studio import Crew
from airwright.plan import crew, labour
from airwright.plan.hours import Way, carrying, inflating, is_jumbo, way_of, with_work, work_lines
from airwright.plan.piece_values import PiecePlan
from airwright.units import INCH_M
from tests.plan.bare import (
    CATALOG,
    CERTAIN,
    bare,
    high,
    part,
    replace_catalog,
    stock,
    times,
    work,
)
from tests.plan.samples import column, job


@pytest.mark.parametrize(
    ("inch", "standard"),
    [
        (5, "inflate small"), (6.5, "inflate small"), (6.6, "inflate medium"),
        (12.5, "inflate medium"), (12.6, "inflate large"), (20.5, "inflate large"),
        (20.6, "inflate jumbo"), (36, "inflate jumbo"),
    ],
)  # fmt: skip
def test_the_size_says_how_long_it_takes(inch: float, standard: str) -> None:
    for family in (Family.ROUND, Family.LINK):
        assert inflating(family, inch * INCH_M) == standard
        assert is_jumbo(family, inch * INCH_M) is (inch > 20.5)
    assert inflating(Family.FOIL, inch * INCH_M) == "inflate foil"
    assert inflating(Family.MODELLING, inch * INCH_M) == "inflate small"


def test_work_of_a_mixed_piece() -> None:
    """Two each of 11 in, 36 in, foil, and 11 in with helium; one more skin in one of them."""
    piece = bare(
        stock("11in"), stock("36in", inch=36), stock("18in foil round", Family.FOIL, 18),
        stock("11in", helium=True), count=2,
        hardware=(part("arch frame rod", "frame", 3.0, "m"), part("arch foot plate", "base", 2.0)),
    )  # fmt: skip
    done = {
        (line.operation, line.place): line.quantity
        for line in with_work(piece, CATALOG, Way()).work
    }
    assert {key: done[key] for key in done if key[0].startswith(("inflate", "fill"))} == {
        ("inflate medium", "workshop"): 2,
        ("inflate jumbo", "workshop"): 2,
        ("inflate foil", "workshop"): 2,
        ("inflate medium", "site"): 2,  # what floats is filled where it stands
        ("fill helium", "site"): 2,
    }
    assert done["frame", "site"] == 3
    assert done["foot", "site"] == 2
    assert done["take apart", "take-down"] == 5  # three meters of rod, two plates
    # a balloon of 0.12 m: 4/3 pi 0.001728 = 0.0072 m3; in 0.35 x 0.7 of an armful; 6 come filled,
    # 8 go burst
    bulk = 4 / 3 * np.pi * 0.12**3 / 0.35 / 0.7
    weight = piece.mass_kg / 18
    assert done["load", "workshop"] == pytest.approx(max(6 * bulk, weight, 0.3))
    assert done["carry", "take-down"] == pytest.approx(max(0.05 * 8 * bulk, weight, 0.3))


def test_panels_are_set_up_and_taken_apart_one_by_one() -> None:
    piece = bare(stock("11in"), hardware=(part("wall frame panel", "panel", 4.0),
                                          part("arch foot plate", "base", 5.0)))  # fmt: skip
    lines = with_work(piece, CATALOG, Way()).work
    done = {line.operation: line.quantity for line in lines}
    assert (done["panel"], done["foot"], done["take apart"]) == (4, 5, 9)


def test_a_base_without_a_frame_has_no_feet_to_set() -> None:
    piece = bare(stock("11in"), hardware=(part("arch foot plate", "base"),))
    names = {line.operation for line in with_work(piece, CATALOG, Way()).work}
    assert "foot" not in names
    assert "frame" not in names


def test_the_way_between_van_and_decor() -> None:
    stairs = carrying(2.0, Way(carry_m=20, flights=3), "site")
    assert stairs == [
        ("carry", 2.0, "site"), ("walk", 80.0, "site"), ("stairs", 6.0, "site"),
        ("lift ride", 0.0, "site"),
    ]  # fmt: skip
    lift = carrying(2.0, Way(carry_m=20, flights=3, lift=True), "take-down")
    assert lift[2:] == [("stairs", 0.0, "take-down"), ("lift ride", 2.0, "take-down")]


def test_the_job_says_who_makes_it_and_the_studio_otherwise() -> None:
    studio = Studio(crew=Crew(nozzles=2, made_by="first time"))
    text = column()
    assert way_of(job(text), studio).pace == 3.0
    own = job(text.replace("[job]\n", '[job]\nmade_by = "some practice"\n'))
    assert way_of(own, studio) == Way(30.0, 0, False, 2, 1.7)


def test_the_same_work_at_one_place_is_one_line() -> None:
    done = [("carry", 1.0, "site"), ("carry", 2.0, None), ("carry", 4.0, "take-down"),
            ("strike piece", 1.0, None), ("sweep", 0.0, None), ("drive", 3.0, None)]  # fmt: skip
    lines = work_lines(done, CATALOG, Way(pace=3.0))
    rows = [(line.operation, line.place, line.quantity) for line in lines]
    assert rows == [
        ("carry", "site", 3.0), ("carry", "take-down", 4.0), ("strike piece", "take-down", 1.0),
        ("drive", "road", 3.0),
    ]  # fmt: skip
    hours = [60 * line.hours for line in lines]
    # carrying takes beginners no longer, striking three times as long; rest is not for the road
    assert hours == pytest.approx([3 * 0.5 * 1.12, 4 * 0.5 * 1.12, 2.0 * 1.12 * 3.0, 3 * 2.0])


def test_hours_of_a_job_by_place_longest_first() -> None:
    piece = replace(
        bare(stock("11in")),
        work=(work("tie", "workshop", 1.0, 10.0), work("carry", "site", 0.25)),
    )
    own = crew.job_work([times(piece, 2)], job(column()), CATALOG, CERTAIN).crew
    beside = [work("tie", "workshop", 0.5, 2.0), work("pack", "workshop", 4.0),
              work("sweep", "take-down", 0.33337, 1.23456)]  # fmt: skip
    found = labour.labour_of([times(piece, 2)], beside, own)
    rows = [(line.operation, line.place, line.quantity, line.hours) for line in found.lines]
    assert rows == [
        ("pack", "workshop", 1.0, 4.0),
        ("tie", "workshop", 22.0, 2.5),
        ("carry", "site", 2.0, 0.5),
        ("sweep", "take-down", 1.23456, 0.33337),
    ]
    assert found.hours_at("workshop") == 6.5
    assert found.hours == pytest.approx(7.33337)
    written = found.to_json()
    assert written["workshop_hours"] == 6.5
    assert written["road_hours"] == 0
    assert written["take_down_hours"] == 0.333
    assert written["hands"] == own.hands
    assert written["operations"][3] == {
        "operation": "sweep", "what": "SWEEP", "place": "take-down", "quantity": 1.235,
        "per": "job", "hours": 0.3334,
    }  # fmt: skip


def crew_of(piece: PiecePlan, count: int = 1, studio: Studio = CERTAIN, **venue: str) -> Any:
    text = column()
    for key, value in venue.items():
        text = text.replace("[venue]\n", f"[venue]\n{key} = {value}\n")
    return crew.job_work([times(piece, count)], job(text), CATALOG, studio).crew


def test_two_go_where_one_cannot() -> None:
    plain = bare(stock("11in"))
    assert crew_of(plain).two_because == ""
    assert crew_of(plain).hands == 1
    heavy = default_catalog().item("arch foot plate")
    limit = replace_catalog(heavy.item, mass_kg=23.0)
    over = replace_catalog(heavy.item, mass_kg=23.01)
    held = bare(stock("11in"), hardware=(part(heavy.item, "base"),))
    for catalog, why in ((limit, ""), (over, "weight")):
        found = crew.job_work([held], job(column()), catalog, CERTAIN).crew
        assert found.two_because == why
        assert found.hands == (2 if why else 1)
    for operation, high_m, why in (
        ("panel", 2.0, ""), ("panel", 2.01, "frame"), ("fix to frame", 2.01, "frame"),
        ("hang garland", 3.0, ""), ("hang garland", 3.01, "ladder"), ("net", 3.01, "ladder"),
        ("tie cluster", 9.0, ""),
    ):  # fmt: skip
        piece = replace(high(high_m), work=(work(operation, "site", 0.1),))
        assert crew_of(piece).two_because == why, (operation, high_m)
    alone = Studio(crew=Crew(hands=1))
    assert crew_of(replace(high(4.0), work=(work("net", "site", 0.1),)), studio=alone).hands == 1


def test_the_smallest_crew_that_is_ready() -> None:
    """From access to guests, half an hour kept free, and 8.96 min of arriving."""
    window = crew_of(bare(stock("11in"))).window_h
    arriving = 8 * 1.12 / 60
    left = window - 0.5 - arriving
    # one alone does just that; two do the work of 5/3, three of 7/3, four of 3
    for hours, hands in ((left - 1e-6, 1), (left + 1e-6, 2), (left * 5 / 3 + 1e-6, 3),
                         (left * 7 / 3 + 1e-6, 4), (left * 9, 4)):  # fmt: skip
        piece = replace(bare(stock("11in")), work=(work("place", "site", hours / 2),))
        found = crew_of(piece, count=2)
        assert found.hands == hands
        assert found.build_h == pytest.approx(arriving + hours / (1 + 2 / 3 * (hands - 1)))
    # two at one piece and no more
    one = replace(bare(stock("11in")), work=(work("place", "site", left * 9),))
    assert crew_of(one).hands == 2
    least = Studio(crew=Crew(hands=4, at_least=3))
    assert crew_of(bare(stock("11in")), studio=least).hands == 3
    assert not crew_of(one).ready


def test_a_long_take_down_is_shared() -> None:
    """Longer than 2 h, sweeping of 11.2 min included; never by more than built."""
    sweeping = 10 * 1.12 / 60
    build = work("place", "site", 30.0)
    for hours, hands in ((2 - sweeping - 1e-6, 1), (2 - sweeping + 1e-6, 2), (40.0, 4)):
        piece = replace(
            bare(stock("11in")),
            work=(replace(build, hours=15.0), work("strike piece", "take-down", hours / 2)),
        )
        found = crew_of(piece, count=2)
        assert (found.hands, found.strike_hands) == (4, hands)
        assert found.strike_h == pytest.approx(sweeping + hours / (1 + 2 / 3 * (hands - 1)))


def test_nothing_to_build_takes_nobody_anywhere() -> None:
    found = crew.job_work([], job(column()), CATALOG, CERTAIN)
    assert found.lines == ()
    assert found.crew.hands == 1
