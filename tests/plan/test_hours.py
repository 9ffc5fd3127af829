"""Time follows the work: frames, carrying, nozzles, hands; and it adds up."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from airwright.job.examples import example_text
from airwright.job.studio import Crew, Studio
from airwright.plan.crew import elapsed
from airwright.plan.export import dumps
from airwright.plan.hours import armfuls_in, armfuls_out
from airwright.plan.labour import PLACES, labour_of
from airwright.plan.load import groups_of
from airwright.plan.values import PiecePlan, Plan
from tests.plan.samples import column, plan

SHADES = 'shades = ["coral", "sand"]'


def job_text(piece: str, venue: str = "", count: int = 1, *, head: str = "") -> str:
    """A job with one piece, 10:00 to 14:00, 15 km away."""
    return f"""
format = "airwright-job/1"
[job]
title = "Work"
date = 2027-05-22
guests = "14:00"
strike = "20:00"
{head}
[venue]
access = "10:00"
drive = "15 km"
{venue}
[shades]
coral = "#f0705a"
sand = "#e8d5b7"
[[pieces]]
name = "Piece"
count = {count}
{piece}
"""


COLUMN = f'kind = "column"\nheight = "6 ft"\nbody = ["4 x 11in @ 9.5in"]\n{SHADES}'


def wall(width_ft: int) -> str:
    return (
        f'kind = "wall"\nwidth = "{width_ft} ft"\nheight = "8 ft"\n'
        f'cluster = "4 x 11in @ 9.5in"\n{SHADES}'
    )


def bouquet(count: int) -> str:
    return (
        'kind = "bouquet"\nheight = "9 ft"\n[[pieces.balloons]]\n'
        f'balloon = "11in @ 10in"\ncount = {count}\n{SHADES}'
    )


def minutes(piece: PiecePlan, operation: str, place: str | None = None) -> float:
    rows = (w for w in piece.work if w.operation == operation and place in (None, w.place))
    return 60 * sum(w.hours for w in rows)


def one(text: str, studio: Studio | None = None) -> PiecePlan:
    return plan(text, studio).pieces[0]


def test_a_frame_takes_its_panels_and_feet() -> None:
    narrow, wide = one(job_text(wall(4))), one(job_text(wall(32)))
    panels = [
        sum(part.quantity for part in piece.assembly.hardware if part.use == "panel")
        for piece in (narrow, wide)
    ]
    assert panels[1] > 6 * panels[0]
    ratio = minutes(wide, "panel") / minutes(narrow, "panel")
    assert ratio == pytest.approx(panels[1] / panels[0])
    assert minutes(wide, "foot") > 2 * minutes(narrow, "foot")


def test_an_arch_takes_its_rods() -> None:
    arches = [
        one(job_text(f'kind = "arch"\nwidth = "{w} ft"\nheight = "9 ft"\n'
                     f'body = ["4 x 11in @ 9.5in"]\n{SHADES}'))
        for w in (8, 16)
    ]  # fmt: skip
    rods = [
        sum(part.quantity for part in arch.assembly.hardware if part.use == "frame")
        for arch in arches
    ]
    assert minutes(arches[1], "frame") / minutes(arches[0], "frame") == pytest.approx(
        rods[1] / rods[0]
    )


def test_placing_and_striking_follow_bulk() -> None:
    few, many = one(job_text(bouquet(5))), one(job_text(wall(32)))
    assert len(many.assembly) > 300
    for operation, place in (("carry", "site"), ("dress balloon", None), ("burst balloon", None)):
        assert minutes(many, operation, place) > 20 * minutes(few, operation, place)
    for place in ("site", "take-down"):
        assert many.hours_at(place) > 8 * few.hours_at(place)


def test_placing_follows_weight() -> None:
    dry = one(job_text(COLUMN))
    windy = one(job_text(COLUMN, 'setting = "open air"\ngust = "9 m/s"'))
    assert windy.stability is not None
    assert minutes(windy, "set ballast") > minutes(dry, "set ballast")
    assert minutes(windy, "carry", "site") > minutes(dry, "carry", "site")


@pytest.mark.parametrize(
    ("near", "far"),
    [
        ('carry = "10 m"', 'carry = "200 m"'),
        ("stairs = 0", "stairs = 3"),
        ('lift = "no"', 'lift = "yes"'),
    ],
)
def test_the_way_in_takes_time_both_ways(near: str, far: str) -> None:
    short, long = plan(job_text(COLUMN, near)), plan(job_text(COLUMN, far))
    for place in ("site", "take-down"):
        assert long.pieces[0].hours_at(place) > short.pieces[0].hours_at(place)
    assert long.money.labour > short.money.labour


def test_a_lift_spares_the_stairs() -> None:
    climbed = one(job_text(COLUMN, "stairs = 8"))
    ridden = one(job_text(COLUMN, 'stairs = 8\nlift = "yes"'))
    assert minutes(ridden, "stairs") == 0.0
    assert minutes(climbed, "lift ride") == 0.0
    assert ridden.hours_at("site") < climbed.hours_at("site")


def test_two_nozzles_help_only_where_balloons_are_inflated() -> None:
    single = one(job_text(COLUMN))
    double = one(job_text(COLUMN), Studio(crew=Crew(nozzles=2)))
    assert minutes(double, "inflate medium") < minutes(single, "inflate medium")
    others = [
        [w for w in p.work if not w.operation.startswith("inflate")] for p in (single, double)
    ]
    assert others[0] == others[1]


@pytest.mark.parametrize("who", ["some practice", "first time"])
def test_who_makes_it(who: str) -> None:
    usual = plan(job_text(COLUMN))
    from_studio = plan(job_text(COLUMN), Studio(crew=Crew.model_validate({"made_by": who})))
    from_job = plan(job_text(COLUMN, head=f'made_by = "{who}"'))
    assert from_studio.hours == from_job.hours > usual.hours
    shop = [p.pieces[0].hours_at("workshop") for p in (usual, from_job)]
    assert 1.4 * shop[0] < shop[1] < 4.0 * shop[0]
    assert usual.crew.drive_h == from_job.crew.drive_h


def test_hours_add_up_and_are_written() -> None:
    for example in ("ferry-terminal", "harbour-festival"):
        made = plan(example_text(example))
        written = json.loads(dumps(made))
        for labour, hours in [
            (written["labour"], written["hours"]),
            *((row["labour"], row["hours"]) for row in written["options"]),
        ]:
            parts = [labour[f"{place.replace('-', '_')}_hours"] for place in PLACES]
            assert sum(parts) == pytest.approx(hours, abs=0.003)
            assert sum(row["hours"] for row in labour["operations"]) == pytest.approx(
                hours, abs=0.003
            )
        alone = sum(p.hours * p.count for p in made.in_scope) + sum(w.hours for w in made.job_work)
        assert alone == pytest.approx(made.hours)


# ---- the crew ---------------------------------------------------------------------


def window(hours: float) -> str:
    """Access so long before guests come at 14:00."""
    whole = round(60 * (14 - hours))
    return f"{whole // 60:02d}:{whole % 60:02d}"


def with_access(piece: str, hours: float, count: int = 1) -> str:
    return job_text(piece, count=count).replace('access = "10:00"', f'access = "{window(hours)}"')


def test_one_column_is_one_persons_work() -> None:
    made = plan(job_text(COLUMN).replace("15 km", "35 km"))
    assert (made.crew.hands, made.crew.strike_hands) == (1, 1)
    assert made.hours < 5.0


def test_the_crew_is_the_smallest_that_is_ready() -> None:
    eager = Studio(crew=Crew(ready_before=0.0))
    sizes: list[tuple[int, Plan]] = []
    for hours in (6.0, 3.0, 2.0, 1.5):
        made = plan(with_access(COLUMN, hours, count=12), eager)
        work = sum(piece.hours_at("site") * piece.count for piece in made.in_scope)
        arriving = sum(w.hours for w in made.job_work if w.operation == "arrive")
        assert made.crew.ready
        assert made.crew.build_h == pytest.approx(arriving + elapsed(work, made.crew.hands))
        if made.crew.hands > 1:
            assert arriving + elapsed(work, made.crew.hands - 1) > made.crew.window_h
            assert labour_of(made.in_scope, made.job_work, made.crew).hours_at(
                "site"
            ) == pytest.approx(made.crew.hands * made.crew.build_h)
        sizes.append((made.crew.hands, made))
    people = [hands for hands, _ in sizes]
    assert people == sorted(people)
    assert people[0] == 1 < people[-1]
    assert sizes[-1][1].hours > sizes[0][1].hours  # more people wait for each other, and drive


def test_not_more_people_than_there_are() -> None:
    studio = Studio(crew=Crew(hands=2))
    made = plan(with_access(wall(32), 0.5, count=3), studio)
    assert made.crew.hands == 2
    assert not made.crew.ready
    assert [f for f in made.findings if f.code == "site-time"]


def test_no_more_people_than_find_work() -> None:
    made = plan(with_access(COLUMN, 0.17))
    assert made.crew.hands == 2
    assert [f for f in made.findings if f.code == "site-time"]


def test_a_studio_may_always_send_two() -> None:
    assert plan(job_text(COLUMN), Studio(crew=Crew(at_least=2))).crew.hands == 2


def test_tall_frames_are_raised_by_two() -> None:
    made = plan(job_text(wall(8)))
    assert (made.crew.hands, made.crew.two_because) == (2, "frame")


@pytest.mark.from_memory
@pytest.mark.parametrize(("height", "why"), [("8 ft", ""), ("11 ft", "ladder")])
def test_what_hangs_high_is_hung_by_two(height: str, why: str) -> None:
    """From 3 m or so the ladder is high enough that somebody else holds it."""
    text = (
        f'kind = "garland"\nwidth = "6 ft"\nheight = "{height}"\n'
        f'mix = [{{ balloon = "11in @ 10in" }}]\n{SHADES}'
    )
    assert plan(job_text(text)).crew.two_because == why


def test_everything_stands_a_while_before_guests_come() -> None:
    made = plan(with_access(COLUMN, 2.0, count=12), Studio(crew=Crew(ready_before=1.0)))
    assert made.crew.build_h <= 1.0


def test_an_example_column_has_every_stage() -> None:
    made = plan(column())
    places = {line.place for line in labour_of(made.in_scope, made.job_work, made.crew).lines}
    assert places == set(PLACES)


def test_what_stands_in_plan_json_of_hours() -> None:
    """Programs read these words; a word changed is a promise broken."""
    made = plan(column())
    told = json.loads(dumps(made))["labour"]
    assert told["ready"] is True
    for place in PLACES:
        own = [row for row in told["operations"] if row["place"] == place]
        assert told[f"{place.replace('-', '_')}_hours"] == pytest.approx(
            sum(row["hours"] for row in own), abs=0.003
        )
    (tied,) = [row for row in told["operations"] if row["operation"] == "tie cluster"]
    assert set(tied) == {"operation", "what", "place", "quantity", "per", "hours"}
    assert (tied["quantity"], tied["per"]) == (made.pieces[0].assembly.layers, "cluster")


@pytest.mark.common_practice
def test_burst_balloons_of_a_wall_go_out_in_few_armfuls() -> None:
    """A thousand balloons that filled a van leave in a few sacks: their rubber alone is some
    3 kg and less than a twentieth of the room, so that their weight and the frame decide."""
    text = column().split("[[pieces]]")[0] + (
        '[[pieces]]\nname = "W"\nkind = "wall"\nwidth = "8 ft"\nheight = "8 ft"\n'
        'cluster = "4 x 5in @ 4.5in"\nshades = ["coral"]\n'
    )
    made = plan(text).pieces[0]
    light = replace(made, mass_kg=0.0, stability=None)
    assert armfuls_out(light) < 2.0
    assert armfuls_out(light) < armfuls_in(light, Studio().catalog()) / 4


LOOSE = (
    'kind = "ceiling"\nwidth = "20 ft"\nlength = "15 ft"\nheight = "10 ft"\nevery = "12 in"\n'
    f'balloon = "11in @ 11in"\n{SHADES}'
)


def filled_in_the_workshop() -> Studio:
    row = Studio().catalog().operation("fill helium")
    return Studio(operations=(row.model_copy(update={"place": "workshop"}),))


@pytest.mark.common_practice
@pytest.mark.parametrize("text", [LOOSE, bouquet(6)])
def test_helium_is_filled_where_it_floats(text: str) -> None:
    """Common practice, no source: cylinders go along and floating balloons are filled on site,
    since they sink from then on and few of them go through a door or into a van."""
    made = plan(job_text(text))
    (piece,) = made.pieces
    (row,) = [item for group in groups_of(made) for item in group.items if item.name == "Piece"]
    for operation in ("inflate medium", "fill helium"):
        assert minutes(piece, operation, "site") > 0
        assert minutes(piece, operation, "workshop") == 0
    assert row.bulk_m3 == 0
    own = plan(job_text(text), filled_in_the_workshop())
    assert minutes(own.pieces[0], "inflate medium", "site") == 0
    assert own.pieces[0].price is not None
    assert piece.price is not None
    assert own.pieces[0].price.unit_price == piece.price.unit_price
    assert own.pieces[0].hours_at("site") < piece.hours_at("site")


@pytest.mark.common_practice
def test_three_hundred_floating_balloons_bring_a_second_pair_of_hands() -> None:
    """From memory: one fills and ties about 60 to 100 an hour, ribbons included, so that 300
    take one person three to five hours: too long between 10:00 and 13:30."""
    made = plan(job_text(LOOSE))
    (piece,) = made.pieces
    alone = sum(minutes(piece, name) for name in ("inflate medium", "fill helium"))
    assert len(piece.assembly) == 300
    assert 180 <= alone <= 300
    assert made.crew.hands == 2
    assert made.crew.ready


def test_a_wall_is_hung_where_its_panels_stand() -> None:
    panelled, stacked = one(job_text(wall(8))), one(job_text(COLUMN))
    assert minutes(panelled, "stack cluster", "workshop") == 0
    assert minutes(panelled, "stack cluster", "site") > 0
    assert minutes(stacked, "stack cluster", "site") == 0
