"""Names for the arrays that physics takes and gives back."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
"""An array of floats; a scalar question gets a numpy scalar, which behaves as a float."""

Real: TypeAlias = float | NDArray[np.float64]
"""One number, or an array of them (one a balloon)."""
