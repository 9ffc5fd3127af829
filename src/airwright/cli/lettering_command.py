"""The command `lettering`: a name on a balloon, as files for the cutter."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from airwright.cli import common
from airwright.cli.asking import balloon_of, read, refusing, shop_of
from airwright.cli.common import AsJson, StudioFile

if TYPE_CHECKING:
    from airwright.pictures.lettering import Lettering


def register(app: typer.Typer) -> None:
    """Add this command."""
    app.command()(lettering)


def lettering(
    text: Annotated[str, typer.Argument(help="One line, up to 60 letters.")],
    out: Annotated[Path, typer.Option("--out", help="Folder for the files.")],
    balloon: Annotated[
        str, typer.Option("--balloon", help="What it goes on, and how large it is made.")
    ] = "36in @ 34in",
    height: Annotated[
        str | None, typer.Option("--height", help='Height of capitals, like "4 in".')
    ] = None,
    distance: Annotated[
        str | None, typer.Option("--distance", help="High enough to read at a glance from here.")
    ] = None,
    font: Annotated[
        Path | None, typer.Option("--font", help="A .ttf or .otf file; ours without it.")
    ] = None,
    gives: Annotated[
        float, typer.Option("--gives", min=0.005, max=0.3, help="Share the film gives sideways.")
    ] = 0.05,
    mirror: Annotated[
        bool, typer.Option("--mirror", help="Mirrored, for film that is cut from behind.")
    ] = False,
    studio: StudioFile = None,
    as_json: AsJson = False,
) -> None:
    """Lay a name out for a round balloon and write it for the cutter at true scale."""
    from airwright.decor.context import stock_of
    from airwright.pictures.lettering import (
        FontRefused,
        LetteringRefused,
        lay_out,
        letters_of,
        read_font,
    )
    from airwright.plan.answers.base import require_latex

    shop = shop_of(studio, None)
    with refusing(shop.words):
        row, made = balloon_of(balloon, shop)
        require_latex(row)
        radius_mm = 500 * stock_of(row, made).inflated_m
    cap_mm = _cap(height, distance, radius_mm)
    try:
        opened = read_font(_font(font))
        laid = lay_out(letters_of(text, opened, cap_mm), cap_mm, radius_mm, gives)
    except (FontRefused, LetteringRefused) as problem:
        common.usage_error(str(problem.what), str(problem.mend))
    told = _told(laid) | {"files": _write(laid, out, mirrored=mirror)}
    if as_json:
        common.put_json(told)
        return
    for line in _lines(laid, told["files"], out):
        typer.echo(line)


def _cap(height: str | None, distance: str | None, radius_mm: float) -> float:
    from airwright.pictures.lettering.layout import cap_for
    from airwright.units import LENGTH

    if height is not None and distance is not None:
        common.usage_error("--height and --distance each set the size.", "Say one of them.")
    if height is not None:
        cap_mm = 1000 * read("--height", height, LENGTH)
    elif distance is not None:
        cap_mm = cap_for(read("--distance", distance, LENGTH))
    else:
        cap_mm = radius_mm / 4
    if not 3.0 <= cap_mm <= 1500.0:
        common.usage_error(
            f"Capitals of {cap_mm:.0f} mm cannot be cut.", "Say 3 mm to 1.5 m, with its unit."
        )
    return cap_mm


def _font(path: Path | None) -> bytes:
    from airwright.catalog import own_font

    if path is None:
        return own_font("serif")
    return common.read_bytes(path, "Name a .ttf or .otf file, or leave --font out.")


def _told(laid: Lettering) -> dict[str, Any]:
    return {
        "format": "airwright-lettering/1",
        "text": laid.text,
        "balloon_mm": round(2 * laid.radius_mm, 1),
        "cap_mm": round(laid.cap_mm, 2),
        "width_mm": round(laid.width_mm, 2),
        "height_mm": round(laid.height_mm, 2),
        "one_piece_up_to_mm": round(laid.limit_mm, 1),
        "squeeze": round(laid.squeeze, 5),
        "reads_easily_m": round(laid.reads_easily_m, 2),
        "reads_to_m": round(laid.reads_to_m, 2),
        "pieces": [
            {
                "text": piece.text,
                "at_mm": [round(v, 2) for v in piece.at],
                "area_mm2": round(piece.shape.area, 2),
            }
            for piece in laid.pieces
        ],
    }


def _write(laid: Lettering, out: Path, *, mirrored: bool) -> list[str]:
    from airwright.job.writing import write_atomically
    from airwright.pictures.lettering import dxf_file, pdf_page, placing_file, sheet_of, svg_file

    sheet = sheet_of(laid.pieces, mirrored=mirrored)
    files = {
        "cut.svg": svg_file(sheet),
        "cut.dxf": dxf_file(sheet),
        "cut.pdf": pdf_page(sheet),
        "placing.svg": placing_file(laid),
    }
    try:
        out.mkdir(parents=True, exist_ok=True)
        for name, data in files.items():
            write_atomically(out / name, data)
    except OSError as problem:
        common.usage_error(
            f"{out} cannot be written ({problem.strerror}).", "Choose another folder with --out."
        )
    return list(files)


def _lines(laid: Lettering, files: list[str], out: Path) -> list[str]:
    many = len(laid.pieces)
    how = (
        "one piece: press it on from its middle outward"
        if many == 1
        else f"{many} pieces, letter by letter: beyond {laid.limit_mm:.0f} mm one would pucker"
    )
    return [
        f"{laid.width_mm:.0f} mm wide, capitals {laid.cap_mm:.0f} mm high, in {how}.",
        f"Reads at a glance from {laid.reads_easily_m:.0f} m, can be read from "
        f"{laid.reads_to_m:.0f} m.",
        "Blow the balloon up first, wipe it dry, hold placing.svg (printed at true scale) before "
        "it and press each piece on at its blue dot.",
        "The DXF is in millimetres. Try one letter before you cut them all.",
        f"Wrote {', '.join(files)} into {out}.",
    ]
