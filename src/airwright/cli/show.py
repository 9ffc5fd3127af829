"""How results look in a terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table
from rich.text import Text

from airwright.job.findings import Finding, Severity

if TYPE_CHECKING:
    from airwright.plan.values import Plan

_STYLE = {Severity.ERROR: "bold red", Severity.CAUTION: "bold yellow", Severity.HINT: "bold cyan"}


@cache
def console(*, stderr: bool = False) -> Console:
    """The terminal, or plain text in a pipe."""
    return Console(stderr=stderr, highlight=False)


def finding_lines(finding: Finding, path: Path) -> Iterator[Text]:
    """A finding in two lines: where and what, then how to mend it."""
    spot = _spot(finding, path)
    yield Text.assemble(
        (f"{finding.severity.value:8}", _STYLE[finding.severity]),
        (f"{spot}  ", "dim"),
        finding.what,
    )
    rule = f" ({finding.standard})" if finding.standard else ""
    yield Text.assemble("        ", ("→ ", "dim"), f"{finding.mend}{rule}")


def _spot(finding: Finding, path: Path) -> str:
    name = "standard input" if str(path) == "-" else path.name
    if finding.line is None:
        return finding.place or name
    column = f":{finding.column}" if finding.column is not None else ""
    place = f" {finding.place}" if finding.place else ""
    return f"{name}:{finding.line}{column}{place}"


def options_table(plan: Plan) -> Table:
    """Options side by side."""
    from airwright.language.figures import said_money

    table = bare_table("Option", "Pieces")
    for title in ("Balloons", "Hours", "On site"):
        table.add_column(title, justify="right", no_wrap=True)
    table.add_column("Price", justify="right", style="bold", no_wrap=True)
    for option in plan.options:
        table.add_row(
            option.name,
            ", ".join(_times(piece.name, piece.count) for piece in option.pieces),
            str(option.balloons),
            f"{option.hours:.1f}",
            f"{option.site_hours:.1f} h",
            said_money(option.money.price, option.money.currency),
        )
    return table


def bare_table(*titles: str) -> Table:
    """A table without lines, with its first columns."""
    table = Table(box=None, pad_edge=False, header_style="bold", padding=(0, 2, 0, 0))
    for title in titles:
        table.add_column(title, overflow="fold")
    return table


def _times(name: str, count: int) -> str:
    return name if count == 1 else f"{count} × {name}"


def pieces_table(plan: Plan) -> Table:
    """Pieces with their size, balloons, weight and hours."""
    from airwright.units import LENGTH, MASS, show

    system = plan.studio.studio.units
    table = bare_table("Piece")
    for title in ("Count", "Height", "Width", "Layers", "Balloons", "Weight", "Hours"):
        table.add_column(title, justify="right", no_wrap=True)
    for piece in plan.pieces:
        assembly = piece.assembly
        table.add_row(
            piece.name,
            str(piece.count),
            show(assembly.height_m, LENGTH, system),
            show(assembly.width_m, LENGTH, system),
            str(assembly.layers or "–"),
            str(len(assembly)),
            show(piece.mass_kg, MASS, system),
            f"{piece.hours:.1f}",
        )
    return table


def findings_in_short(findings: Sequence[Finding]) -> Iterator[Text]:
    """What each finding says, without its cure: the cures stand in `airwright check` and papers."""
    for finding in findings:
        yield Text.assemble((f"{finding.severity.value:8}", _STYLE[finding.severity]), finding.what)
    if findings:
        yield Text("        What to do about each: safety-sheet.pdf and airwright check", "dim")


def files_in_short(written: Sequence[Path], out: Path) -> Iterator[Text]:
    """The papers one by one, the pictures counted."""
    yield Text(f"Written into {out}:", "bold")
    pictures = [path for path in written if path.parent.resolve() != out.resolve()]
    for path in written:
        if path not in pictures:
            yield Text(f"  {path.name}")
    if pictures:
        yield Text(f"  {pictures[0].parent.name}/  ({len(pictures)} pictures and 3D files)")
