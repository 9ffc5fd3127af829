"""What a photograph costs: time and memory, with and without sharing meshes, and what the
denoiser saves at equal error.

    python -m bench.photo                 the two timed scenes, and the second without sharing
    python -m bench.photo --equal-error   against a 4,096-sample reference (several minutes)

Every case runs in a process of its own, so that its peak memory is its own. Processor
seconds are printed beside wall seconds: on a machine that does other work they alone compare.
"""

from __future__ import annotations

import argparse
import json
import resource
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np

from airwright.catalog import Family
from airwright.decor.assembly import Assembly, HardwarePlaced, Shade, Stock, merge
from airwright.pictures.mesh import joined
from airwright.pictures.photo.guides import guides_of
from airwright.pictures.photo.materials import Floats
from airwright.pictures.photo.parts import as_copies, as_instances, as_shapes
from airwright.pictures.photo.photograph import (
    exposure,
    outline_points,
    photograph,
    scene_frame,
    staged,
    window_of,
)
from airwright.pictures.photo.places import place_named
from airwright.pictures.photo.quality import PROPOSAL
from airwright.pictures.photo.render import denoised, loaded, renderer, to_shape, traced
from airwright.pictures.photo.room import Room, photograph_in_room
from airwright.pictures.photo.scene import decor
from airwright.pictures.photo.surround import surround
from airwright.pictures.photo.venue import Venue
from airwright.pictures.photo.view import View

SHADES = (
    Shade("coral", "#f0705a"),
    Shade("sand", "#e8d5b7"),
    Shade("teal", "#1f7a7a"),
    Shade("white", "#f7f5f0"),
)
STOCK = Stock("11in", Family.ROUND, 0.2794, 0.2413)
SIZE = (600, 800)
BASELINE = "44-balloon column, earlier way"
CROP = (190, 330, 220, 220)
"""Part of the picture compared for error: x, y, width, height [px]."""


def column(layers: int = 11) -> Assembly:
    """Quads turned by half a slot from layer to layer: 44 balloons in 11 layers."""
    rows = [(layer, slot) for layer in range(layers) for slot in range(4)]
    layer = np.array([r[0] for r in rows])
    slot = np.array([r[1] for r in rows])
    angle = np.pi / 2 * slot + np.pi / 4 * (layer % 2)
    radius = STOCK.inflated_m / 2
    out = np.stack([np.cos(angle), np.sin(angle), np.zeros(len(rows))], axis=1)
    centre = 1.36 * radius * out + np.array([0, 0, 1.0]) * (0.15 + 0.17 * layer)[:, None]
    count = len(rows)
    return Assembly(
        "column",
        "column",
        centre,
        np.full(count, radius),
        out,
        np.zeros(count, np.int32),
        ((slot + layer // 2) % 4).astype(np.int32),
        layer.astype(np.int32),
        layer.astype(np.int32),
        slot.astype(np.int32),
        np.zeros(count, np.int32),
        (STOCK,),
        SHADES,
        hardware=(
            HardwarePlaced("pole", "pole", 1, "each", ((0, 0, 0), (0, 0, 0.17 * layers)), 0.025),
            HardwarePlaced("plate", "base", 1, "each", ((0, 0, 0),), 0.4, 0.03),
        ),
    )


def thousand() -> Assembly:
    """23 columns in two staggered rows: 1,012 balloons."""
    places = [((k - 11) * 0.42, 0.0 if k % 2 else 0.7) for k in range(23)]
    return merge("thousand", "scene", [column().moved((x, y, 0)) for x, y in places])


def loose(count: int = 1000) -> Assembly:
    """A dense loose mix, in which no two balloons have the same neighbours."""
    rng = np.random.default_rng(5)
    radius = rng.choice([0.06, 0.12, 0.19], count, p=[0.35, 0.5, 0.15])
    t = rng.uniform(0, 1, count)
    spine = np.stack([6 * t - 3, np.zeros(count), 1.6 + 0.5 * np.sin(5 * t)], axis=1)
    away = rng.normal(size=(count, 3))
    away /= np.linalg.norm(away, axis=1, keepdims=True)
    centre = spine + away * rng.uniform(0.15, 0.5, count)[:, None] ** np.array([1, 1, 1])
    base = column(1)
    none = np.full(count, -1, np.int32)
    return replace(
        base,
        centre=centre,
        radius=radius,
        axis=away,
        stock=np.zeros(count, np.int32),
        shade=rng.integers(0, 4, count).astype(np.int32),
        cluster=none,
        layer=none,
        slot=none,
        role=np.zeros(count, np.int32),
        hardware=(),
    )


def traced_copies(assembly: Assembly, size: tuple[int, int]) -> None:
    """The same picture with a mesh of its own for every balloon."""
    place = place_named("backdrop")
    stage, _ = staged(assembly, place, size, 1.6, 0.0)
    around = surround(place, stage)
    exposure(place, stage, around)
    parts = decor(assembly, PROPOSAL.detail)
    frame = scene_frame(stage.camera)
    scene = loaded({**frame, **as_shapes(around), **as_copies(parts)})
    guides = guides_of(frame, around, parts, stage.camera.at)
    window = window_of(stage.camera, outline_points(assembly))
    traced(scene, PROPOSAL, guides=guides, window=window)


def earlier(assembly: Assembly, size: tuple[int, int]) -> None:
    """The same picture by the earlier way: 16 samples, and guides by the renderer's own pass over
    one merged mesh, 4 rays a pixel on one thread."""
    import drjit

    place = place_named("backdrop")
    stage, _ = staged(assembly, place, size, 1.6, 0.0)
    around = surround(place, stage)
    exposure(place, stage, around)
    frame = scene_frame(stage.camera)
    parts = decor(assembly, PROPOSAL.detail)
    scene = loaded({**frame, **as_shapes(around), **as_instances(parts)})
    window = window_of(stage.camera, outline_points(assembly))
    light = traced(scene, replace(PROPOSAL, samples=16, outside=0.5), window=window)
    meshes = [part.mesh.placed(matrix) for part in parts for matrix in part.places]
    colours = [np.broadcast_to(p.colour, p.mesh.vertices.shape) for p in parts for _ in p.places]
    plain = {"type": "mesh_attribute", "name": "vertex_color"}
    skin = {"type": "twosided", "side": {"type": "diffuse", "reflectance": plain}}
    merged = to_shape(joined(meshes), "decor", skin, colours=np.concatenate(colours))
    mi = renderer()
    aov = mi.load_dict({"type": "aov", "aovs": "albedo:albedo,normal:sh_normal"})
    threads = drjit.thread_count()
    drjit.set_thread_count(1)
    shown = loaded({**frame, **as_shapes(around), "decor": merged})
    for cropped in (0, mi.load_dict(window.sensor) if window else 0):
        guides = np.array(mi.render(shown, sensor=cropped, integrator=aov, spp=2, seed=1))
        if cropped == 0:
            whole = guides
    drjit.set_thread_count(threads)
    denoised(light, np.clip(whole[..., :3], 0, 1), whole[..., 3:6])


def in_a_room(options: int) -> None:
    """Options in one client's room: only the first traces the bare floor."""
    tilt = 0.12
    turn = np.array(
        [[1, 0, 0], [0, -np.sin(tilt), -np.cos(tilt)], [0, np.cos(tilt), -np.sin(tilt)]]
    )
    view = View(turn, np.array([0.0, -5.0, 1.6]), 1200.0, (1600, 1200), 0.0, True)
    pixels = np.full((1200, 1600, 3), (176, 168, 158), np.uint8)
    room = Room(Venue(pixels, 1.0, 1200.0), view)
    for number in range(options):
        photograph_in_room(column(11 - number % 2), room)


CASES: dict[str, Callable[[], object]] = {
    "44-balloon column": lambda: photograph(column(), size=SIZE),
    "44-balloon column, earlier way": lambda: earlier(column(), SIZE),
    "44-balloon column, draft": lambda: photograph(column(), quality="draft", size=SIZE),
    "client's room, one option": lambda: in_a_room(1),
    "client's room, three options": lambda: in_a_room(3),
    "1,012 balloons, shared": lambda: photograph(thousand(), size=(800, 600)),
    "1,012 balloons, copied": lambda: traced_copies(thousand(), (800, 600)),
    "1,000 loose balloons": lambda: photograph(loose(), size=(800, 600)),
}


def measured(case: str) -> dict[str, float]:
    """Run one case here; seconds and peak memory."""
    renderer()
    wall, cpu = time.monotonic(), time.process_time()
    CASES[case]()
    return {
        "wall_s": time.monotonic() - wall,
        "cpu_s": time.process_time() - cpu,
        "peak_mib": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def equal_error(samples: int) -> None:
    """Samples that undenoised rendering needs for the error of a denoised proposal."""
    place = place_named("backdrop")
    assembly = column()
    stage, _ = staged(assembly, place, SIZE, 1.6, 0.0)
    around = surround(place, stage)
    gain = exposure(place, stage, around)
    parts = decor(assembly, PROPOSAL.detail)
    frame = scene_frame(stage.camera)
    x, y, width, height = CROP
    frame["sensor"]["film"] |= {
        "crop_offset_x": x,
        "crop_offset_y": y,
        "crop_width": width,
        "crop_height": height,
    }
    scene = loaded({**frame, **as_shapes(around), **as_instances(parts)})
    guides = guides_of(frame, around, parts, stage.camera.at)

    def picture(count: int, seed: int, *, denoised: bool = False) -> Floats:
        effort = replace(PROPOSAL, samples=count, passes=max(1, count // 256))
        light = traced(scene, effort, guides=guides if denoised else None, seed=seed)
        return np.clip(light * gain, 0, 4)

    reference = picture(samples, 5000)

    def error(image: Floats) -> float:
        return float(np.mean((image - reference) ** 2 / (reference**2 + 0.01)))

    clean = error(picture(PROPOSAL.samples, 20, denoised=True))
    print(f"relative square error, denoised {PROPOSAL.samples} samples: {clean:.5f}")
    for count in (16, 64, 256):
        raw = error(picture(count, 90 + count))
        print(
            f"  undenoised {count:4d} samples: {raw:.5f}; equal error at about "
            f"{count * raw / clean:.0f} samples, {count * raw / clean / PROPOSAL.samples:.0f} x"
        )


def run(quick: bool) -> dict[str, Any]:
    """Rows for `python -m bench`: each scene, and against the large one with shared meshes."""
    rows: list[dict[str, Any]] = []
    for case in list(CASES)[:2] if quick else CASES:
        command = [sys.executable, "-m", "bench.photo", "--case", case]
        done = subprocess.run(command, check=True, capture_output=True, text=True)
        result = json.loads(done.stdout.strip().splitlines()[-1])
        rows.append({"scene": case, **{key: round(value, 1) for key, value in result.items()}})
    shared = next((row for row in rows if row["scene"] == BASELINE), None)
    for row in rows:
        row["cpu_ratio"] = round(row["cpu_s"] / shared["cpu_s"], 2) if shared else ""
        row["memory_ratio"] = round(row["peak_mib"] / shared["peak_mib"], 2) if shared else ""
    return {
        "title": "Photographs at proposal quality",
        "baseline": BASELINE,
        "rows": rows,
        "note": "equal error against undenoised rendering: python -m bench.photo --equal-error",
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--case", choices=sorted(CASES))
    parser.add_argument("--equal-error", action="store_true")
    parser.add_argument("--reference", type=int, default=4096, help="samples of the reference")
    options = parser.parse_args()
    if options.case:
        print(json.dumps(measured(options.case)))
    elif options.equal_error:
        equal_error(options.reference)
    else:
        for row in run(quick=False)["rows"]:
            print(row)


if __name__ == "__main__":
    main()
