"""How many balloons fill a net, a bag or a van, and how large one must be."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from airwright.catalog import Balloon, Catalog
from airwright.decor.context import stock_of
from airwright.job.cluster import Inflated
from airwright.language import message
from airwright.physics.errors import OutOfRangeError, require
from airwright.physics.loose_packing import balloons_in, container_for
from airwright.plan.answers.base import Answer
from airwright.plan.floating import filled
from airwright.plan.surroundings import Surroundings


@dataclass(frozen=True, slots=True)
class FillAnswer(Answer):
    """Balloons lying loosely in a container.

    Attributes:
        size, made_m, balloon_m3: one balloon, its diameter and volume [m], [m³].
        container_m3, narrowest_m: the container, None where it is what is asked for [m³], [m].
        fewest, usual, most: how many fill it, None without a container.
        wanted, needed_m3: how many are to go in, and what holds them [m³], else None.
        round_net_m: across a round net as long as it is wide that holds them, else None [m].
    """

    size: str
    made_m: float
    balloon_m3: float
    container_m3: float | None
    narrowest_m: float | None
    fewest: int | None
    usual: int | None
    most: int | None
    wanted: int | None
    needed_m3: float | None
    round_net_m: float | None
    doubts: tuple[str, ...]


def fill_answer(
    row: Balloon,
    made: Inflated,
    catalog: Catalog,
    around: Surroundings,
    *,
    container_m3: float | None = None,
    narrowest_m: float | None = None,
    wanted: int | None = None,
) -> FillAnswer:
    """Reckon a fill.

    Args:
        row, made: the balloon and its diameter.
        catalog: holds `row` under its size.
        around: where it is filled.
        container_m3: inner volume when bulging full [m³].
        narrowest_m: least inner width; None leaves the walls out [m].
        wanted: how many are to go in.

    Raises:
        PhysicsError: neither container nor count, or out of range.
    """
    if container_m3 is None and wanted is None:
        raise OutOfRangeError(
            "whole question",
            "how many",
            message("Say how large the net is, or how many balloons go in."),
        )
    if container_m3 is not None:
        cure = message("A hundred cubic centimeters to a hall: check the unit.")
        require("container", container_m3, cure, low=1e-4, high=1e5, unit="m³")
    stock = stock_of(row, made)
    body = filled((stock,), catalog.with_rows(balloons=[row]), around)
    one = float(body.volume_m3[0])
    fewest = usual = most = None
    if container_m3 is not None:
        counts = balloons_in(container_m3, one, narrowest_m)
        fewest, usual, most = int(counts.fewest), int(counts.usual), int(counts.most)
    needed = None if wanted is None else float(container_for(wanted, one))
    return FillAnswer(
        size=row.size,
        made_m=stock.inflated_m,
        balloon_m3=one,
        container_m3=container_m3,
        narrowest_m=narrowest_m,
        fewest=fewest,
        usual=usual,
        most=most,
        wanted=wanted,
        needed_m3=needed,
        # a cylinder as long as wide: V = pi/4 d^3
        round_net_m=None if needed is None else float(np.cbrt(4 * needed / np.pi)),
        doubts=(
            message(
                "From loosely poured to shaken down, 55 to 64 % of the room is balloon; "
                "soft balloons pressed together go beyond that, slack nets stay near the "
                "fewest."
            ),
        ),
    )
