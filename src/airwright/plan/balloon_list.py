"""Every balloon on one list: balloons.csv, for programs and for whoever wants to count again."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from airwright.decor.assembly import Assembly, Role
from airwright.plan.piece_values import PiecePlan
from airwright.plan.values import Plan
from airwright.units import INCH_M

COLUMNS = {
    "piece": "Name of the piece.",
    "copy": "Which of its copies, counted from 1; copies are alike.",
    "cluster": "Number of the cluster it is tied into, from 0; empty for one tied to none.",
    "layer": "Layer from the bottom, or from the start of the line, from 0; empty without layers.",
    "slot": "Place within the cluster, from 0; empty for one tied to none.",
    "role": "`body`, `filler`, `topper`, `floater` or `accent`.",
    "size_in": "Size it is sold as [in].",
    "inflated_in": "Diameter it is inflated to [in].",
    "shade": "Its shade, as named in the job.",
    "x_m": "Centre of its widest circle: right of the piece's middle, seen from the front [m].",
    "y_m": "The same, away from the viewer [m].",
    "z_m": "The same, above the floor [m].",
    "axis_x": "Unit vector from neck to crown: part to the right.",
    "axis_y": "The same: part away from the viewer.",
    "axis_z": "The same: part upwards.",
    "outside": "Shade of the balloon taken from the bag, the outer one where one is in another.",
    "inside": "Shade of the balloon inside it; empty where there is none.",
}
"""Column → what it holds. Columns may be added, none is changed or dropped."""

DECIMALS = 4
"""Of lengths in metres and of unit vectors: a tenth of a millimetre."""


def balloon_list(plan: Plan) -> str:
    """balloons.csv: one line a balloon of every copy of every piece, in the piece's own axes.

    Modelling balloons used flat as ties and loops are not placed in space and are left out;
    the counts in plan.json name them with the role `tie`.
    """
    out = io.StringIO()
    lines = csv.writer(out, lineterminator="\n")
    lines.writerow(COLUMNS)
    for piece in plan.pieces:
        lines.writerows(_rows(piece))
    return out.getvalue()


def _rows(piece: PiecePlan) -> Iterator[list[object]]:
    alike = list(_balloons(piece.assembly))
    for copy in range(1, piece.count + 1):
        for row in alike:
            yield [piece.name, copy, *row]


def _balloons(assembly: Assembly) -> Iterator[list[object]]:
    places = zip(assembly.cluster, assembly.layer, assembly.slot, strict=True)
    for at, place in enumerate(places):
        stock = assembly.stocks[assembly.stock[at]]
        yield [
            *("" if number < 0 else int(number) for number in place),
            Role(int(assembly.role[at])).label,
            round(stock.nominal_m / INCH_M, 3),
            round(stock.inflated_m / INCH_M, 3),
            assembly.shades[assembly.shade[at]].name,
            *(f"{value:.{DECIMALS}f}" for value in (*assembly.centre[at], *assembly.axis[at])),
            *(*assembly.shades[assembly.shade[at]].bags, "")[:2],
        ]
