"""Our unit factors against the pint library (version in requirements.lock)."""

import pint
import pytest

from airwright.units import KINDS, Kind

PINT_NAMES = {
    "in": "inch", "ft": "foot", "yd": "yard", "mi": "mile", "C": "degC", "F": "degF",
    "K": "kelvin", "kn": "knot", "mph": "mile/hour", "km/h": "kilometer/hour",
    "m/s": "meter/second", "ft/s": "foot/second", "m3": "meter**3", "ft3": "foot**3", "L": "liter",
    "oz": "ounce", "lb": "pound", "lbf": "pound_force", "h": "hour", "min": "minute", "d": "day",
    "s": "second", "g": "gram",
}  # fmt: skip
SI = {"C": "degC", "h": "hour", "m3": "meter**3", "m/s": "meter/second"}


@pytest.mark.other_program
@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_factors_match_pint(compare, kind: Kind) -> None:
    registry = pint.UnitRegistry()
    for symbol in dict.fromkeys(unit.symbol for unit in kind.units.values()):
        unit = kind.units[symbol]
        theirs = registry.Quantity(7.5, PINT_NAMES.get(symbol, symbol)).to(SI.get(kind.si, kind.si))
        compare(
            unit.scale * 7.5 + unit.offset,
            theirs.magnitude,
            rtol=1e-12,
            source="pint unit registry",
            what=f"7.5 {symbol} in {kind.si}",
            unit=kind.si,
        )
