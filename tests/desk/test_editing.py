"""What a change comes to: only what changed is built, and the arrays are the Assembly's."""

from __future__ import annotations

import base64
import datetime as dt

import numpy as np
import pytest

from airwright.desk.editing.answer import answer, shape_name
from airwright.desk.editing.builder import Builder, price_band
from airwright.desk.editing.shapes import NoShape, shape
from airwright.desk.seed import demo_text
from tests.desk.conftest import House

DEMO = demo_text()


@pytest.fixture(scope="module")
def builder() -> Builder:
    return Builder(lambda: dt.date(2027, 3, 1))


def built_by(builder: Builder, text: str) -> int:
    before = builder.built
    builder.evaluate(text, "")
    return builder.built - before


def test_only_what_changed_is_built(builder: Builder) -> None:
    builder.evaluate(DEMO, "")
    assert built_by(builder, DEMO) == 0
    assert built_by(builder, DEMO.replace("count   = 2", "count   = 5")) == 0
    assert built_by(builder, DEMO.replace('"Swirl column"', '"Tower"')) == 0
    assert built_by(builder, DEMO.replace('"6 ft"                 #', '"7 ft"  #')) == 1
    # Sand is in two pieces.
    assert built_by(builder, DEMO.replace("#e8d5b7", "#e8d5b8")) == 2
    assert builder.built > 3


def test_the_arrays_are_the_assembly(builder: Builder) -> None:
    evaluation = builder.evaluate(DEMO, "")
    told = answer(evaluation, (), price=True, cost=True)
    for row, piece in zip(told.pieces, evaluation.pieces, strict=True):
        made = piece.assembly
        assert made is not None
        assert row.picture is not None
        centre = np.frombuffer(base64.b64decode(row.picture.centre), "<f4").reshape(-1, 3)
        np.testing.assert_allclose(centre, made.centre, atol=1e-6)
        slot = np.frombuffer(base64.b64decode(row.picture.slot), "<i2")
        np.testing.assert_array_equal(slot, made.slot)
        assert row.balloons == len(made)


def test_pictures_the_browser_has_are_left_out(builder: Builder) -> None:
    evaluation = builder.evaluate(DEMO, "")
    keys = [piece.key for piece in evaluation.pieces]
    told = answer(evaluation, keys[:1], price=True, cost=True)
    assert [row.picture is not None for row in told.pieces] == [False, True, True]


def test_a_look_never_raises(builder: Builder) -> None:
    odd = [
        "",
        "x",
        "[job]",
        'format = "airwright-job/1"\npieces = 3',
        "[[pieces]]\n[pieces.a]",
        DEMO.replace("column", "dragon"),
        DEMO.replace("2027-05-22", '"soon"'),
        "\0",
    ]
    for text in odd:
        evaluation = builder.evaluate(text, "broken studio")
        assert evaluation.findings
        assert evaluation.plan is None
        assert evaluation.head().title
        evaluation.summary()


def test_every_shape_of_the_demo_has_a_closed_mesh(builder: Builder) -> None:
    names = {
        shape_name(stock)
        for piece in builder.evaluate(DEMO, "").pieces
        if piece.assembly
        for stock in piece.assembly.stocks
    }
    assert any(name.startswith("pear-") for name in names)
    for name in [*names, "foil-star", "foil-round", "long-30"]:
        mesh = shape(name)
        vertices = np.frombuffer(base64.b64decode(mesh.vertices), "<f4").reshape(-1, 3)
        faces = np.frombuffer(base64.b64decode(mesh.faces), "<u2").reshape(-1, 3)
        assert faces.max() < len(vertices)
        assert np.isfinite(vertices).all()
    pear = np.frombuffer(base64.b64decode(shape("pear-86").vertices), "<f4").reshape(-1, 3)
    assert np.hypot(pear[:, 0], pear[:, 1]).max() == pytest.approx(1.0, abs=0.02)


@pytest.mark.parametrize(
    "name", ["", "pear", "pear-x", "pear-900", "foil-dragon", "long--1", "../x"]
)
def test_what_is_no_shape_is_refused(name: str) -> None:
    with pytest.raises(NoShape):
        shape(name)


def test_a_price_band_holds_the_price() -> None:
    from decimal import Decimal

    for price in ("184.50", "20", "99999.99"):
        low, high = price_band(Decimal(price))
        assert low < Decimal(price) < high
        assert low % 10 == high % 10 == 0


def test_jobs_at_the_top_of_the_book_are_looked_at_before_anybody_asks(house: House) -> None:
    from airwright.desk.warming import warm_likely

    text = DEMO.replace('"6 ft"                 #', '"5 ft 1 in"  #').replace(
        "2027-05-22", "2027-03-02"
    )
    job_id = house.job(text)
    house.desk.builder = Builder(lambda: dt.date(2027, 3, 1))
    warm_likely(house.desk)
    built = house.desk.builder.built
    assert built > 0
    house.visitor().page(f"/jobs/{job_id}")
    assert house.desk.builder.built == built
