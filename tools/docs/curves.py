"""Curves for the calculators page, drawn from the very functions the commands answer with.

    python -m tools.docs.curves

Not checked for freshness, like the other pictures.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np

from airwright.catalog import default_catalog
from airwright.decor.assembly import Shade
from airwright.job.cluster import Inflated
from airwright.job.models import Finish
from airwright.job.studio import Helium
from airwright.plan.answers import (
    cylinder_answer,
    fill_answer,
    fresh_answer,
    lift_answer,
    room_answer,
    size_answer,
    string_answer,
    wind_answer,
)
from airwright.plan.answers.string import string_points
from airwright.plan.surroundings import EVERYDAY
from airwright.units import INCH_M
from tools.docs.plot import Chart, Curve, svg

DOCS = Path(__file__).resolve().parents[2] / "docs" / "pictures"
CATALOG = default_catalog()
GREY = Shade("grey", "#808080")
OUTSIDE = replace(EVERYDAY, setting="open air", push_n=0.0)


def made(size: str, inches: float) -> Inflated:
    return Inflated(size, inches * INCH_M)


def size_by_warmth() -> Chart:
    peaks = np.linspace(5, 45, 21)
    row = CATALOG.balloon("11in")

    def then(inches: float) -> list[float]:
        return [
            size_answer(row, made("11in", inches), GREY, replace(EVERYDAY, peak_c=float(c))).then_m
            / INCH_M
            for c in peaks
        ]

    return Chart(
        "An 11 in balloon made at 20 °C, taken elsewhere",
        "air there, in the shade [°C]",
        "diameter there [in]",
        [Curve(f"made {d:g} in", peaks.tolist(), then(d)) for d in (10.5, 10.0, 9.5, 9.0)],
        levels=[(11.0, "nominal size"), (10.45, "5 % kept free")],
        from_zero=False,
    )


def sun_by_shade() -> Chart:
    greys = np.linspace(0, 255, 18)
    row = CATALOG.balloon("11in")
    sunny = replace(EVERYDAY, peak_c=25.0, in_sun=True)

    def gas(finish: Finish) -> list[float]:
        shades = [Shade("grey", "#" + 3 * f"{int(grey):02x}", finish) for grey in greys]
        return [size_answer(row, made("11in", 9.5), shade, sunny).gas_c for shade in shades]

    finishes: tuple[Finish, ...] = ("matte", "pearl", "metallic", "clear")

    return Chart(
        "How warm the gas gets in full sun, air at 25 °C",
        "shade: 0 black to 100 white [%]",
        "gas [°C]",
        [Curve(finish, (greys / 2.55).tolist(), gas(finish)) for finish in finishes],
        levels=[(25.0, "air")],
        from_zero=False,
    )


def float_by_size() -> Chart:
    shares = np.linspace(0.6, 1.0, 17)
    curves = []
    for size in ("36in", "24in", "17in", "11in"):
        row = CATALOG.balloon(size)
        found = [
            lift_answer(
                row, made(size, share * row.nominal_in), 1, 2.0, 0.0, CATALOG, EVERYDAY, Helium()
            )
            for share in shares
        ]
        up = [(s, a) for s, a in zip(shares, found, strict=True) if a.floats and a.shortest_h > 0.5]
        curves.append(
            Curve(
                size,
                [100 * float(s) for s, _ in up],
                [a.usual_h for _, a in up],
                [a.shortest_h for _, a in up],
                [a.longest_h for _, a in up],
            )
        )
    return Chart(
        "Float time without coating, with 2 m of ribbon",
        "filled to, of the nominal size [%]",
        "hours",
        curves,
        log_y=True,
    )


def lift_by_diameter() -> Chart:
    curves = []
    for size in ("24in", "17in", "11in"):
        row = CATALOG.balloon(size)
        inches = np.linspace(0.6 * row.nominal_in, row.nominal_in, 15)
        net = [
            1000
            * lift_answer(
                row, made(size, float(d)), 1, 0.0, 0.0, CATALOG, EVERYDAY, Helium()
            ).net_lift_kg
            for d in inches
        ]
        curves.append(Curve(size, inches.tolist(), net))
    return Chart(
        "What is left to lift ribbon and tail",
        "diameter filled to [in]",
        "net lift [g]",
        curves,
    )


def ballast_by_gust() -> Chart:
    gusts = np.linspace(0, 12, 25)

    def ballast(base_m: float) -> list[float]:
        return [
            wind_answer(
                2.1, 0.56, 6.2, base_m, replace(OUTSIDE, gust_m_s=float(g))
            ).found.ballast_needed_kg
            for g in gusts
        ]

    return Chart(
        "Ballast for a column 2.1 m tall and 56 cm wide, factor 1.5",
        "gust [m/s]",
        "ballast [kg]",
        [Curve(f"base {b * 100:.0f} cm", gusts.tolist(), ballast(b)) for b in (0.4, 0.6, 0.9)],
        y_most=110.0,
    )


def cylinder_by_pressure() -> Chart:
    bars = np.linspace(1, 300, 31)
    found = [cylinder_answer(0.05, b * 1e5, "gauge") for b in bars]
    return Chart(
        "What a 50 L cylinder holds",
        "dial [bar gauge]",
        "helium at 15 °C [m³]",
        [
            Curve("ideal gas", bars.tolist(), [a.ideal_m3 for a in found], dashed=True),
            Curve("helium", bars.tolist(), [a.contents_m3 for a in found]),
        ],
    )


def string_shapes() -> Chart:
    curves = []
    for length in (14.0, 11.0, 9.0, 7.0):
        points = string_points(6.0, length)
        curves.append(
            Curve(
                f"{length:g} m of line",
                points[:, 0].tolist(),
                points[:, 1].tolist(),
                name_on_top=True,
            )
        )
    return Chart(
        "A string of floating balloons over 6 m", "between its weights [m]", "height [m]", curves,
        square=True,
    )  # fmt: skip


def string_in_breeze() -> Chart:
    winds = np.linspace(0, 5, 21)

    def top(size: str, count: int) -> list[float]:
        row = CATALOG.balloon(size)
        full = made(size, 0.95 * row.nominal_in)
        one = lift_answer(row, full, 1, 0.0, 0.0, CATALOG, EVERYDAY, Helium())
        lift, across = one.net_lift_kg, one.made_m
        return [
            string_answer(6.0, 11.0, count, lift, across, breeze_m_s=float(wind)).blown_height_m
            for wind in winds
        ]

    return Chart(
        "The same string, 11 m long, in a breeze across it",
        "breeze [m/s]",
        "height of its top [m]",
        [
            Curve(f"{count} × {size}", winds.tolist(), top(size, count))
            for size, count in (("36in", 12), ("17in", 25), ("11in", 40))
        ],
    )


def oxygen_by_room() -> Chart:
    rooms = np.linspace(2, 150, 75)
    curves = []
    for litres in (10, 20, 50):
        gas = cylinder_answer(litres / 1000, 200e5, "gauge").contents_m3
        share = [100 * room_answer(gas, float(r)).worst_oxygen for r in rooms]
        curves.append(Curve(f"{litres} L cylinder", rooms.tolist(), share))
    return Chart(
        "Oxygen left when a full cylinder empties, at worst",
        "room or van [m³]",
        "oxygen [%]",
        curves,
        levels=[(19.5, "limit 19.5 %")],
    )


def fresh_by_warmth() -> Chart:
    warm = np.linspace(5, 40, 15)
    curves = []
    for place in ("indoors", "shade", "sun"):
        found = [fresh_answer(place, float(c), 1.0, 0.0) for c in warm]
        curves.append(
            Curve(
                place,
                warm.tolist(),
                [a.good_usual_h for a in found],
                [a.good_shortest_h for a in found],
                [a.good_longest_h for a in found],
            )
        )
    return Chart(
        "How long air-filled latex stays fresh (common practice)", "mean temperature [°C]",
        "hours", curves, log_y=True,
    )  # fmt: skip


def fill_by_size() -> Chart:
    inches = np.linspace(5.5, 11, 23)
    row = CATALOG.balloon("11in")
    found = [
        fill_answer(row, made("11in", float(d)), CATALOG, EVERYDAY, container_m3=1.0)
        for d in inches
    ]
    return Chart(
        "Balloons that fill one cubic metre (35 ft³)",
        "diameter made [in]",
        "balloons",
        [
            Curve(
                "usual",
                inches.tolist(),
                [float(a.usual or 0) for a in found],
                [float(a.fewest or 0) for a in found],
                [float(a.most or 0) for a in found],
            )
        ],
    )


CHARTS = {
    "curve-size": size_by_warmth,
    "curve-sun": sun_by_shade,
    "curve-lift": lift_by_diameter,
    "curve-float": float_by_size,
    "curve-wind": ballast_by_gust,
    "curve-cylinder": cylinder_by_pressure,
    "curve-string": string_shapes,
    "curve-breeze": string_in_breeze,
    "curve-room": oxygen_by_room,
    "curve-fresh": fresh_by_warmth,
    "curve-fill": fill_by_size,
}


def drawn() -> Iterator[tuple[str, str]]:
    """Name and SVG of every chart."""
    for name, chart in CHARTS.items():
        yield name, svg(chart())


def main() -> int:
    DOCS.mkdir(exist_ok=True)
    for name, drawing in drawn():
        path = DOCS / f"{name}.svg"
        path.write_text(drawing, encoding="utf-8")
        print(f"docs/pictures/{path.name}: {path.stat().st_size / 1000:.0f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main())
