"""USDZ: the same piece for viewers that read Universal Scene Description instead of glTF."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import Any

import numpy as np

from airwright.decor.assembly import Assembly
from airwright.pictures.export.errors import ExchangeError
from airwright.pictures.export.glb import UPRIGHT, quaternion
from airwright.pictures.export.materials import Material
from airwright.pictures.export.model import Model, Part, model_of
from airwright.pictures.mesh import Mesh

EPOCH_S = 347_155_200
"""The first of January 1981, within what a ZIP directory can hold in every time zone."""


def to_usdz(assembly: Assembly) -> bytes:
    """A piece as a USDZ package.

    Metres, Y up, the front towards +Z; balloons of one kind are instances of one mesh.

    Raises:
        ExchangeError: the piece has no place in space, or the library for this format is not
            installed on this machine.
    """
    model = model_of(assembly)
    try:
        from pxr import Sdf, Usd
    except ImportError as problem:
        raise ExchangeError(
            "USDZ files cannot be written on this machine: usd-core is missing.",
            'Install it, pip install "airwright[photos]", or take the GLB file.',
        ) from problem
    with tempfile.TemporaryDirectory() as folder:
        scene = Path(folder) / "piece.usdc"
        stage = Usd.Stage.CreateNew(str(scene))
        _fill(stage, model)
        stage.GetRootLayer().Save()
        # The package notes when its parts were written; equal pieces must give equal bytes.
        os.utime(scene, (EPOCH_S, EPOCH_S))
        package = Path(folder) / "piece.usdz"
        writer = Sdf.ZipFileWriter.CreateNew(str(package))
        writer.AddFile(str(scene), "piece.usdc")
        writer.Save()
        return package.read_bytes()


def _fill(stage: Any, model: Model) -> None:
    from pxr import Gf, UsdGeom

    UsdGeom.SetStageUpAxis(stage, UsdGeom.Tokens.y)
    UsdGeom.SetStageMetersPerUnit(stage, 1.0)
    root = UsdGeom.Xform.Define(stage, "/Piece")
    stage.SetDefaultPrim(root.GetPrim())
    root.GetPrim().SetDisplayName(model.name)
    x, y, z, w = UPRIGHT
    root.AddOrientOp().Set(Gf.Quatf(w, x, y, z))
    materials = [_material(stage, k, material) for k, material in enumerate(model.materials)]
    kinds = [_kind(stage, k, mesh) for k, mesh in enumerate(model.meshes)]
    for number, part in enumerate(model.parts):
        _part(stage, number, part, kinds[part.mesh], materials[part.material])


def _kind(stage: Any, number: int, mesh: Mesh) -> str:
    """A mesh that is not drawn itself, only where it is referred to."""
    from pxr import Sdf, UsdGeom, Vt

    path = f"/Piece/Kinds/kind_{number}"
    for above in ("/Piece/Kinds", path):
        if not stage.GetPrimAtPath(above):
            stage.CreateClassPrim(above)
    body = UsdGeom.Mesh.Define(stage, f"{path}/mesh")
    body.CreatePointsAttr(Vt.Vec3fArray.FromNumpy(mesh.vertices.astype(np.float32)))
    body.CreateFaceVertexIndicesAttr(Vt.IntArray.FromNumpy(mesh.faces.ravel().astype(np.int32)))
    body.CreateFaceVertexCountsAttr(
        Vt.IntArray.FromNumpy(np.full(len(mesh.faces), 3, dtype=np.int32))
    )
    body.CreateNormalsAttr(Vt.Vec3fArray.FromNumpy(mesh.normals.astype(np.float32)))
    body.SetNormalsInterpolation(UsdGeom.Tokens.vertex)
    body.CreateSubdivisionSchemeAttr(UsdGeom.Tokens.none)
    low, high = mesh.bounds
    extent = np.stack([low, high]).astype(np.float32)
    body.CreateExtentAttr(Vt.Vec3fArray.FromNumpy(extent))
    return str(Sdf.Path(path))


def _material(stage: Any, number: int, material: Material) -> Any:
    from pxr import Gf, Sdf, UsdShade

    made = UsdShade.Material.Define(stage, f"/Piece/Looks/look_{number}")
    made.GetPrim().SetDisplayName(material.name)
    shader = UsdShade.Shader.Define(stage, f"/Piece/Looks/look_{number}/surface")
    shader.CreateIdAttr("UsdPreviewSurface")
    shader.CreateInput("diffuseColor", Sdf.ValueTypeNames.Color3f).Set(Gf.Vec3f(*material.colour))
    for name, value in (
        ("metallic", material.metallic),
        ("roughness", material.roughness),
        ("opacity", material.opacity),
    ):
        shader.CreateInput(name, Sdf.ValueTypeNames.Float).Set(value)
    made.CreateSurfaceOutput().ConnectToSource(shader.ConnectableAPI(), "surface")
    return made


def _part(stage: Any, number: int, part: Part, kind: str, material: Any) -> None:
    from pxr import Gf, UsdGeom, UsdShade

    place = UsdGeom.Xform.Define(stage, f"/Piece/part_{number}")
    prim = place.GetPrim()
    prim.SetDisplayName(part.name)
    prim.GetReferences().AddInternalReference(kind)
    prim.SetInstanceable(True)
    x, y, z, w = quaternion(part.rotation)
    place.AddTranslateOp().Set(Gf.Vec3d(*(float(v) for v in part.position)))
    place.AddOrientOp().Set(Gf.Quatf(w, x, y, z))
    place.AddScaleOp().Set(Gf.Vec3f(part.size, part.size, part.size))
    UsdShade.MaterialBindingAPI.Apply(prim).Bind(material)
