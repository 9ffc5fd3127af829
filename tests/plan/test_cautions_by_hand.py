"""Cautions and findings of prices, on pieces as plain as can be: when, where and in which words."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from airwright.catalog import Family
from airwright.job import Job, Studio
from airwright.job.examples import example_text
from airwright.money.amount import MoneyError
from airwright.plan import cautions
from airwright.plan.floating import Weighting
from airwright.plan.options import price_findings, refused_price, with_counts
from airwright.plan.planning import make_plan
from airwright.plan.wording import Words
from airwright.units import System
from tests.plan.bare import (
    bare,
    high,
    need,
    replace_catalog,
    stock,
)
from tests.plan.samples import column, job, plan

FEET = Words(System.FEET)


def test_what_every_job_is_told() -> None:
    found = cautions.protecting([bare(stock("11in"))])
    assert [finding.code for finding in found] == ["choking", "latex"]
    choking, latex = found
    assert "Children under eight" in choking.what
    assert "watch them near the decor" in choking.mend
    assert choking.standard == "16 CFR 1500.19"
    assert "allergic" in latex.what
    assert "foil instead" in latex.mend
    assert {f.place for f in found} == {""}
    assert {f.severity.value for f in found} == {"caution"}


def test_helium_and_foil_name_their_pieces() -> None:
    pieces = [
        bare(stock("11in", helium=True), name="Floating"),
        bare(stock("18in foil round", Family.FOIL, 18), name="Shiny"),
        bare(stock("11in"), name="Plain"),
    ]
    found = {finding.code: finding for finding in cautions.protecting(pieces)}
    assert list(found) == ["choking", "latex", "helium", "no-release", "foil"]
    assert found["helium"].pieces == found["no-release"].pieces == ("Floating",)
    assert found["foil"].pieces == ("Shiny",)
    assert found["helium"].standard == "29 CFR 1910.101, CGA P-1"
    assert "breathing it can kill" in found["helium"].what
    assert "upright and chained" in found["helium"].mend
    assert "power lines" in found["no-release"].what
    assert "check the local law" in found["no-release"].mend
    assert found["no-release"].standard is None
    assert found["foil"].standard == "California Penal Code 653.1 and laws like it elsewhere"
    assert "conducts" in found["foil"].what
    assert "metallic ribbon" in found["foil"].mend
    assert {f.place for f in found.values()} == {""}


def test_what_hangs_is_a_riggers_business() -> None:
    """A garland's lowest point above 1 m may come down on somebody; a column stands."""
    festival = job(example_text("harbour-festival")).pieces
    garland = next(piece for piece in festival if piece.kind == "garland")
    for lowest_m, told in ((1.0, False), (1.001, True)):
        column_like = high(lowest_m + 0.24)  # a balloon of 0.24 m
        hung = replace(column_like, spec=garland)
        assert [f.code for f in cautions.protecting([column_like])] == ["choking", "latex"]
        found = [f for f in cautions.protecting([hung]) if f.code == "overhead"]
        assert bool(found) is told
    assert found[0].what == f'"{garland.name}" may hang above people.'
    assert "qualified rigger" in found[0].mend
    assert found[0].pieces == (garland.name,)
    assert found[0].place == ""


def test_a_ladder_above_two_meters() -> None:
    assert cautions.about_height([high(2.0)], FEET) == []
    (one,) = cautions.about_height([high(2.01), high(1.0)], FEET)
    assert one.code == "ladder"
    assert one.what.startswith('"Piece" is built from a ladder, up to 6 ft 7')
    assert one.standard == "29 CFR 1926.1053(b)(5)(i)"
    assert "second one holding" in one.mend
    assert one.pieces == ("Piece",)
    other = replace(high(3.0), spec=high(3.0).spec.model_copy(update={"name": "Other"}))
    (two,) = cautions.about_height([high(2.5), other], FEET)
    assert two.what.startswith('"Piece" and "Other" are built from a ladder, up to 9 ft 10')
    floating = replace(high(3.0), weighting=Weighting(0.1, 0.0, 0.0, 0.1, 0.2, 1.5, None))
    assert cautions.about_height([floating], FEET) == []


def test_what_does_not_fit_under_the_ceiling() -> None:
    text = column().replace("[venue]\n", '[venue]\nceiling = "2.5 m"\n', 1)
    found = cautions.about_room(job(text), [high(2.5), high(2.6)], Words(System.METRIC))
    assert [(f.code, f.place) for f in found] == [("ceiling", "pieces[0]")]
    assert found[0].what.startswith('"Piece" is 2.6 m tall; the ceiling is at 2.5 m')
    assert "Build it lower" in found[0].mend


def options_job(chosen: str = "") -> Job:
    rows = "".join(f'\n[[options]]\nname = "{name}"\npieces = ["Column"]\n' for name in "AB")
    text = column() + rows
    return job(text.replace("[job]\n", f"[job]\n{chosen}\n"))


def test_the_choice_is_still_open() -> None:
    (found,) = cautions.about_choice(options_job())
    assert (found.code, found.place, found.severity.value) == (
        "no-option-chosen", "job.chosen", "hint")  # fmt: skip
    assert "all pieces" in found.what
    assert '"A"' in found.mend
    assert cautions.about_choice(options_job('chosen = "B"')) == []
    assert (
        cautions.about_choice(job(column() + '\n[[options]]\nname = "A"\npieces = ["Column"]\n'))
        == []
    )


def test_set_up_that_does_not_fit_into_its_time() -> None:
    made = plan(column())
    window = made.options[0].crew.window_h
    fits = cautions.about_time(made.job, made.options, 1)
    assert fits == []
    longer = replace(
        made.options[0],
        crew=replace(made.options[0].crew, build_h=window + 0.26),
    )
    (found,) = cautions.about_time(made.job, [longer], 1)
    assert (found.code, found.place) == ("site-time", "pieces")
    assert f"{window + 0.26:.1f} h on site with 1 person, but" in found.what
    assert f"only {window:.1f} h between" in found.what
    assert "earlier access" in found.mend
    (two,) = cautions.about_time(options_job(), [longer], 2)
    assert two.place == "options[0]"
    assert "with 2 people" in two.what


def test_less_in_the_store_than_the_job_takes() -> None:
    def store(owned: float | None) -> Any:
        return replace_catalog("arch frame rod", owned=owned)

    rods = need(item="arch frame rod", used=4.25, spare=0)
    assert cautions.about_owned([rods], store(None)) == []
    assert cautions.about_owned([rods], store(4.25)) == []
    assert cautions.about_owned([need(item="no such thing")], store(1.0)) == []
    (found,) = cautions.about_owned(
        [rods, need(item="arch frame rod", used=1, spare=0)], store(1.5)
    )
    assert (found.code, found.place) == ("short-of-hardware", "")
    assert found.what == "Arch frame rod: the job takes 4.25 m, you own 1.5 m."
    assert "rent 2.75 m more" in found.mend
    plates = replace_catalog("arch foot plate", owned=1)
    (each,) = cautions.about_owned([need(item="arch foot plate", used=3, spare=0)], plates)
    assert each.what == "Arch foot plate: the job takes 3, you own 1."


def test_prices_below_the_floor_and_without_a_reason() -> None:
    made = plan(column().replace('name = "Column"', 'name = "Column"\nprice = 40', 1))
    studio = Studio()
    piece = made.options[0].pieces[0]
    assert piece.price is not None
    found = price_findings(made.options, made.job, studio)
    places = [(f.code, f.place) for f in found]
    assert ("no-price-reason", "pieces[0].price_reason") in places
    share = piece.price.margin_share
    for floor, told in ((share, False), (share + Decimal("0.0001"), True)):
        pricing = studio.pricing.model_copy(update={"floor": floor})
        rows = price_findings(
            made.options, made.job, studio.model_copy(update={"pricing": pricing})
        )
        assert ("below-floor" in {f.code for f in rows if f.place == "pieces[0].price"}) is told
    (said,) = [f for f in rows if f.place == "pieces[0].price"]
    assert said.what == (
        f'Of the price of "Column", $40.00, only {share * 100:.0f} % are left; '
        f"your floor is {(share + Decimal('0.0001')) * 100:.0f} %."
    )
    assert "cheaper to build" in said.mend
    assert [f.severity.value for f in found if f.code == "no-price-reason"] == ["hint"]
    assert 'price of "Column" was set by hand' in next(
        f.what for f in found if f.code == "no-price-reason"
    )


def test_an_option_at_a_loss() -> None:
    text = column() + '\n[[options]]\nname = "Package"\npieces = ["Column"]\npackage_price = 9\n'
    made = plan(text)
    found = {(f.code, f.place): f for f in price_findings(made.options, made.job, Studio())}
    assert set(found) == {
        ("below-floor", "options[0]"),
        ("no-price-reason", "options[0].price_reason"),
    }
    assert found["below-floor", "options[0]"].what.startswith(
        'Of the price of "Package", $9.00, only'
    )
    wrong = refused_price(MoneyError("What.", "Mend."), "options[3]")
    assert (wrong.code, wrong.place, wrong.what, wrong.mend, wrong.severity.value) == (
        "no-price", "options[3]", "What.", "Mend.", "error")  # fmt: skip


def test_an_option_has_its_own_counts() -> None:
    pieces = [bare(stock("11in"), name=name) for name in ("A", "B")]
    text = column() + '\n[[options]]\nname = "x"\npieces = ["Column"]\n'
    option = job(text).options[0].model_copy(update={"counts": {"A": 3, "B": 1}})
    found = with_counts(option, pieces)
    assert [piece.count for piece in found] == [3, 1]
    assert found[1] is pieces[1]


@pytest.mark.parametrize(
    ("access", "strike", "late"),
    [
        ("08:00", "22:00", False),
        ("07:59", "22:00", True),
        ("08:00", "22:01", True),
        ("16:00", "01:00", True),
        ("16:00", "08:00", False),
    ],
)
def test_out_of_the_usual_hours(access: str, strike: str, late: bool) -> None:
    usual = Studio().out_of_hours
    studio = Studio(out_of_hours=usual.model_copy(
        update={"start": "08:00", "end": "22:00", "rule": "flat", "price": Decimal(70)}
    ))  # fmt: skip
    made = job(column())
    guests = "18:00" if strike < access else made.job.guests  # taken down the next day
    timed = made.model_copy(
        update={
            "venue": made.venue.model_copy(update={"access": access}),
            "job": made.job.model_copy(update={"strike": strike, "guests": guests}),
        }
    )
    told = {line.kind.value: line.price for line in make_plan(timed, studio).options[0].lines}
    assert told.get("out of hours") == (Decimal(70) if late else None)
