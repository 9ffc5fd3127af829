"""GLB files: strict validity, true scale, shared meshes, names, bytes that repeat."""

from __future__ import annotations

import io
import json
import shutil
import struct
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import trimesh

from airwright.decor.assembly import Assembly, Shade
from airwright.pictures.export import ExchangeError, to_glb
from tests.pictures.samples import (
    BURST,
    GOLD,
    Maker,
    bouquet,
    cloud_column,
    garland,
    packed_arch,
    round_stock,
    swirl_column,
    textured_column,
)

CHECK = Path(__file__).parents[3] / "tools" / "gltf" / "check.mjs"


def starburst() -> Assembly:
    make = Maker("Starburst \x07 “港” <&>", "column")
    make.balloon((0, 0, 1), (0, 0, 1), BURST, GOLD)
    return make.done()


def nothing() -> Assembly:
    return Maker("nothing", "column").done()


SAMPLES: dict[str, Callable[[], Assembly]] = {
    "swirl": swirl_column,
    "cloud": cloud_column,
    "textured": textured_column,
    "arch": packed_arch,
    "bouquet": bouquet,
    "garland": garland,
    "starburst": starburst,
    "nothing": nothing,
}


def tree_of(data: bytes) -> dict[str, list[dict[str, object]]]:
    length = struct.unpack_from("<I", data, 12)[0]
    return json.loads(data[20 : 20 + length])  # type: ignore[no-any-return]


@pytest.fixture(scope="session")
def validate(tmp_path_factory: pytest.TempPathFactory) -> Callable[[dict[str, bytes]], list[dict]]:  # type: ignore[type-arg]
    """The Khronos glTF validator (npm gltf-validator 2.0.0-dev.3.10), run over GLB files."""
    node = shutil.which("node")
    if node is None:
        pytest.skip("needs Node.js for the glTF validator")
    if not (CHECK.parent / "node_modules" / "gltf-validator").is_dir():
        pytest.skip("needs the glTF validator: npm ci --prefix tools/gltf")
    folder = tmp_path_factory.mktemp("glb")

    def run(files: dict[str, bytes]) -> list[dict]:  # type: ignore[type-arg]
        paths = []
        for name, data in files.items():
            path = folder / f"{name}.glb"
            path.write_bytes(data)
            paths.append(str(path))
        done = subprocess.run(
            [node, str(CHECK), *paths], capture_output=True, text=True, timeout=120, check=False
        )
        assert done.returncode in (0, 1), done.stderr
        return [json.loads(line) for line in done.stdout.splitlines()]

    return run


@pytest.mark.other_program
def test_the_strict_validator_finds_nothing(validate) -> None:  # type: ignore[no-untyped-def]
    """Source: Khronos glTF-Validator 2.0.0-dev.3.10 against the glTF 2.0 specification."""
    reports = validate({name: to_glb(make()) for name, make in SAMPLES.items()})
    assert len(reports) == len(SAMPLES)
    for report in reports:
        found = (report["numErrors"], report["numWarnings"], report["numHints"])
        assert found == (0, 0, 0), report["messages"]


def test_the_validator_check_can_fail(validate) -> None:  # type: ignore[no-untyped-def]
    data = to_glb(swirl_column())
    (report,) = validate({"broken": data.replace(b'"VEC3"', b'"VEC2"', 1)})
    assert report["numErrors"] > 0


@pytest.mark.other_program
@pytest.mark.parametrize("name", ["swirl", "arch", "garland"])
def test_true_scale_in_metres_with_y_up(name: str) -> None:
    """Read back with trimesh: extents agree with the assembly (x, z, -y)."""
    piece = SAMPLES[name]()
    scene = trimesh.load_scene(io.BytesIO(to_glb(piece)), file_type="glb")
    low, high = scene.bounds
    bound_low, bound_high = piece.bounds
    want_low = np.array([bound_low[0], bound_low[2], -bound_high[1]])
    want_high = np.array([bound_high[0], bound_high[2], -bound_low[1]])
    # A pear is up to 0.33 R longer at its neck and 0.06 R shorter at its crown than a ball.
    slack = 0.34 * float(piece.radius.max())
    assert np.all(low > want_low - slack)
    assert np.all(low < want_low + 0.1 * slack + 0.03)
    assert np.all(high < want_high + slack)
    assert np.all(high > want_high - 0.25 * slack)


def test_every_balloon_is_a_named_node_and_shares_its_mesh() -> None:
    piece = swirl_column()
    tree = tree_of(to_glb(piece))
    balloons = [n for n in tree["nodes"] if str(n.get("name", "")).startswith(("11in", "24in"))]
    assert len(balloons) == len(piece) == 41
    assert len({n["name"] for n in balloons}) == 41
    positions = {p["attributes"]["POSITION"] for m in tree["meshes"] for p in m["primitives"]}  # type: ignore[attr-defined]
    # 11 in pressed by neighbours above and below, at the foot and at the head; 24 in, base,
    # pole, 260
    assert len(positions) <= 12
    assert len(tree["meshes"]) <= 24


def test_a_clear_balloon_shows_the_one_inside() -> None:
    tree = tree_of(to_glb(bouquet()))
    inner = [n for n in tree["nodes"] if str(n.get("name", "")).endswith("inner")]
    assert len(inner) == 1
    blended = [m for m in tree["materials"] if m.get("alphaMode") == "BLEND"]
    assert {m["name"] for m in blended} == {"clear", "clear over rose"}


def test_shades_keep_their_colour() -> None:
    """sRGB to linear light, IEC 61966-2-1: #808080 is 0.2158605."""
    make = Maker("grey", "column")
    make.balloon((0, 0, 1), (0, 0, 1), round_stock(11, 10), Shade("grey", "#808080"))
    (material,) = tree_of(to_glb(make.done()))["materials"]
    colour = material["pbrMetallicRoughness"]["baseColorFactor"]  # type: ignore[index]
    assert colour == pytest.approx([0.2158605, 0.2158605, 0.2158605, 1.0], abs=1e-5)


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_equal_pieces_give_equal_bytes(name: str) -> None:
    assert to_glb(SAMPLES[name]()) == to_glb(SAMPLES[name]())


def test_equal_arrays_are_stored_once() -> None:
    data = to_glb(packed_arch(quads=40))
    tree, start = tree_of(data), 28 + struct.unpack_from("<I", data, 12)[0]
    parts = [
        data[start + view["byteOffset"] :][: view["byteLength"]]  # type: ignore[operator,misc]
        for view in tree["bufferViews"]
    ]
    assert len(parts) > 6
    assert len(set(parts)) == len(parts)


def test_a_column_is_a_light_file() -> None:
    assert len(to_glb(swirl_column(layers=11))) < 400_000


def test_many_balloons_grow_the_file_by_their_nodes_only() -> None:
    few, many = len(to_glb(packed_arch(quads=160))), len(to_glb(packed_arch(quads=320)))
    assert (many - few) / (160 * 4) < 220


LARGEST = {
    "column": lambda: swirl_column(layers=30),
    "arch": lambda: packed_arch(quads=320),
    "pressed arch": lambda: packed_arch(quads=170),
    "garland": lambda: garland(count=600),
    "long garland": lambda: garland(count=2500),
}


@pytest.mark.parametrize("name", sorted(LARGEST))
def test_a_phone_can_turn_any_piece(name: str) -> None:
    scene = trimesh.load_scene(io.BytesIO(data := to_glb(LARGEST[name]())), file_type="glb")
    triangles = sum(
        len(scene.geometry[scene.graph[n][1]].faces) for n in scene.graph.nodes_geometry
    )
    assert triangles < 100_000
    assert len(data) < 3_000_000


@pytest.mark.closed_form
def test_pressed_balloons_of_a_file_do_not_pass_through_each_other() -> None:
    """Every vertex read back lies on its own side of the plane in which two packed balls meet."""
    piece = packed_arch()
    scene = trimesh.load_scene(io.BytesIO(to_glb(piece)), file_type="glb")
    bodies = {}
    for node in scene.graph.nodes_geometry:
        if str(node).startswith("11in"):
            matrix, mesh = scene.graph[node]
            points = trimesh.transform_points(scene.geometry[mesh].vertices, matrix)
            row = int(str(node).rsplit("(", 1)[1].rstrip(")"))
            bodies[row] = points[:, [0, 2, 1]] * [1, -1, 1]  # back to z up
    assert len(bodies) == len(piece)
    pairs = 0
    for row, points in bodies.items():
        for other in bodies:
            across = piece.centre[other] - piece.centre[row]
            apart = float(np.linalg.norm(across))
            if other == row or apart >= 2 * piece.radius[row] - 0.002:
                continue
            beyond = (points - piece.centre[row]) @ (across / apart) - apart / 2
            neck = np.linalg.norm(points - piece.centre[row], axis=1) > 1.1 * piece.radius[row]
            assert beyond[~neck].max() < 3e-3  # planes are rounded for sharing
            pairs += 1
    assert pairs > 200


def test_impossible_pieces_are_refused_in_words() -> None:
    piece = swirl_column()
    nan = piece.centre.copy()
    nan[3, 1] = np.nan
    with pytest.raises(ExchangeError, match="not a number"):
        to_glb(replace(piece, centre=nan))
    with pytest.raises(ExchangeError, match="shade that is not listed"):
        to_glb(replace(piece, shades=piece.shades[:1]))
    with pytest.raises(ExchangeError, match="not a colour"):
        to_glb(replace(piece, shades=(Shade("x", "red"), *piece.shades[1:])))
