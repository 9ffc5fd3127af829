"""The load list holds what the plan needs, adds up, and says when the van is too small."""

from __future__ import annotations

import itertools
import math
import re
from dataclasses import replace

import pytest

from airwright.job.pieces import Spot
from airwright.operations.goods import Goods
from airwright.operations.stock.ledger import OnShelf
from airwright.papers.common.request import request_for
from airwright.papers.load_list import load_list_of, make
from airwright.papers.load_list.model import LoadList
from airwright.papers.load_list.render import render
from airwright.plan.load import Group, Item, _hardware, bagged_m3, rubber_kg
from airwright.plan.values import Plan
from tests.papers import pdf_reading as pdf
from tests.papers.plans import TODAY, example_plan, plan_with


def items(model: LoadList) -> dict[str, float]:
    return {item.name: item.quantity for group in model.groups for item in group.items}


def test_every_need_that_is_no_used_balloon_goes_along() -> None:
    plan = example_plan()
    have = items(load_list_of(plan))
    for need in plan.needs:
        if need.kind == "balloon":
            continue
        assert have[need.item] == pytest.approx(need.total)
    for piece in plan.in_scope:
        assert have[piece.name] == piece.count


def test_spares_are_those_of_the_plan() -> None:
    plan = example_plan()
    have = items(load_list_of(plan))
    spares: dict[str, float] = {}
    for need in plan.needs:
        if need.kind == "balloon":
            spares[need.item] = spares.get(need.item, 0) + need.spare
    for item, spare in spares.items():
        assert have.get(item, 0) == spare


def test_it_says_where_on_the_shelf_things_lie() -> None:
    plan = example_plan()
    need = next(one for one in plan.needs if one.kind == "pole")
    held = {Goods.named(need.item): OnShelf(4, ("rack B", "van")), Goods("elsewhere"): OnShelf(1)}
    rows = {i.name: i for group in load_list_of(plan, held).groups for i in group.items}
    bare = {i.name: i for group in load_list_of(plan).groups for i in group.items}
    assert "from rack B and van" in rows.pop(need.item).detail
    del bare[need.item]
    assert rows == bare


def test_totals_add_up() -> None:
    model = load_list_of(example_plan())
    rows = [item for group in model.groups for item in group.items]
    assert model.load.mass_kg == pytest.approx(math.fsum(row.mass_kg for row in rows))
    assert model.load.bulk_m3 == pytest.approx(math.fsum(row.bulk_m3 for row in rows))
    rubber = sum(
        rubber_kg(piece.assembly, example_plan().context.catalog) * piece.count
        for piece in example_plan().in_scope
    )
    hardware = sum(need.mass_kg for need in example_plan().needs if need.kind != "balloon")
    assert model.load.mass_kg > rubber + hardware


def test_bags_hold_the_balloons_at_random_loose_packing() -> None:
    """Closed form: volume of the spheres over 0.55."""
    assembly = plan_with(["One"]).pieces[0].assembly
    spheres = sum(4 / 3 * math.pi * float(r) ** 3 for r in assembly.radius)
    assert bagged_m3(assembly) == pytest.approx(spheres / 0.55)


def test_only_what_is_used_up_stays_there() -> None:
    groups = {group.title: group.items for group in load_list_of(example_plan()).groups}
    assert not any(item.back for item in groups["Decor, tied in the workshop"])
    assert all(item.back for item in groups["Tools"])


def test_a_ladder_goes_along_for_tall_decor() -> None:
    assert "step ladder" in items(load_list_of(example_plan()))


def test_timetable_runs_from_leaving_to_take_down() -> None:
    clocks = [moment.clock for moment in load_list_of(example_plan()).timetable]
    assert clocks[1:] == ["06:30", "10:00", "18:00"]
    assert clocks[0] < "06:30"
    early = load_list_of(plan_with(venue={"access": "00:10", "drive": 60_000.0}))
    assert early.timetable[0].clock.endswith("the day before")
    late = plan_with(head={"guests": "18:00", "strike": "01:00"}, venue={"access": "14:00"})
    assert str(load_list_of(late).timetable[-1].clock) == "01:00 the next day"


def test_no_drive_no_leaving() -> None:
    model = load_list_of(plan_with(venue={"drive": 0.0}))
    assert [moment.clock for moment in model.timetable] == ["06:30", "10:00", "18:00"]


def test_a_load_too_large_is_a_finding_and_stands_on_the_sheet() -> None:
    (fits,) = make(request_for(example_plan(), TODAY))
    assert fits.findings == ()
    assert not [found for found in example_plan().findings if found.code == "van-too-small"]
    many = plan_with(count=60)
    (found,) = [found for found in many.findings if found.code == "van-too-small"]
    (large,) = make(request_for(many, TODAY))
    trips = load_list_of(many).load.trips
    assert f"Drive {trips} times" in found.mend
    assert pdf.run_together(f"first of {trips} van loads") in pdf.run_together(
        pdf.whole_text(large.data)
    )
    assert "does not fit the van" in pdf.whole_text(large.data).replace("\n", " ")


def test_contacts_address_and_times_stand_on_it() -> None:
    plan = plan_with(
        head={"client": "Saltmarsh Ferries", "contact": "555 0100"},
        venue={"name": "Pier hall", "address": "1 Quay Street"},
    )
    text = pdf.whole_text(make(request_for(plan, TODAY))[0].data)
    for words in ("Saltmarsh Ferries", "555 0100", "Pier hall", "1 Quay Street", "06:30", "18:00"):
        assert words in text
    assert "Loaded by" in text


def test_boxes_to_tick_are_drawn_for_every_line() -> None:
    plan = example_plan()
    data = make(request_for(plan, TODAY))[0].data
    wanted = sum(1 + item.back for group in load_list_of(plan).groups for item in group.items)
    squares = 0
    for page in range(pdf.page_count(data)):
        for path in pdf.paths(data, page):
            xs, ys = [x for x, _ in path], [y for _, y in path]
            if abs(max(xs) - min(xs) - 3.6) < 0.05 and abs(max(ys) - min(ys) - 3.6) < 0.05:
                squares += 1
    assert squares == wanted


def test_no_page_begins_with_the_sum_of_the_page_before() -> None:
    request = request_for(example_plan(), today=TODAY)
    model = load_list_of(request.plan)
    for lines, detailed in itertools.product(range(19, 23), range(1, 4)):
        items = (
            Item(f"Thing {n}", "teal" if n < detailed else "", 1, 2.0, 0.1) for n in range(lines)
        )
        group = Group("Stands", tuple(items))
        paper = render(replace(model, groups=(group,)), request.page, request.system, request.mark)
        for page in pdf.texts(paper.data):
            assert "together" not in page or "Thing" in page


def test_sand_is_weighed_out_not_counted() -> None:
    need = replace(
        next(need for need in example_plan().needs if need.kind == "base"),
        item="sand for table bases, kg",
        kind="filling",
        used=1.17,
        spare=0.0,
        mass_kg=1.17,
    )
    (item,) = _hardware([need], ("filling",))
    assert (item.quantity, item.unit) == (1.17, "kg")


def placed(spots: list[Spot | None], count: int = 1) -> Plan:
    """A plan of the example's pieces, standing at these spots."""
    plan = plan_with(["One", "Two", "Three"][: len(spots)], count=count)
    pieces = [
        replace(piece, spec=piece.spec.model_copy(update={"spot": spot}))
        for piece, spot in zip(plan.pieces, spots, strict=True)
    ]
    return replace(plan, pieces=tuple(pieces))


def floor_page(plan: Plan) -> str:
    (paper,) = make(request_for(plan, today=TODAY))
    pages = pdf.texts(paper.data)
    found = [page for page in pages if "Where it stands" in page]
    return " ".join(found[0].split()) if found else ""


def test_a_job_without_spots_has_no_floor_plan() -> None:
    assert floor_page(placed([None, None, None])) == ""


def test_the_floor_plan_says_where_each_piece_goes() -> None:
    page = floor_page(
        placed([Spot(x=-1.5, y=0.0), Spot(x=0.0, y=2.0, facing=-90.0), None], count=2)
    )
    assert re.search(r"1 2 × One .*?4 ft 11 in left on the front edge faces the guests", page)
    assert re.search(r"2 2 × Two .*?in the middle 6 ft 7 in behind the edge 90° to the left", page)
    assert "2 × Three no spot given" in page
    assert "middle of the row" in page
    assert re.search(r"1:\d+ on paper", page)


def test_spots_too_far_apart_for_paper_are_still_listed() -> None:
    page = floor_page(placed([Spot(x=-500.0), Spot(x=500.0), Spot(y=500.0)]))
    assert re.search(r"1,640 ft 5 in right", page)
    assert "on paper" not in page
    assert "from the cross" not in page


def test_one_spot_far_from_all_others_does_not_shrink_the_plan() -> None:
    plan = plan_with(["One", "Two", "Three", "Four"])
    spots = [Spot(x=0.0), Spot(x=2.0), Spot(x=500.0), Spot(x=4.0)]
    pieces = [
        replace(piece, spec=piece.spec.model_copy(update={"spot": spot}))
        for piece, spot in zip(plan.pieces, spots, strict=True)
    ]
    page = floor_page(replace(plan, pieces=tuple(pieces)))
    assert "Too far off for this plan: 3." in page
    scale = re.search(r"1:(\d+) on paper", page)
    assert scale
    assert int(scale[1]) <= 50
    assert "1,640 ft 5 in right" in page
