"""What helium let out into a room or a van does to the air one breathes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.physics.errors import require
from airwright.physics.types import Floats, Real

FRESH_OXYGEN = 0.209
OXYGEN_LIMIT = 0.195
"""Below it air counts as oxygen-deficient (29 CFR 1910.134 and 1910.146; from memory)."""


@dataclass(frozen=True, eq=False)
class RoomOxygen:
    """Oxygen share [-] if gas pushes air out unmixed (worst), and if it mixes while leaving."""

    displaced: Floats
    mixed: Floats


def oxygen_after_release(gas_m3: Real, room_m3: Real) -> RoomOxygen:
    """Oxygen left in a closed space after a release of gas.

    Formula: displaced 0.209 (1 - V/R); mixed 0.209 exp(-V/R).

    Parameters
    ----------
    gas_m3 : float or array (N,), [m³]
        Gas released, at room conditions.
    room_m3 : float or array (N,), [m³]
        Free volume of the room or van.

    Returns
    -------
    oxygen : RoomOxygen
        Both shares [-].

    Validity
    --------
    Gas from zero, room above zero; else OutOfRangeError. Helium collects under the ceiling:
    heads on a ladder may meet worse than either figure.

    References
    ----------
    [1] Mass balance of a well-mixed volume.
    """
    room = require("room volume", room_m3, "Length x width x height.", low=0.0, above=True)
    gas = require("gas released", gas_m3, "From zero.", low=0.0)
    share = gas / room
    return RoomOxygen(
        np.asarray(FRESH_OXYGEN * np.maximum(1.0 - share, 0.0))[()],
        np.asarray(FRESH_OXYGEN * np.exp(-share))[()],
    )


def least_room(gas_m3: Real, limit: float = OXYGEN_LIMIT) -> Floats:
    """Smallest closed room in which a release keeps the oxygen above a limit, unmixed.

    Formula: R = V/(1 - limit/0.209).

    Parameters
    ----------
    gas_m3 : float or array (N,), [m³]
        Gas that could escape (the whole cylinder).
    limit : float, [-]
        Oxygen share to keep.

    Returns
    -------
    room : array (N,), [m³]
        Free volume; 15 times the gas at 19.5 %.

    Validity
    --------
    Limit 0.1 to 0.208; else OutOfRangeError.

    References
    ----------
    [1] `oxygen_after_release`.
    """
    keep = float(require("oxygen limit", limit, "0.195 is usual.", low=0.1, high=0.208))
    gas = require("gas", gas_m3, "From zero.", low=0.0)
    return np.asarray(gas / (1.0 - keep / FRESH_OXYGEN))[()]


def airing_hours(oxygen: Real, air_changes_per_h: Real, limit: float = OXYGEN_LIMIT) -> Floats:
    """Time of airing until the oxygen is back above a limit.

    Formula: t = ln((0.209 - x)/(0.209 - limit))/n.

    Parameters
    ----------
    oxygen : float or array (N,), [-]
        Oxygen share now.
    air_changes_per_h : float or array (N,), [1/h]
        Fresh air per hour over the room's volume; an open door gives some 5.
    limit : float, [-]
        Oxygen share to reach.

    Returns
    -------
    hours : array (N,), [h]
        0 when it is above already.

    Validity
    --------
    Oxygen 0 to 0.209, air changes above zero; else OutOfRangeError. Nobody goes in to open
    the door: open from outside, and wait.

    References
    ----------
    [1] Decay in a well-mixed room.
    """
    x = require("oxygen share", oxygen, "0 to 0.209.", low=0.0, high=FRESH_OXYGEN)
    n = require("air changes", air_changes_per_h, "Above zero.", low=0.0, above=True)
    gap = np.maximum((FRESH_OXYGEN - x) / (FRESH_OXYGEN - limit), 1.0)
    return np.asarray(np.log(gap) / n)[()]
