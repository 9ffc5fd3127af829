"""Each row of the room table (docs/decisions/0002) holds, proved by imports that must fail."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("cli", "desk", "store", "papers", "operations", "pictures", "plan", "decor", "job",
         "physics", "money", "catalog", "params", "language", "units", "nearest")  # fmt: skip
#: Room by room, what it may import.  Written out, so that it does not depend on the contract.
BASE = {"params", "language", "units", "nearest"}  # below the catalogue
MAY_IMPORT = {
    "cli": {"desk", "store", "papers", "operations", "pictures", "plan", "decor", "job", "physics",
            "money", "catalog", *BASE},
    "desk": {"store", "papers", "operations", "pictures", "plan", "decor", "job", "physics",
             "money", "catalog", *BASE},
    "store": {"operations", "plan", "decor", "money", "job", "physics", "catalog", *BASE},
    "papers": {"operations", "plan", "pictures", "decor", "money", "job", "physics", "catalog",
               *BASE},
    "operations": {"plan", "decor", "money", "job", "physics", "catalog", *BASE},
    "pictures": {"decor", "money", "job", "physics", "catalog", *BASE},
    "plan": {"decor", "money", "job", "physics", "catalog", *BASE},
    "decor": {"physics", "catalog", "job", *BASE},
    "job": {"catalog", *BASE},
    "money": {"job", "catalog", *BASE},
    "physics": BASE,
    "catalog": BASE,
    "params": {"language", "units", "nearest"},
    "language": {"units", "nearest"},
    "units": {"nearest"},
    "nearest": set(),
}  # fmt: skip


DESK = ROOT / "src" / "airwright" / "desk"
IN_DESK = {p.stem for p in DESK.iterdir() if p.suffix == ".py" or (p / "__init__.py").is_file()}
AREAS = sorted(routes.parent.name for routes in DESK.glob("*/routes.py"))


def lint(root: Path, imports: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """Run the real contract on a skeleton package; `imports` maps a module to its source."""
    package = root / "airwright"
    modules = [*(f"{room}/__init__" for room in ROOMS), *(f"desk/{name}" for name in IN_DESK)]
    for module in ["__init__", *modules]:
        file = package / f"{module}.py"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(imports.get(module.removesuffix("/__init__"), ""))
    for name in imports.keys() - {module.removesuffix("/__init__") for module in modules}:
        (package / f"{name}.py").write_text(imports[name])
    return subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache", "--no-logo",
         "--config", ROOT / "pyproject.toml"],
        cwd=root, env={**os.environ, "PYTHONPATH": str(root), "NO_COLOR": "1", "COLUMNS": "200"},
        capture_output=True, text=True, timeout=60, check=False,
    )  # fmt: skip


def test_every_allowed_import_passes(tmp_path: Path) -> None:
    allowed = {
        room: "".join(f"import airwright.{other}\n" for other in sorted(others))
        for room, others in MAY_IMPORT.items()
    }
    done = lint(tmp_path, allowed)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


@pytest.mark.parametrize("room", ROOMS)
def test_each_forbidden_import_is_named(tmp_path: Path, room: str) -> None:
    forbidden = sorted(set(ROOMS) - MAY_IMPORT[room] - {room})
    if room == "cli":
        forbidden = []  # the top may import all; the other way round is tested for each room
    source = "".join(f"import airwright.{other}\n" for other in forbidden)
    done = lint(tmp_path, {room: source})
    assert done.returncode == (1 if forbidden else 0), done.stdout + done.stderr
    for other in forbidden:
        assert f"airwright.{room} -> airwright.{other}" in done.stdout, done.stdout


@pytest.mark.parametrize(
    ("room", "library"),
    [
        ("pictures", "typst"), ("plan", "rich"), ("decor", "sqlalchemy"), ("job", "typer"),
        ("physics", "fastapi"), ("catalog", "starlette"), ("units", "typer"),
        ("papers", "starlette"), ("store", "rich"), ("physics", "subprocess"),
        ("decor", "tempfile"), ("plan", "sqlite3"), ("operations", "sqlalchemy"),
        ("operations", "subprocess"),
    ],
)  # fmt: skip
def test_libraries_of_the_rim_stay_at_the_rim(tmp_path: Path, room: str, library: str) -> None:
    done = lint(tmp_path, {room: f"def f():\n    import {library}\n"})
    assert done.returncode == 1, done.stdout
    assert f"airwright.{room} -> {library}" in done.stdout


@pytest.mark.parametrize("area", AREAS)
def test_an_area_of_the_desk_may_import_no_other(tmp_path: Path, area: str) -> None:
    others = [other for other in AREAS if other != area]
    source = "".join(f"import airwright.desk.{other}\n" for other in others)
    done = lint(tmp_path, {f"desk/{area}": source})
    assert done.returncode == 1, done.stdout + done.stderr
    for other in others:
        assert f"airwright.desk.{area} -> airwright.desk.{other}" in done.stdout, done.stdout


@pytest.mark.parametrize("shared", sorted(IN_DESK - {"__init__", "app", "serving", *AREAS}))
def test_what_areas_share_imports_no_area(tmp_path: Path, shared: str) -> None:
    above = {"error_handlers", "seed", "warming"}
    done = lint(tmp_path, {f"desk/{shared}": "import airwright.desk.design\n"})
    assert done.returncode == (0 if shared in above else 1), done.stdout + done.stderr


def test_a_new_part_of_the_desk_must_be_given_its_place(tmp_path: Path) -> None:
    done = lint(tmp_path, {"desk/helpers": ""})
    assert done.returncode == 1
    assert "airwright.desk.helpers" in done.stdout


def test_an_undeclared_room_is_refused(tmp_path: Path) -> None:
    done = lint(tmp_path, {"helpers": ""})
    assert done.returncode == 1
    assert "airwright.helpers" in done.stdout


def test_the_real_package_keeps_the_contract() -> None:
    done = subprocess.run(
        [Path(sys.executable).parent / "lint-imports", "--no-cache", "--no-logo"],
        cwd=ROOT, capture_output=True, text=True, timeout=120, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr
