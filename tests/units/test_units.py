"""Text to SI and back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwright import units
from airwright.units import KINDS, LENGTH, TEMPERATURE, System, UnitError, parse, show, write


@pytest.mark.parametrize(
    ("text", "metres"),
    [
        ("6 ft", 1.8288),
        ("6 ft 6 in", 1.9812),
        ("6'6\"", 1.9812),
        ("9 1/2 in", 0.2413),
        ("9.5in", 0.2413),
        ("24 cm", 0.24),
        ("-3 ft 6 in", -1.0668),
        ("22 km", 22000.0),
    ],
)
def test_lengths_as_decorators_write_them(text: str, metres: float) -> None:
    assert parse(text, LENGTH) == pytest.approx(metres, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("6", "has no unit"),
        ("", "is not a length"),
        ("6 kg", "is a mass, not a length"),
        ("6 fet", 'Did you mean "feet"?'),
        ("nan m", "cannot be read"),
        ("inf m", "cannot be read"),
        ("1e400 m", "no finite length"),
        ("1 1/0 in", "divides by zero"),
        ("m" * 500, "is not a length"),
        (True, "is not a length"),
        (6, "has no unit"),
        (None, "is not a length"),
    ],
)
def test_what_is_no_length_says_why_and_how_to_mend(text: object, says: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, LENGTH)
    assert says in caught.value.what
    assert "6 ft" in caught.value.mend


def test_temperatures_do_not_add_up() -> None:
    with pytest.raises(UnitError, match="more than one temperature"):
        parse("19 C 20 C", TEMPERATURE)


@given(st.sampled_from(KINDS), st.floats(-1e6, 1e6, allow_nan=False, allow_subnormal=False))
def test_written_quantities_come_back_to_the_bit(kind: units.Kind, value: float) -> None:
    assert parse(write(value, kind), kind) == value


@given(st.floats(-1000, 1000))
def test_shown_lengths_can_be_read_again(metres: float) -> None:
    for system in System:
        again = parse(show(metres, LENGTH, system).replace(",", ""), LENGTH)
        assert math.isclose(again, metres, abs_tol=0.0127 if system is System.FEET else 0.005)


@given(st.text(max_size=80))
def test_any_text_is_read_or_refused_with_a_cure(text: str) -> None:
    refusals: list[UnitError] = []
    for kind in KINDS:
        try:
            assert math.isfinite(parse(text, kind))
        except UnitError as problem:
            refusals.append(problem)
    assert all(problem.what and problem.mend for problem in refusals)
