"""GLB: a piece at true scale in metres, Y up, its meshes shared, for any 3D viewer."""

from __future__ import annotations

import json
import struct
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwright.decor.assembly import Assembly, Floats
from airwright.pictures.export.materials import Material
from airwright.pictures.export.model import Model, Part, model_of
from airwright.pictures.mesh import Mesh

UPRIGHT = (-0.70710678, 0.0, 0.0, 0.70710678)
"""Quaternion that turns z up into y up: the front, -y here, materials to +z there."""

TRANSMISSION = "KHR_materials_transmission"

_MAGIC, _JSON_CHUNK, _BINARY_CHUNK = 0x46546C67, 0x4E4F534A, 0x004E4942
_FLOAT, _SHORT, _INT = 5126, 5123, 5125
_VERTICES, _INDICES = 34962, 34963


@dataclass
class _Buffer:
    """The binary part, filled view by view; each view starts on a multiple of four bytes."""

    data: bytearray = field(default_factory=bytearray)
    views: list[dict[str, int]] = field(default_factory=list)
    accessors: list[dict[str, object]] = field(default_factory=list)
    known: dict[tuple[bytes, str, int], int] = field(default_factory=dict)

    def add(self, array: NDArray[Any], kind: str, *, target: int, bounds: bool = False) -> int:
        """Append an array as one view and accessor, or find an equal one; returns the accessor."""
        raw = array.tobytes()
        key = (raw, f"{array.dtype} {kind}", target)
        if key in self.known:
            return self.known[key]
        view = {"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target}
        self.data += raw + b"\0" * (-len(raw) % 4)
        self.views.append(view)
        types = {"float32": _FLOAT, "uint16": _SHORT, "uint32": _INT}
        accessor: dict[str, object] = {
            "bufferView": len(self.views) - 1,
            "componentType": types[str(array.dtype)],
            "count": len(array),
            "type": kind,
        }
        if bounds:
            accessor["min"] = [float(v) for v in array.min(axis=0)]
            accessor["max"] = [float(v) for v in array.max(axis=0)]
        self.accessors.append(accessor)
        self.known[key] = len(self.accessors) - 1
        return self.known[key]


def to_glb(assembly: Assembly) -> bytes:
    """A piece as a binary glTF 2.0 file.

    Metres, Y up, the front towards +Z. Balloons of one kind share their vertices; each is a
    named node. Equal pieces give equal bytes; an empty piece gives a valid file without
    geometry.

    Raises:
        ExchangeError: the piece has no place in space.
    """
    model = model_of(assembly)
    buffer = _Buffer()
    geometry = [_geometry(mesh, buffer) for mesh in model.meshes]
    meshes: list[dict[str, object]] = []
    known: dict[tuple[int, int], int] = {}
    nodes: list[dict[str, object]] = []
    for part in model.parts:
        key = (part.mesh, part.material)
        if key not in known:
            known[key] = len(meshes)
            primitive = {**geometry[part.mesh], "material": part.material, "mode": 4}
            name = f"{model.mesh_names[part.mesh]}, {model.materials[part.material].name}"
            meshes.append({"name": _clean(name), "primitives": [primitive]})
        nodes.append(_node(part, known[key]))
    return _written(model, nodes, meshes, buffer)


def _geometry(mesh: Mesh, buffer: _Buffer) -> dict[str, object]:
    """Accessors of a mesh: positions, unit normals, indices as short as they can be."""
    points = np.ascontiguousarray(mesh.vertices, dtype=np.float32)
    normals = np.asarray(mesh.normals, dtype=np.float64)
    size = np.linalg.norm(normals, axis=1, keepdims=True)
    normals = np.where(size > 1e-9, normals / np.maximum(size, 1e-9), [0.0, 0.0, 1.0])
    short = np.uint16 if len(points) < 65535 else np.uint32
    faces = np.ascontiguousarray(mesh.faces.ravel(), dtype=short)
    return {
        "attributes": {
            "POSITION": buffer.add(points, "VEC3", target=_VERTICES, bounds=True),
            "NORMAL": buffer.add(
                np.ascontiguousarray(normals, dtype=np.float32), "VEC3", target=_VERTICES
            ),
        },
        "indices": buffer.add(faces, "SCALAR", target=_INDICES),
    }


def _node(part: Part, mesh: int) -> dict[str, object]:
    node: dict[str, object] = {"name": _clean(part.name), "mesh": mesh}
    if np.abs(part.position).max() > 1e-7:
        node["translation"] = [round(float(v), 5) + 0.0 for v in part.position]
    turn = quaternion(part.rotation)
    if abs(turn[3]) < 1.0 - 1e-7:
        node["rotation"] = [round(v, 7) + 0.0 for v in turn]
    if abs(part.size - 1.0) > 1e-7:
        node["scale"] = [round(part.size, 5)] * 3
    return node


def quaternion(rotation: Floats) -> tuple[float, float, float, float]:
    """Unit quaternion (x, y, z, w), w >= 0, of a rotation matrix (3, 3)."""
    from scipy.spatial.transform import Rotation

    x, y, z, w = (float(v) for v in Rotation.from_matrix(rotation).as_quat(canonical=True))
    return x, y, z, w


def _material(material: Material) -> dict[str, object]:
    made: dict[str, object] = {
        "name": _clean(material.name),
        "pbrMetallicRoughness": {
            "baseColorFactor": [*(round(v, 5) for v in material.colour), material.opacity],
            "metallicFactor": material.metallic,
            "roughnessFactor": material.roughness,
        },
    }
    if material.opacity < 1.0:
        # thin film where a viewer knows it, see-through paint where it does not
        made["alphaMode"] = "BLEND"
        made["extensions"] = {TRANSMISSION: {"transmissionFactor": 0.9}}
    if material.two_sided:
        made["doubleSided"] = True
    return made


def _written(
    model: Model,
    nodes: list[dict[str, object]],
    meshes: list[dict[str, object]],
    buffer: _Buffer,
) -> bytes:
    root: dict[str, object] = {"name": _clean(model.name) or "piece", "rotation": list(UPRIGHT)}
    if nodes:
        root["children"] = list(range(1, len(nodes) + 1))
    tree: dict[str, object] = {
        "asset": {"version": "2.0", "generator": "airwright"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": [root, *nodes],
    }
    if meshes:
        tree["meshes"] = meshes
        tree["materials"] = [_material(material) for material in model.materials]
        if any(material.opacity < 1.0 for material in model.materials):
            tree["extensionsUsed"] = [TRANSMISSION]
        tree["accessors"] = buffer.accessors
        tree["bufferViews"] = buffer.views
        tree["buffers"] = [{"byteLength": len(buffer.data)}]
    return _packed(tree, bytes(buffer.data))


def _packed(tree: dict[str, object], binary: bytes) -> bytes:
    """The GLB container: header, JSON chunk and, where there is geometry, the binary one.

    Written here because the usual library adds an empty buffer to a file without geometry,
    which the strict validator refuses.
    """
    text = json.dumps(tree, ensure_ascii=False, separators=(",", ":")).encode()
    text += b" " * (-len(text) % 4)
    chunks = struct.pack("<II", len(text), _JSON_CHUNK) + text
    if binary:
        chunks += struct.pack("<II", len(binary), _BINARY_CHUNK) + binary
    return struct.pack("<III", _MAGIC, 2, 12 + len(chunks)) + chunks


def _clean(name: str) -> str:
    """A name without control characters."""
    return "".join(c if ord(c) >= 32 and not 0xD800 <= ord(c) <= 0xDFFF else " " for c in name)
