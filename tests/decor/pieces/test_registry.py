"""Every kind of piece: registered once, its example runs, its keys carry help."""

from __future__ import annotations

import pytest

from airwright.decor.assembly import Role
from airwright.decor.pieces import KINDS, SPECS
from airwright.job import read_job
from airwright.job.records import records
from tests.decor.pieces.helpers import CTX, SHADES, assert_sound, made, spec_of

HEAD = """\
format = "airwright-job/1"
[job]
title  = "Saltmarsh trial"
date   = 2027-05-22
guests = "10:00"
strike = "18:00"
[shades]
"""


@pytest.mark.parametrize("kind", KINDS)
def test_the_example_reads_checks_and_builds(kind: str) -> None:
    shades = "\n".join(f'{name} = "{rgb}"' for name, rgb in SHADES.items())
    text = f"{HEAD}{shades}\n[[pieces]]\n{KINDS[kind].example}"
    reading = read_job(text, SPECS)
    assert reading.job is not None, reading.findings
    (piece,) = reading.job.pieces
    found = KINDS[kind].check(piece, CTX, "pieces[0]")
    assert all(finding.severity == "hint" for finding in found), found
    assert_sound(KINDS[kind].build(piece, CTX))


@pytest.mark.parametrize("kind", KINDS)
def test_building_twice_gives_the_same_piece(kind: str) -> None:
    one, two = made(kind), made(kind)
    assert (one.centre == two.centre).all()
    assert (one.shade == two.shade).all()


@pytest.mark.parametrize("kind", KINDS)
def test_a_spec_survives_being_written_and_read(kind: str) -> None:
    spec = spec_of(kind)
    again = KINDS[kind].spec.model_validate_json(spec.model_dump_json())
    assert again == spec


@pytest.mark.parametrize("kind", KINDS)
def test_every_key_says_what_it_is(kind: str) -> None:
    rows = records(SPECS[kind])
    assert len(rows) > 5
    for row in rows:
        assert row.help.endswith("."), row.path
        assert row.help[0].isupper(), row.path


@pytest.mark.parametrize("kind", KINDS)
def test_steps_are_sentences_in_building_order(kind: str) -> None:
    piece = made(kind)
    assert len(piece.steps) >= 2
    for step in piece.steps:
        assert step.title
        assert not step.title.endswith(".")
        assert step.text.rstrip().endswith(".")
    assert all(role in set(Role) for role in piece.role)


@pytest.mark.parametrize("kind", KINDS)
def test_the_estimate_is_cheap_and_near(kind: str) -> None:
    spec = spec_of(kind)
    assert KINDS[kind].estimate(spec, CTX) == pytest.approx(len(made(kind)), rel=0.3)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "column"])
def test_an_unknown_shade_is_named_with_a_cure(kind: str) -> None:
    from tests.decor.pieces.helpers import findings_of

    changes = {"shades": ["corall"]}
    if kind == "bouquet":
        changes = {"balloons": [{"balloon": "12in @ 11in", "shades": ["corall"]}]}
    (found,) = [f for f in findings_of(kind, **changes) if f.code == "unknown-shade"]
    assert "coral" in found.mend
    assert found.place.startswith("pieces[0]")


def test_fillers_are_tucked_in_without_being_crushed_or_sunk_into_the_floor() -> None:
    filler = {"cluster": "4 x 5in @ 4.5in", "count": 4, "shades": ["gold"]}
    cluster = "2 x 17in @ 15in + 4 x 11in @ 10in"
    clouds = [
        {"at": at, "cluster": cluster, "shades": ["teal", "white"]} for at in ("foot", "head")
    ]
    piece = made("column", body=None, shades=None, clouds=clouds, fillers=filler)
    assert_sound(piece)
    assert (piece.role == Role.FILLER).sum() == 16
    assert_sound(made("arch", fillers=filler))
    assert_sound(made("column", fillers=filler))
