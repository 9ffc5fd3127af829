"""What the tests of all kinds of piece need: building from TOML, and reading an Assembly."""

from __future__ import annotations

import tomllib
from collections import Counter
from typing import Any

import numpy as np
from scipy.spatial import cKDTree

from airwright.catalog import Family, default_catalog
from airwright.decor.assembly import Assembly, Shade
from airwright.decor.context import Context
from airwright.decor.pieces import KINDS
from airwright.job.findings import Finding, has_errors

SHADES = {
    "coral": "#f0705a",
    "sand": "#e8d5b7",
    "teal": "#1f7a7a",
    "white": "#f7f5f0",
    "gold": "#c9a24b",
}
CTX = Context(default_catalog(), {name: Shade(name, rgb) for name, rgb in SHADES.items()})


def spec_of(kind: str, **changes: Any) -> Any:
    """The kind's example with some keys changed (None takes a key out)."""
    table = {**tomllib.loads(KINDS[kind].example), **changes}
    table = {key: value for key, value in table.items() if value is not None}
    return KINDS[kind].spec.model_validate(table)


def findings_of(kind: str, **changes: Any) -> list[Finding]:
    return KINDS[kind].check(spec_of(kind, **changes), CTX, "pieces[0]")


def codes_of(kind: str, **changes: Any) -> set[str]:
    """Codes of the errors only."""
    return {f.code for f in findings_of(kind, **changes) if f.severity == "error"}


def made(kind: str, **changes: Any) -> Assembly:
    """Checked, then built."""
    spec = spec_of(kind, **changes)
    found = KINDS[kind].check(spec, CTX, "pieces[0]")
    assert not has_errors(found), found
    return KINDS[kind].build(spec, CTX)


def counts(piece: Assembly) -> Counter[tuple[str, str]]:
    """How many of each size and shade."""
    return Counter(
        (piece.stocks[stock].size, piece.shades[shade].name)
        for stock, shade in zip(piece.stock, piece.shade, strict=True)
    )


def sizes(piece: Assembly) -> Counter[str]:
    return Counter(piece.stocks[stock].size for stock in piece.stock)


def shades(piece: Assembly) -> Counter[str]:
    return Counter(piece.shades[shade].name for shade in piece.shade)


def deepest_overlap(piece: Assembly) -> float:
    """The deepest two balloons run into each other, over the smaller one's diameter."""
    pairs = cKDTree(piece.centre).query_pairs(2 * piece.radius.max(), output_type="ndarray")
    if len(pairs) == 0:
        return 0.0
    # A foil letter is no ball: its radius only says how high it is.
    flat = np.array([stock.family is Family.FOIL for stock in piece.stocks])[piece.stock]
    pairs = pairs[~(flat[pairs[:, 0]] & flat[pairs[:, 1]])]
    if len(pairs) == 0:
        return 0.0
    apart = np.linalg.norm(piece.centre[pairs[:, 0]] - piece.centre[pairs[:, 1]], axis=1)
    overlap = piece.radius[pairs].sum(axis=1) - apart
    return float((overlap / (2 * piece.radius[pairs].min(axis=1))).max())


def sunk(piece: Assembly) -> float:
    """How far a balloon is pressed into the floor, over its radius, at least 0."""
    return max(0.0, float((1 - piece.centre[:, 2] / piece.radius).max()))


def assert_sound(piece: Assembly) -> None:
    """What holds for every piece, whatever its kind."""
    assert len(piece) > 0
    assert piece.residual.converged
    assert deepest_overlap(piece) <= 0.20
    assert sunk(piece) <= 0.25  # pressed flat, as on any floor
    assert np.allclose(np.linalg.norm(piece.axis, axis=1), 1)
    shown = [row for step in piece.steps for row in step.balloons]
    assert sorted(shown) == list(range(len(piece)))  # each balloon in exactly one step
    for part in ("hardware", "strands", "fabrics"):
        seen = [index for step in piece.steps for index in getattr(step, part)]
        assert sorted(seen) == list(range(len(getattr(piece, part))))
    operations = CTX.catalog.operations
    assert all(row.operation in operations and row.quantity > 0 for row in piece.operations)
    assert all(row.item in CTX.catalog.hardware for row in piece.hardware)
