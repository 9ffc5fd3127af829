"""USDZ files: what the format's own library finds, true scale, bytes that repeat."""

from __future__ import annotations

import zipfile
from io import BytesIO
from pathlib import Path

import pytest

from airwright.decor.assembly import Assembly
from airwright.pictures.export import ExchangeError, to_usdz
from tests.pictures.samples import Maker, bouquet, cloud_column, swirl_column

pytest.importorskip("pxr")


def opened(piece: Assembly, folder: Path):  # type: ignore[no-untyped-def]
    from pxr import Usd

    path = folder / "piece.usdz"
    path.write_bytes(to_usdz(piece))
    return Usd.Stage.Open(str(path))


@pytest.mark.other_program
@pytest.mark.parametrize("make", [swirl_column, cloud_column, bouquet])
def test_the_validators_of_usd_find_nothing(make, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Source: all validators that come with OpenUSD (usd-core), USDZ packaging included."""
    from pxr import UsdValidation

    known = UsdValidation.ValidationRegistry().GetOrLoadAllValidators()
    assert any("Usdz" in v.GetMetadata().name for v in known)
    errors = UsdValidation.ValidationContext(known).Validate(opened(make(), tmp_path))
    assert [error.GetErrorAsString() for error in errors] == []


@pytest.mark.other_program
def test_true_scale_in_metres_with_y_up(tmp_path: Path) -> None:
    from pxr import UsdGeom

    piece = swirl_column()
    stage = opened(piece, tmp_path)
    assert UsdGeom.GetStageUpAxis(stage) == UsdGeom.Tokens.y
    assert UsdGeom.GetStageMetersPerUnit(stage) == 1.0
    cache = UsdGeom.BBoxCache(0, [UsdGeom.Tokens.default_])
    box = cache.ComputeWorldBound(stage.GetDefaultPrim()).ComputeAlignedRange()
    assert box.GetMin()[1] == pytest.approx(0.0, abs=0.02)
    assert box.GetMax()[1] == pytest.approx(piece.height_m, abs=0.08 * 0.28)
    assert box.GetMax()[0] - box.GetMin()[0] == pytest.approx(piece.width_m, abs=0.1)


@pytest.mark.other_program
def test_a_second_library_opens_it(tmp_path: Path) -> None:
    """Source: tinyusdz 0.9, a reader of its own that shares no code with OpenUSD."""
    import tinyusdz

    piece = swirl_column()
    path = tmp_path / "piece.usdz"
    path.write_bytes(to_usdz(piece))
    stage = tinyusdz.load(str(path))
    told = str(stage)
    assert "upAxis=Y" in told
    assert "metersPerUnit=1" in told
    prims = [row[-1] if isinstance(row, tuple) else row for row in tinyusdz.traverse(stage)]
    parts = [prim for prim in prims if str(prim.element_name).startswith("part_")]
    assert len(parts) == len(piece) + len(piece.hardware) + len(piece.strands)
    meshes = [prim for prim in prims if prim.type_name == "Mesh"]
    assert 2 <= len(meshes) <= 12
    assert all(mesh.get_attribute("points") is not None for mesh in meshes)


def test_balloons_are_instances_of_few_meshes(tmp_path: Path) -> None:
    piece = swirl_column()
    stage = opened(piece, tmp_path)
    parts = [p for p in stage.Traverse() if p.IsInstance()]
    assert len(parts) == len(piece) + len(piece.hardware) + len(piece.strands)
    assert len(stage.GetPrototypes()) <= 12


def test_equal_pieces_give_equal_bytes() -> None:
    first = to_usdz(bouquet())
    assert to_usdz(bouquet()) == first
    with zipfile.ZipFile(BytesIO(first)) as package:
        assert package.infolist()[0].date_time[0] in (1980, 1981)


def test_an_empty_piece_gives_an_empty_stage(tmp_path: Path) -> None:
    stage = opened(Maker("nothing", "column").done(), tmp_path)
    assert stage.GetDefaultPrim().GetPath() == "/Piece"


def test_without_the_library_the_cure_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    import sys

    monkeypatch.setitem(sys.modules, "pxr", None)
    with pytest.raises(ExchangeError, match="take the GLB file"):
        to_usdz(swirl_column())
