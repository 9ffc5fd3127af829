"""Foil numbers and letters: one a sign, strung, on poles or floating; their gas and film."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from airwright.catalog import UnknownName, default_catalog
from airwright.decor.assembly import Role
from airwright.decor.foil_body import foil_measures, foil_sign
from airwright.decor.parts.lift import net_lift, volume
from airwright.decor.pieces import foils
from tests.decor.pieces.helpers import assert_sound, findings_of, made, sizes

CATALOG = default_catalog()
SIGNS = list(CATALOG.figures)


def test_each_sign_is_one_foil_of_its_name() -> None:
    piece = made("foils", text="Ferry 40", shades=["gold", "teal"])
    assert_sound(piece)
    assert sizes(piece) == {
        f"34in foil {s}": n for s, n in zip("FERY40", (1, 1, 2, 1, 1, 1), strict=True)
    }
    names = [piece.shades[at].name for at in piece.shade]
    assert names == ["gold", "teal", "gold", "teal", "gold", "teal", "gold"]


@pytest.mark.parametrize(
    ("on", "text"), [("stand", "7"), ("stand", "ANCHOR"), ("hooks", "A B"), ("weights", "40")]
)
def test_every_way_to_hold_them(on: str, text: str) -> None:
    piece = made("foils", on=on, text=text, size="40in")
    assert_sound(piece)
    tops = piece.centre[:, 2] + piece.radius
    assert tops == pytest.approx(1.8288)
    assert (np.diff(piece.centre[:, 0]) > 0).all()
    floats = on == "weights"
    assert all(stock.helium is floats for stock in piece.stocks)
    assert (piece.role == (Role.FLOATER if floats else Role.BODY)).all()
    uses = {part.use for part in piece.hardware}
    assert uses == {"stand": {"base", "pole"}, "hooks": {"anchor"}, "weights": {"weight"}}[on]


def test_as_many_weights_are_put_out_as_are_taken_along(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(foils, "FACTOR", 40.0)  # so much pull that one weight does not hold it
    piece = made("foils", on="weights", text="40", size="40in")
    taken = sum(part.quantity for part in piece.hardware if part.use == "weight")
    assert taken > 2
    first = piece.steps[0]
    assert f"Put out {taken:.0f} weights in a row." in first.text


def test_neighbours_stand_clear_of_each_other() -> None:
    piece = made("foils", text="WM", apart="2 in")
    middle = (piece.centre[0, 0] + piece.centre[1, 0]) / 2
    widths = [foil_width(sign) * 30.5 * 0.0254 for sign in "WM"]
    gap = piece.centre[1, 0] - piece.centre[0, 0] - sum(widths) / 2
    assert gap == pytest.approx(2 * 0.0254)
    assert abs(middle) < 0.2


def foil_width(sign: str) -> float:
    from airwright.decor.foil_body import foil_shape

    x0, _, x1, _ = foil_shape(sign).bounds
    return float(x1 - x0)


def test_the_catalogue_weighs_each_figure_by_its_outline() -> None:
    areas = np.array([foil_measures(sign)[0] for sign in SIGNS])
    shares = np.array([CATALOG.figures[sign] for sign in SIGNS])
    assert shares == pytest.approx(areas / areas.mean(), rel=2e-3)
    whole, seven = CATALOG.balloons["34in foil figure"], CATALOG.balloon("34in foil 7")
    assert seven.mass_g == pytest.approx(whole.mass_g * CATALOG.figures["7"])
    assert (seven.outline, seven.size) == ("7", "34in foil 7")
    for name in ("34in foil ?", "35in foil 7", "18in foil 7"):
        with pytest.raises(UnknownName):
            CATALOG.balloon(name)


@pytest.mark.parametrize("sign", SIGNS)
def test_which_sizes_float(sign: str) -> None:
    """Common practice: 16 in foils are for air, those of 34 and 40 in float."""
    net = {}
    for size in ("16in", "34in", "40in"):
        row = CATALOG.balloon(f"{size} foil {sign}")
        piece = made("foils", text=sign, size=size)
        net[size] = net_lift(piece.stocks[0], row.mass_g, 0.0)
    assert net["16in"] < 0 < net["34in"] < net["40in"]


def test_gas_grows_with_the_cube() -> None:
    small, large = (made("foils", text="5", size=size).stocks[0] for size in ("16in", "40in"))
    assert volume(large) / volume(small) == pytest.approx((40 / 16) ** 3)


def test_the_volume_of_a_stroke_is_that_of_a_round_bar() -> None:
    """An I is a strip with rounded corners: w² l / pi, less what its two ends lose."""
    area, full = foil_measures("I")
    wide, tall = foil_width("I"), 1.0
    assert area == pytest.approx(wide * tall, rel=0.02)
    # the ends: within w / 2 of them the distance to the rim is smaller
    whole = wide**2 * tall / np.pi
    pyramids = 4 / np.pi * 2 * (wide**3 / 24)
    assert full == pytest.approx(whole - pyramids, rel=0.03)


def test_a_disc_by_the_same_rule_is_nine_per_cent_too_full() -> None:
    """4/3 R³ against 1.2185 R³ of a round foil (Paulsen 1994)."""
    disc = shapely.Point(0, 0).buffer(1.0, quad_segs=200)
    xs = np.arange(-0.995, 1.0, 0.01)
    points = shapely.points(*np.meshgrid(xs, xs))
    inward = shapely.distance(disc.boundary, points)[shapely.contains(disc, points)]
    assert 4 / np.pi * inward.sum() * 1e-4 == pytest.approx(4 / 3, rel=5e-3)
    assert pytest.approx(1.09, abs=0.01) == 4 / 3 / 1.2185


def test_signs_of_outlines() -> None:
    assert [foil_sign(x) for x in ("5", "letter A", "figure 7", "star", "round", None)] == [
        "5",
        "A",
        "7",
        None,
        None,
        None,
    ]


def test_what_cannot_be_is_told_with_place_and_cure() -> None:
    for changes, code, place in (
        ({"text": "  "}, "missing", "text"),
        ({"text": "4?"}, "no-glyph", "text"),
        ({"text": "Ü"}, "no-glyph", "text"),
        ({"on": "weights", "size": "16in"}, "does-not-float", "size"),
        ({"height": "2 ft"}, "too-low", "height"),
        ({"height": "38 ft"}, "no-pole", "height"),
    ):
        found = [f for f in findings_of("foils", **changes) if f.severity == "error"]
        assert [f.code for f in found] == [code], changes
        assert found[0].place == f"pieces[0].{place}"
        assert found[0].mend
    (found,) = findings_of(
        "bouquet", balloons=[{"balloon": "34in foil figure", "shades": ["gold"]}]
    )
    assert found.code == "which-figure"
    assert "34in foil 7" in found.mend
