"""Sizes shared by the packing tests."""

from __future__ import annotations

import pytest

INCH = 0.0254


@pytest.fixture(scope="session")
def quad_radius() -> float:
    """An 11 in balloon inflated to 9.5 in [m]."""
    return 4.75 * INCH
