"""Mutation tests: which changes of the code does no test notice?

    python -m tools.mutants --each 16 --seed 9

mutmut changes money, hours, spares, needs, cautions, options and tax one place at a time, and each
change is tried against the quick tests of those rooms that reach it (`tools/mutmut.toml`). Tried is
a sample, drawn anew from a seed: so many changes a module, or all of them with --each 0. Left out
are changes of nothing but the words of a sentence or a refusal, which no test should hold.

What comes out is written into `tools/docs/mutants.json`, which the validation page shows. Why a
survivor may live is written there by hand, and kept as long as the same change survives. With
--again only those are tried that no test noticed before, and those of functions changed since.
"""

from __future__ import annotations

import argparse
import ast
import json
import random
import subprocess
import sys
import sysconfig
import venv
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
FOUND = ROOT / "tools" / "docs" / "mutants.json"
PROGRAM = "mutmut==3.8.1"
SAYING = {"message", "counted", "MoneyError", "ValueError", "TypeError"}
"""Calls that only make words."""
LINE = 100
"""Letters of code that name a change."""
KILLED, SURVIVED, NOT_REACHED = 1, 0, 33
"""How mutmut writes an outcome; every other number is a crash or an endless loop, so noticed."""


@dataclass(frozen=True, slots=True)
class Mutant:
    """One change: its name for mutmut, where it is, and the code before and after."""

    name: str
    module: str
    function: str
    was: str
    became: str

    @property
    def key(self) -> tuple[str, str, str]:
        """What stays the same when the file around it changes."""
        return f"{self.module}.{self.function}", self.was, self.became


def main() -> int:
    """Draw, try, and write down."""
    asked = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    asked.add_argument("--each", type=int, default=16, help="changes a module; 0: all")
    asked.add_argument("--seed", type=int, default=9)
    asked.add_argument("--only", default="", help="modules whose name holds this; writes nothing")
    asked.add_argument("--again", action="store_true", help="try anew only what was not noticed")
    asked.add_argument("--workers", type=int, default=2)
    asked.add_argument("--out", type=Path, default=ROOT / "out" / "mutants")
    given = asked.parse_args()
    python = environment(given.out / "env")
    tree = copied(given.out / "tree")
    drawn = [one for one in draw(python, tree, given.each, given.seed) if given.only in one.module]
    before = dict(outcomes(tree)) if given.again else {}
    names = [one.name for one in drawn if before.get(one.name) != KILLED]
    print(f"{len(names)} of {len(drawn)} changes are tried", flush=True)
    run: list[str | Path] = [
        python,
        "-m",
        "mutmut",
        "run",
        "--max-children",
        str(given.workers),
        *names,
    ]
    with (given.out / "mutmut.log").open("w") as log:
        subprocess.run(run, cwd=tree, stdout=log, stderr=log, check=True)
    ended = dict(outcomes(tree))
    report = written(drawn, ended, given.each, given.seed)
    for row in report["survivors"]:
        print(f"{row['where']}\n  - {row['was']}\n  + {row['became']}\n    {row['why']}")
    print(figure(report))
    if not given.only:
        FOUND.write_text(json.dumps(report, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    return 0


def environment(folder: Path) -> Path:
    """An environment with mutmut, which sees all that this one has."""
    python = folder / "bin" / "python"
    if not python.exists():
        venv.create(folder, with_pip=True)
        inside = next(folder.glob("lib/python*/site-packages"))
        (inside / "outer.pth").write_text(sysconfig.get_path("purelib") + "\n")
        subprocess.run([python, "-m", "pip", "install", "-qq", PROGRAM], check=True)
    return python


def copied(tree: Path) -> Path:
    """The files of the project, with mutmut's settings, in a folder of their own."""
    (tree / "mutants" / "mutmut-stats.json").unlink(missing_ok=True)  # which test reaches what
    listed = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    names = subprocess.run(listed, cwd=ROOT, check=True, capture_output=True, text=True).stdout
    wanted = {
        name: (ROOT / name).read_bytes() for name in names.split("\0") if (ROOT / name).is_file()
    }
    wanted["pyproject.toml"] += b"\n" + wanted["tools/mutmut.toml"]
    for old in [*tree.glob("src/**/*.py"), *tree.glob("tests/**/*.py")]:
        if old.relative_to(tree).as_posix() not in wanted:
            old.unlink()
    for name, content in wanted.items():
        target = tree / name
        if (
            not target.is_file() or target.read_bytes() != content
        ):  # the same stays, and its changes
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(content)
            if not name.endswith(".py"):
                (tree / "mutants" / name).unlink(missing_ok=True)  # mutmut copies what is not there
    return tree


GENERATE = """
import pathlib
from mutmut.__main__ import create_mutants
from mutmut.utils.file_utils import copy_also_copy_files, copy_src_dir, setup_source_paths
pathlib.Path("mutants").mkdir(exist_ok=True)
copy_src_dir()
copy_also_copy_files()
setup_source_paths()
create_mutants(2)
"""


def draw(python: Path, tree: Path, each: int, seed: int) -> list[Mutant]:
    """The changes to try, module by module."""
    subprocess.run([python, "-c", GENERATE], cwd=tree, check=True)
    drawn = []
    for meta in sorted((tree / "mutants" / "src").rglob("*.py.meta")):
        fit = list(changes(tree / "mutants", meta.with_suffix("")))
        picker = random.Random(f"{seed} {meta.stem}")
        drawn += picker.sample(fit, min(each, len(fit))) if each else fit
    return drawn


def changes(top: Path, path: Path) -> Iterator[Mutant]:
    """Changes of one file that are more than words."""
    dotted = ".".join(path.relative_to(top / "src").with_suffix("").parts)
    parsed = ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    nodes = {node.name: node for node in parsed if isinstance(node, ast.FunctionDef)}
    for name, node in sorted(nodes.items()):
        head, mark, number = name.rpartition("__mutmut_")
        if not mark or number == "orig":
            continue
        change = differing(nodes[f"{head}__mutmut_orig"], node)
        if change is not None:
            plain = head.removeprefix("x_").removeprefix("xǁ").replace("ǁ", ".")
            module = dotted.removeprefix("airwright.")
            yield Mutant(f"{dotted}.{name}", module, plain, *change)


def differing(old: ast.AST, new: ast.AST) -> tuple[str, str] | None:
    """The code that differs, as much of its statement as one line holds; None for mere words."""
    chain: list[tuple[ast.AST, ast.AST]] = []
    while True:
        if isinstance(old, ast.Call) and _called(old) in SAYING and _called(old) == _called(new):
            return None
        if isinstance(old, ast.stmt):
            chain.clear()
        chain.append((old, new))
        inside = list(ast.iter_child_nodes(old)), list(ast.iter_child_nodes(new))
        unlike = [
            pair for pair in zip(*inside, strict=False) if ast.dump(pair[0]) != ast.dump(pair[1])
        ]
        if type(old) is not type(new) or len(inside[0]) != len(inside[1]) or len(unlike) != 1:
            break
        old, new = unlike[0]
    texts = [(_text(before), _text(after)) for before, after in chain]
    short = [one for one in texts if max(map(len, one)) <= LINE]
    return short[0] if short else _around(*texts[-1])


def _around(was: str, became: str) -> tuple[str, str]:
    """Of two long texts the part where they begin to differ."""
    pairs = enumerate(zip(was, became, strict=False))
    start = max(next(at for at, (a, b) in pairs if a != b) - LINE // 3, 0)
    return was[start : start + LINE], became[start : start + LINE]


def _called(node: ast.AST) -> str:
    func = getattr(node, "func", None)
    return func.id if isinstance(func, ast.Name) else ""


def _text(node: ast.AST) -> str:
    """One line of code; of a statement with a body, its head."""
    return ast.unparse(node).split("\n", 1)[0]


def outcomes(tree: Path) -> Iterator[tuple[str, int | None]]:
    """What mutmut wrote about each change it tried."""
    for path in (tree / "mutants" / "src").rglob("*.py.meta"):
        yield from json.loads(path.read_text(encoding="utf-8"))["exit_code_by_key"].items()


def written(
    drawn: list[Mutant], ended: dict[str, int | None], each: int, seed: int
) -> dict[str, Any]:
    """Counts a module, and every survivor with the reason written before."""
    old = json.loads(FOUND.read_text(encoding="utf-8"))["survivors"]
    why = {(row["where"], row["was"], row["became"]): row["why"] for row in old}
    rows: dict[str, list[int]] = {}
    survivors = []
    for one in drawn:
        row = rows.setdefault(one.module, [0, 0])
        row[0] += 1
        if ended[one.name] in (SURVIVED, NOT_REACHED):
            where, was, became = one.key
            survivors.append(
                {"where": where, "was": was, "became": became, "why": why.get(one.key, "")}
            )
        else:
            row[1] += 1
    listed = [[name, *row] for name, row in rows.items()]
    return {
        "program": PROGRAM,
        "seed": seed,
        "each": each,
        "drawn": len(drawn),
        "rows": listed,
        "survivors": survivors,
    }


def figure(report: dict[str, Any]) -> str:
    """The share of changes that a test noticed."""
    tried, killed = (sum(row[at] for row in report["rows"]) for at in (1, 2))
    return f"{killed} of {tried} changes were noticed ({100 * killed / max(tried, 1):.1f} %)"


if __name__ == "__main__":
    sys.exit(main())
