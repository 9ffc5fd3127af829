"""`airwright mix` and `airwright mosaic` as a hand types them."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw
from typer.testing import CliRunner, Result

from airwright.cli.app import app
from airwright.decor.pieces import SPECS
from airwright.job import read_job
from airwright.physics.srgb import light_of
from airwright.pictures.mosaic import seen_from

STOCK = """format = "airwright-stock/1"
[[lots]]
item = "11in round balloon"
shade = "coral"
quantity = 40
[[lots]]
item = "11in round balloon"
shade = "white"
quantity = 12
[[lots]]
item = "5in round balloon"
shade = "teal"
quantity = 100
[[lots]]
item = "11in round balloon"
shade = "navy"
quantity = 0
"""


def run(*arguments: object) -> Result:
    return CliRunner().invoke(app, [str(part) for part in arguments])


@pytest.fixture(scope="module")
def sign(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A drawn harbour sign: a red hull on blue under a white sky."""
    image = Image.new("RGB", (300, 200), "#f7f5f0")
    pen = ImageDraw.Draw(image)
    pen.rectangle((0, 130, 300, 200), fill="#1d3557")
    pen.polygon([(80, 90), (220, 90), (200, 140), (100, 140)], fill="#a9432f")
    path = tmp_path_factory.mktemp("sign") / "harbour sign.png"
    image.save(path)
    return path


def test_mix_takes_only_what_is_on_the_shelf(tmp_path: Path) -> None:
    stock = tmp_path / "stock.toml"
    stock.write_text(STOCK)
    found = run("mix", "#f3d9d2", "--stock", stock, "--json")
    assert found.exit_code == 0, found.output
    told = json.loads(found.stdout)
    used = {row[key] for row in told["recipes"] for key in ("outside", "inside")} - {None}
    assert used == {"coral", "white"}
    assert [row["difference"] for row in told["recipes"]] == sorted(
        row["difference"] for row in told["recipes"]
    )


@pytest.mark.parametrize(
    "arguments",
    [
        ("mix", "red"),
        ("mix", "#c9b8d4", "--size", "11inn"),
        ("mix", "#c9b8d4", "--size", "260"),
        ("mix", "#c9b8d4", "--stock", "nowhere.toml"),
    ],
)
def test_mix_refuses_in_words(arguments: tuple[str, ...]) -> None:
    found = run(*arguments)
    assert found.exit_code == 2
    assert "Traceback" not in found.output
    assert len(found.output.splitlines()) >= 2  # what, and its cure


def test_a_wrong_stock_file_is_told(tmp_path: Path) -> None:
    stock = tmp_path / "stock.toml"
    stock.write_text('format = "airwright-stock/1"\n[[lots]]\nitem = 3\n')
    assert run("mix", "#c9b8d4", "--stock", stock).exit_code == 1


@pytest.mark.parametrize("style", ["smooth", "flat"])
def test_a_sign_becomes_a_wall(sign: Path, tmp_path: Path, style: str) -> None:
    out = tmp_path / "out"
    found = run("mosaic", sign, "--width", "10 ft", "--most", 4, "--style", style,
                "--out", out, "--json")  # fmt: skip
    assert found.exit_code == 0, found.output
    told = json.loads(found.stdout)
    assert told["balloons"] == told["wide"] * told["tall"]
    assert sum(row["count"] for row in told["shades"]) == told["balloons"]
    assert len(told["shades"]) <= 4
    assert told["choice"]["proven"]
    assert told["choice"]["bound"] == pytest.approx(told["choice"]["error"], abs=1e-3)
    assert float(told["price"]) > 0
    with (out / "counts.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert sum(int(row["count"]) for row in rows) == told["balloons"]
    # the job it wrote runs, and takes exactly these balloons
    priced = run("price", out / "mosaic.toml", "--json")
    assert priced.exit_code == 0, priced.output
    reading = read_job((out / "mosaic.toml").read_bytes(), SPECS)
    assert reading.job is not None
    signs = "".join(reading.job.pieces[0].picture)  # type: ignore[attr-defined]
    assert len(signs) == told["balloons"]
    for name in told["files"]:
        assert (out / name).stat().st_size > 0


def test_a_metric_wall_of_duplets_from_a_jobs_shades(sign: Path, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    run("new", job)
    found = run("mosaic", sign, "--width", "2.4 m", "--cluster", "2 x 11in @ 10in", "--shades",
                job, "--crop", "10 0 90 100", "--out", tmp_path / "out", "--json")  # fmt: skip
    assert found.exit_code == 0, found.output
    assert json.loads(found.stdout)["wide"] > 5


def _wrong(tmp_path: Path) -> dict[str, list[object]]:
    Image.new("RGB", (1, 1)).save(tmp_path / "dot.png")
    (tmp_path / "broken.png").write_bytes(b"\x89PNG\r\n\x1a\nnothing")
    Image.new("RGB", (40, 40), "#888888").save(tmp_path / "grey.png")
    grey = tmp_path / "grey.png"
    return {
        "one pixel": [tmp_path / "dot.png", "--width", "8 ft"],
        "damaged": [tmp_path / "broken.png", "--width", "8 ft"],
        "missing": [tmp_path / "none.png", "--width", "8 ft"],
        "no unit": [grey, "--width", "12"],
        "a wrong unit": [grey, "--width", "12 kg"],
        "too wide": [grey, "--width", "900 ft"],
        "a style that is none": [grey, "--width", "8 ft", "--style", "dots"],
        "an empty crop": [grey, "--width", "8 ft", "--crop", "50 0 40 100"],
        "words for a crop": [grey, "--width", "8 ft", "--crop", "left half"],
        "five in a cluster": [grey, "--width", "8 ft", "--cluster", "5 x 11in @ 10in"],
        "an unknown size": [grey, "--width", "8 ft", "--cluster", "4 x 12inn"],
        "no file of ours": [grey, "--width", "8 ft", "--shades", grey],
    }


def test_mosaic_refuses_in_words(tmp_path: Path) -> None:
    for name, arguments in _wrong(tmp_path).items():
        found = run("mosaic", *arguments, "--out", tmp_path / "out")
        assert found.exit_code in (1, 2), name
        assert "Traceback" not in found.output, name
        assert found.output.strip(), name
    assert not (tmp_path / "out").exists()


@pytest.mark.closed_form
def test_from_afar_a_pixel_is_a_minute_of_arc() -> None:
    """A wall of 30 cells of 10 cm at 10 m is 2 atan(1.5/10) wide: 1,024 minutes of arc."""
    cells, colours = np.zeros((10, 30), dtype=int), light_of(np.full((1, 3), 0.5))
    image = seen_from(cells, colours, 0.10, 10.0)
    expected = np.degrees(2 * np.arctan(1.5 / 10)) * 60
    assert image.shape[1] == pytest.approx(expected, abs=31)
